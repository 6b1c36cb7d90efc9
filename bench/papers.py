"""How long does the booklet take, part by part? Ratios to the piece's own pipeline, memory."""

import resource
import tempfile
import time
from pathlib import Path

from crossfell.draft.files import read_file
from crossfell.papers.make import USUAL, make_all
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[1] / "examples"
BOOKLET = ("papers", "cards", "labels", "client", "handover", "quote", "cartoon")


def timed(what):
    wall, cpu = time.perf_counter(), time.process_time()
    made = what()
    return time.perf_counter() - wall, time.process_time() - cpu, made


def pipeline(path):
    piece = Piece(read_file(path))
    return piece.plan, piece.hung, piece.loom, piece.notes, piece


def told(path):
    wall, base, (*_, piece) = timed(lambda: pipeline(path))
    print(f"{path.stem}: pipeline {wall:.2f} s ({base:.2f} s of processor)")
    booklet = 0.0
    with tempfile.TemporaryDirectory() as folder:
        for part in USUAL:
            wall, cpu, made = timed(lambda part=part: make_all(piece, Path(folder), [part]))
            size = sum(path.stat().st_size for path, _ in made) / 1e6
            booklet += cpu if part in BOOKLET else 0.0
            print(
                f"  {part:9} {wall:6.2f} s, {cpu:5.2f} s of processor = {cpu / base:5.1f} x the "
                f"pipeline, {size:5.1f} MB"
            )
        wall, _, _ = timed(lambda: make_all(piece, Path(folder), USUAL))
        print(f"  again, nothing changed: {wall:.2f} s")
    print(f"  the booklet: {booklet:.2f} s of processor")


for name in ("01-first-sampler", "02-tideline", "03-long-harvest"):
    told(next((EXAMPLES / name).glob("*.toml")))
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"most memory in use: {most:.0f} MB")
