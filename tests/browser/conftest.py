"""Each test has windows of its own and a studio on its own folder."""

import shutil
from pathlib import Path

import pytest
from studio_window import Studio, Window

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def drafts(tmp_path):
    """A folder with one draft and its workshop."""
    folder = tmp_path / "drafts"
    folder.mkdir()
    shutil.copy(EXAMPLES / "01-first-sampler" / "first-sampler.toml", folder)
    shutil.copy(EXAMPLES / "workshop.toml", folder)
    return folder


@pytest.fixture
def studio(drafts):
    with Studio(drafts) as running:
        yield running


@pytest.fixture
def window(chromium, studio):
    """Opens windows on the studio; a console error or a failed request fails the test."""
    opened = []

    def open_(piece=None, **options):
        made = Window(chromium, studio, **options)
        opened.append(made)
        made.go(piece)
        return made

    yield open_
    for made in opened:
        made.close()
    faults = [fault for made in opened for fault in made.faults]
    assert faults == []
