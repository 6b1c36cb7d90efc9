"""How long do the model in space and its still take? Ratios to the piece's own pipeline."""

import resource
import sys
import time
from pathlib import Path

from crossfell.draft.files import read_file
from crossfell.model3d.model import glb, parts_of
from crossfell.model3d.still import still_png
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[1] / "examples"


def timed(what):
    start = time.perf_counter()
    made = what()
    return time.perf_counter() - start, made


def pipeline(path):
    piece = Piece(read_file(path))
    return piece.paths, piece.amounts, piece.holds, piece


for path in sorted(EXAMPLES.glob("*/*.toml"))[: 1 if "--toy" in sys.argv else None]:
    base, (*_, piece) = timed(lambda path=path: pipeline(path))
    glb(piece)
    plain, small = timed(lambda piece=piece: glb(piece))
    fine, large = timed(lambda piece=piece: glb(piece, fine=True))
    still, picture = timed(lambda piece=piece: still_png(piece))
    triangles = sum(len(part.mesh.faces) for part in parts_of(piece))
    print(
        f"{path.stem}: pipeline {base:.2f} s; model {plain:.2f} s ({plain / base:.1f} x), "
        f"{triangles} triangles, {len(small) / 1e6:.1f} MB; fine {fine:.2f} s, "
        f"{len(large) / 1e6:.1f} MB; still {still:.2f} s, {len(picture) / 1e3:.0f} kB"
    )
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"most memory in use: {most:.0f} MB")
