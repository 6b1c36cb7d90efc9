"""How long from text to every computed stage, and does the time grow in proportion to the work?

Prints milliseconds, and ratios measured in one run. Asserts nothing.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.facts.build import facts_of
from crossfell.piece import Piece

ROOT = Path(__file__).resolve().parent.parent
LARGE = ROOT / "examples" / "03-long-harvest" / "long-harvest.toml"
STAGES = ("order", "paths", "loom", "holds", "amounts", "plan", "notes")


def milliseconds(task, times: int = 7) -> float:
    """Median time of a task."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        task()
        taken.append(1000 * (time.perf_counter() - start))
    return median(taken)


def made_up(units: int, spans: int) -> str:
    """A draft of plaits and turns, as large as asked."""
    head = (
        '[piece]\ntitle = "grid"\n[yarn.grey]\ncount = "tex 100"\nfibre = "linen"\n'
        '[strip.one]\nwidth = 25\ndents = 18\n[unit.a]\nstrip = "one"\nends = "18 grey"\n'
        f'[warp]\npitch = 26\norder = "a*{units}"\n[band]\npicks = "3"\nweft = "grey"\n'
    )
    moves = f"plait 1-{units}\\nturn 2 right"
    return head + f'[[span]]\nheight = 140\nmoves = "{moves}"\n' * spans


def whole(text: str) -> None:
    """Read a draft and compute every stage."""
    piece = Piece(read_draft(text))
    for stage in STAGES:
        getattr(piece, stage)


def main() -> None:
    """Print it all."""
    text = LARGE.read_text(encoding="utf-8")
    draft = read_file(LARGE)
    whole(text)
    print(f"48 x 40, warm, from text to all stages: {milliseconds(lambda: whole(text)):.0f} ms")
    print(f"  reading alone: {milliseconds(lambda: read_draft(text)):.0f} ms")
    piece = Piece(draft)
    for stage in STAGES:
        start = time.perf_counter()
        getattr(piece, stage)
        print(f"  {stage}: {1000 * (time.perf_counter() - start):.1f} ms")
    print(f"  facts from a computed piece: {milliseconds(lambda: facts_of(piece)):.0f} ms")
    command = [str(Path(sys.executable).with_name("crossfell")), "check", str(LARGE)]
    bare = milliseconds(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True), 5)
    check = milliseconds(lambda: subprocess.run(command, check=True, capture_output=True), 5)
    print(f"`crossfell check` as a process: {check:.0f} ms ({check / bare:.1f} x a bare python)")
    base = 0.0
    print("units x spans, time for each unit and span, against the smallest:")
    for size in (25, 50, 100, 200, 400):
        grid = made_up(size, size)
        taken = milliseconds(lambda grid=grid: whole(grid), 3 if size < 200 else 1)
        each = 1000 * taken / size**2
        base = base or each
        print(f"  {size:3} x {size:3}: {taken:8.0f} ms, {each:6.1f} us each, {each / base:.2f}")


if __name__ == "__main__":
    main()
