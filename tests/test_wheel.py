"""What is installed carries everything that it needs, and the licence of everything in it."""

import json
import re
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BACKEND = pytest.importorskip("hatchling.builders.wheel", reason="comes with the test extra")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    sys.path.insert(0, str(ROOT))
    folder = tmp_path_factory.mktemp("wheel")
    (built,) = BACKEND.WheelBuilder(str(ROOT)).build(directory=str(folder))
    sys.path.remove(str(ROOT))
    with zipfile.ZipFile(built) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def licences(wheel):
    return "\n".join(
        text.decode() for name, text in wheel.items() if ".dist-info/licenses/" in name
    )


def test_every_package_of_the_client_is_packed_with_its_licence(wheel):
    """At least those that the client asks for by name; each licence is whole."""
    own = (ROOT / "src/crossfell/studio/static/licences.txt").read_text()
    assert own in licences(wheel)
    heads = re.findall(r"^(\S+) [\d.]+ \((.+)\)$", own, re.MULTILINE)
    package = json.loads((ROOT / "src/crossfell/studio/web/package.json").read_text())
    wanted = package["dependencies"]
    assert set(wanted) <= {name for name, _ in heads}
    assert own.count("Permission is hereby granted") == len(heads)


def test_every_font_is_packed_with_its_licence(wheel):
    """Families share the first word of their file's name; the licence is the SIL Open Font one."""
    fonts = {re.split(r"[-.]", Path(n).name)[0] for n in wheel if n.endswith((".ttf", ".otf"))}
    texts = {Path(n).stem: t.decode() for n, t in wheel.items() if ".dist-info/licenses/" in n}
    assert fonts
    for font in fonts:
        (text,) = [
            text
            for name, text in texts.items()
            if name.startswith("LICENSE-") and font.startswith(name.removeprefix("LICENSE-"))
        ]
        assert "SIL OPEN FONT LICENSE" in text


def test_our_own_licence_is_packed(wheel):
    assert (ROOT / "LICENSE").read_text() in licences(wheel)


def test_all_that_is_read_at_run_time_is_packed_and_no_source_of_the_client(wheel):
    here = ROOT / "src"
    wanted = {
        path.relative_to(here).as_posix()
        for path in (here / "crossfell").rglob("*")
        if path.is_file() and not {"web", "__pycache__"} & set(path.parts)
    }
    assert {name for name in wheel if name.startswith("crossfell/")} == wanted


def test_the_build_backend_is_one_exact_version():
    built = tomllib.loads((ROOT / "pyproject.toml").read_text())
    (pinned,) = built["build-system"]["requires"]
    assert re.fullmatch(r"hatchling==\d[\d.]*", pinned)
    assert pinned in built["project"]["optional-dependencies"]["test"]
    assert pinned in (ROOT / "constraints.txt").read_text().split()
