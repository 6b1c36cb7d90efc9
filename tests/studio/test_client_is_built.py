"""The client that is packed is the one that its sources make."""

import filecmp
import hashlib
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

STUDIO = Path(__file__).parents[2] / "src" / "crossfell" / "studio"
WEB, STATIC = STUDIO / "web", STUDIO / "static"
AROUND = ("index.html", "package.json", "package-lock.json", "tsconfig.json", "vite.config.js")
AGAIN = "run `make client` and commit src/crossfell/studio/static"


def test_the_built_client_is_the_one_of_its_sources():
    paths = [
        *AROUND,
        *(p.relative_to(WEB).as_posix() for p in (WEB / "src").rglob("*") if p.is_file()),
    ]
    digest = hashlib.sha256()
    for path in sorted(paths):
        digest.update(path.encode() + b"\0" + (WEB / path).read_bytes() + b"\0")
    assert (STATIC / "built-from.txt").read_text().strip() == digest.hexdigest(), AGAIN


@pytest.mark.skipif(
    not (shutil.which("npm") and (WEB / "node_modules").is_dir()),
    reason="needs node and an `npm ci` in src/crossfell/studio/web",
)
def test_building_it_again_gives_the_same_bytes(tmp_path):
    environment = {**os.environ, "CROSSFELL_STATIC": str(tmp_path)}
    subprocess.run(
        ["npm", "run", "build"], cwd=WEB, env=environment, check=True, capture_output=True
    )
    names = sorted(p.name for p in STATIC.iterdir())
    assert sorted(p.name for p in tmp_path.iterdir()) == names
    _, differ, missing = filecmp.cmpfiles(STATIC, tmp_path, names, shallow=False)
    assert (differ, missing) == ([], []), AGAIN


def test_the_page_has_no_script_or_style_within():
    page = (STATIC / "index.html").read_text()
    assert re.findall(r"<script(?![^>]*\ssrc=)", page) == []
    assert "<style" not in page
    assert " style=" not in page
    assert " on" not in re.sub(r'"[^"]*"', "", page)


def test_the_client_asks_nobody_else():
    """No address of another machine is asked for; a few stand in namespaces and error texts."""
    own = (STATIC / "studio.js").read_text()
    found = set(re.findall(r"https?://[\w.-]+", own))
    assert found <= {"http://www.w3.org"}, found


def test_the_client_has_no_geometry_units_or_craft_of_its_own():
    """Lengths of a picture are scaled to pixels; no unit of the trade is ever written or read."""
    for path in (WEB / "src").glob("*.ts*"):
        text = path.read_text()
        assert not re.search(r"\b\d+\s?(mm|cm|inch|tex|kg)\b", re.sub(r"//.*", "", text)), path.name
        assert "25.4" not in text


def test_the_lock_file_names_no_registry():
    assert '"resolved"' not in (WEB / "package-lock.json").read_text()
