"""A folder of drafts, a desk on it, and a client in process that has the secret."""

import shutil
from pathlib import Path

import pytest
from own_page import HOST, SECRET, Client
from starlette.testclient import TestClient

from crossfell.studio.app import studio
from crossfell.studio.desk import Desk
from crossfell.studio.folder import Folder
from crossfell.studio.guard import door
from crossfell.studio.journal import Journal

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def folder(tmp_path):
    root = tmp_path / "drafts"
    for name in ("01-first-sampler", "02-tideline"):
        (root / name).mkdir(parents=True)
        for path in (EXAMPLES / name).glob("*.toml"):
            shutil.copy(path, root / name)
    shutil.copy(EXAMPLES / "workshop.toml", root)
    return root


@pytest.fixture
def desk(folder):
    journal = Journal(folder)
    yield Desk(Folder(folder), journal)
    journal.close()


@pytest.fixture
def client(folder):
    with TestClient(studio(folder, door(8765), SECRET), base_url=f"http://{HOST}") as http:
        http.get(f"/?key={SECRET}")
        yield Client(http)
