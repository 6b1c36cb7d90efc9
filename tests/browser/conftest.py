"""A real browser, once for all; each test has windows of its own and a studio on its own folder."""

import os
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright
from studio_window import Studio, Window

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="session")
def chromium():
    path = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    assert path, "needs Chromium: install it, or set CHROMIUM to its path"
    with sync_playwright() as play:
        running = play.chromium.launch(executable_path=path, args=FLAGS)
        yield running
        running.close()


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
