"""The model in space, read by others: the Khronos validator and trimesh.

Sources: Khronos glTF validator 2.0.0-dev.3.10 (from the npm registry; checks the file against
glTF 2.0, ISO/IEC 12113:2022); trimesh (reads the file by itself, measures volume and extents).
The validator needs node; where `npm` is not there its test is skipped with that reason. It is
installed once into the virtual environment.
"""

import json
import shutil
import subprocess
import sys
import tempfile
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import trimesh

from crossfell.draft.files import read_file
from crossfell.model3d.course import thickness_mm
from crossfell.model3d.model import glb
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("01-first-sampler", "02-tideline", "03-long-harvest")
VALIDATOR = "gltf-validator@2.0.0-dev.3.10"
SCRIPT = """
const fs = require("fs"), validator = require("gltf-validator");
validator.validateBytes(new Uint8Array(fs.readFileSync(process.argv[1])), {maxIssues: 0})
  .then(report => console.log(JSON.stringify(report)));
"""


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


@lru_cache
def scene(name):
    return trimesh.load(BytesIO(glb(example(name))), file_type="glb", process=False)


@pytest.fixture(scope="module")
def validated():
    npm, node = shutil.which("npm"), shutil.which("node")
    if not npm or not node:
        pytest.skip("node and npm are not on this machine: the Khronos validator cannot be run")
    home = Path(sys.prefix) / "gltf-validator"
    if not home.exists():
        fresh = tempfile.mkdtemp(dir=sys.prefix)
        command = [npm, "install", "--prefix", fresh, "--no-audit", "--no-fund", VALIDATOR]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        assert done.returncode == 0, f"npm could not install {VALIDATOR}:\n{done.stderr[-800:]}"
        try:
            Path(fresh).rename(home)
        except OSError:  # another worker was quicker
            shutil.rmtree(fresh)

    def report(content):
        with tempfile.NamedTemporaryFile(suffix=".glb") as file:
            file.write(content)
            file.flush()
            done = subprocess.run(
                [node, "-e", SCRIPT, file.name],
                cwd=home,
                capture_output=True,
                text=True,
                check=True,
            )
        return json.loads(done.stdout)

    return report


@pytest.mark.parametrize("name", NAMES)
def test_the_khronos_validator_has_nothing_to_say(validated, name):
    for fine in (False, True) if name == NAMES[0] else (False,):
        report = validated(glb(example(name), fine=fine))
        issues = report["issues"]
        worse = [m for m in issues["messages"] if m["severity"] < 2]
        assert issues["numErrors"] == issues["numWarnings"] == 0, worse
        assert report["info"]["version"] == "2.0"
        if not fine:
            assert report["info"]["totalTriangleCount"] < 50_000


def test_the_validator_can_find_fault(validated):
    """A normal of length 2 is found, so that silence means something."""
    whole = bytearray(glb(example(NAMES[0])))
    length = int.from_bytes(whole[12:16], "little")
    document = json.loads(whole[20 : 20 + length])
    at = document["meshes"][0]["primitives"][0]["attributes"]["NORMAL"]
    view = document["bufferViews"][document["accessors"][at]["bufferView"]]
    start = 20 + length + 8 + view["byteOffset"]
    whole[start : start + 12] = np.array([0, 0, 2], dtype="<f4").tobytes()
    assert validated(bytes(whole))["issues"]["numErrors"] > 0


@pytest.mark.parametrize("name", NAMES)
def test_trimesh_finds_the_extents_of_the_paths(name):
    piece, loaded = example(name), scene(name)
    hang, paths = piece.draft.hang, piece.paths
    bands = [g for n, g in loaded.geometry.items() if n.startswith("band ")]
    low = min(g.bounds[0][1] for g in bands)
    high = max(g.bounds[1][1] for g in bands)
    assert low == pytest.approx(hang.above_floor_mm / 1000, abs=1e-6)
    assert high - low == pytest.approx(paths.height_total_mm / 1000, abs=1e-6)
    rod = loaded.geometry["rod 1"].extents
    length = paths.rod_mm(0)
    assert rod[0] == pytest.approx(length / 1000, abs=1e-6)
    for u, unit in enumerate(piece.draft.units):
        mesh = loaded.geometry[f"unit {unit.name}"]
        x = paths.x_mm[:, u]
        x = paths.width_total_mm - x if piece.draft.about.woven_from == "top" else x
        reach = [x.min() - paths.width_mm[u] / 2, x.max() + paths.width_mm[u] / 2]
        found = mesh.bounds[:, 0] * 1000 + paths.width_total_mm / 2
        assert found == pytest.approx(reach, abs=0.8)


@pytest.mark.parametrize("name", NAMES[:2])
def test_trimesh_measures_the_volume_of_the_ribbons(name):
    """Width × thickness × height: a level cross-section sweeps its area times the way up.

    A ribbon of thickness t across its face and slope s towards the viewer has t/cos in the level;
    2 % covers slopes and the twist, whose faces are flat between corners.
    """
    piece, loaded = example(name), scene(name)
    for u, unit in enumerate(piece.draft.units):
        mesh = loaded.geometry[f"unit {unit.name}"]
        closed = trimesh.Trimesh(
            mesh.vertices, mesh.faces, process=True, merge_norm=True, merge_tex=True
        )
        assert closed.is_watertight
        flat = [not span.half_turns[u] for span in piece.order.spans]
        if not all(flat):
            continue
        lean = piece.paths.lean_rad[:, u]
        heights = np.array([span.height_mm for span in piece.draft.spans])
        wide = piece.paths.width_mm[u] * np.cos(lean)
        chords = heights / np.cos(lean)
        volume = (wide * chords).sum() * thickness_mm(piece, unit.kind)
        assert closed.volume * 1e9 == pytest.approx(volume, rel=0.02)


def test_trimesh_keeps_the_names():
    piece = example(NAMES[0])
    nodes = set(scene(NAMES[0]).graph.nodes_geometry)
    assert {f"unit {unit.name}" for unit in piece.draft.units} <= nodes
    assert {"wall", "band 1", "rod 1", "cord 1"} <= nodes
