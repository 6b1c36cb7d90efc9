"""How long from text to every stage, after an edit, and as a check; does time grow with the work?

Milliseconds are times of the processor, so that other programs count less; ratios are of one run.
Asserts nothing, but that drafts made up here have no errors and an edit ends where it should.
"""

from __future__ import annotations

import gc
import os
import random
import resource
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.facts.build import facts_of
from crossfell.piece import Piece, piece_after

ROOT = Path(__file__).resolve().parent.parent
LARGE = ROOT / "examples" / "03-long-harvest" / "long-harvest.toml"
WORKSHOP = (ROOT / "examples" / "workshop.toml").read_text(encoding="utf-8")
STAGES = ("order", "paths", "holds", "bobbins", "winding", "loom", "amounts", "plan", "notes")
AT_ONCE = ("order", "paths", "holds", "amounts")  # what an edit waits for
HEAD = """[piece]
title = "grid"
[yarn.grey]
count = "tex 100"
fibre = "linen"
[strip.one]
width = 25
dents = 18
[unit.a]
strip = "one"
ends = "18 grey"
[warp]
pitch = 26
order = "a*{units}"
[band]
picks = "3, rod, 3"
rod = "steel 3"
"""


TOY = "--toy" in sys.argv  # small, to see that it runs


def spent(task):
    """Milliseconds of the processor, and what was made."""
    start = time.process_time()
    made = task()
    return 1000 * (time.process_time() - start), made


def least(task, times: int = 7) -> float:
    """Least time of a task: what disturbs only adds."""
    return min(spent(task)[0] for _ in range(1 if TOY else times))


def in_children(command: list[str], times: int = 7) -> float:
    """Least time of a process."""
    taken = []
    for _ in range(1 if TOY else times):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=True, capture_output=True)
        now = resource.getrusage(resource.RUSAGE_CHILDREN)
        taken.append(now.ru_utime + now.ru_stime - before.ru_utime - before.ru_stime)
    return 1000 * min(taken)


def made_up(units: int, spans: int) -> str:
    """A draft of crossings and turns of all kinds, as large as asked, the same at every run."""
    chance = random.Random(8)
    parts = [HEAD.format(units=units)]
    for _ in range(spans):
        moves, place = [], 1 + chance.randrange(3)
        while place + 3 <= units:
            word = chance.choice(["over", "under"])
            blocks = f"{place}-{place + 1} {word} {place + 2}-{place + 3}"
            moves.append(
                chance.choice([blocks, f"{place} {word} {place + 1}", f"turn {place} right"])
            )
            place += 4
        parts.append('[[span]]\nheight = 140\nmoves = """\n' + "\n".join(moves) + '\n"""\n')
    return "".join(parts)


def edited(text: str) -> str:
    """One move more, in the middle of the text: all that follows lies otherwise, one line lower."""
    at = text.index('"""\n', text.index("moves", len(text) // 2)) + 4
    return f"{text[:at]}1 over 2\n{text[at:]}"


def read(text: str, former: Piece | None = None) -> Piece:
    """The piece of a text; after an edit, of the piece before."""
    if former is None:
        return Piece(read_draft(text, file="draft.toml", workshop=WORKSHOP))
    draft = read_draft(text, file="draft.toml", workshop=WORKSHOP, former=former.draft)
    return piece_after(former, draft)


def computed(text: str, stages: tuple[str, ...], former: Piece | None = None) -> Piece:
    """A piece with these stages worked out."""
    piece = read(text, former)
    if not piece.computable:
        raise SystemExit(piece.draft.notes[0].message)
    for stage in stages:
        getattr(piece, stage)
    return piece


def edits(name: str, text: str, times: int) -> None:
    """From nothing, and after an edit: what is shown at once."""
    one, other = text, edited(text)
    anew = least(lambda: computed(one, AT_ONCE), times)
    piece, after = computed(one, AT_ONCE), []
    for turn in range(2 * times):
        taken, piece = spent(lambda t=turn, p=piece: computed((other, one)[t % 2], AT_ONCE, p))
        after.append(taken)
    whole = computed(one, AT_ONCE)
    if piece.paths.length_mm.tobytes() != whole.paths.length_mm.tobytes():
        raise SystemExit("an edit ends otherwise than from nothing")
    least_after, usual = min(after), median(after)
    print(
        f"{name}, reading to amounts: from nothing {anew:.0f} ms, after an edit "
        f"{least_after:.0f} ms (median {usual:.0f}), {anew / least_after:.1f} times sooner"
    )


def main() -> None:
    """Print it all."""
    gc.set_threshold(50_000, 20, 20)  # as the command line does
    text = LARGE.read_text(encoding="utf-8")
    computed(text, STAGES)
    print(f"48 x 40, warm, from text to all stages: {least(lambda: computed(text, STAGES)):.0f} ms")
    print(f"  reading alone: {least(lambda: read(text)):.1f} ms")
    rows = []
    for _ in range(1 if TOY else 5):
        piece = read(text)
        rows.append([spent(lambda p=piece, s=stage: getattr(p, s))[0] for stage in STAGES])
    for stage, column in zip(STAGES, zip(*rows, strict=True), strict=True):
        print(f"  {stage}: {min(column):.1f} ms")
    piece = Piece(read_file(LARGE))
    print(f"  facts from a computed piece: {least(lambda: facts_of(piece)):.0f} ms")
    edits("48 x 40", text, 1 if TOY else 7)
    if not TOY:
        edits("400 x 400", made_up(400, 400), 3)
    bare = in_children([sys.executable, "-c", "pass"])
    numpy = in_children([sys.executable, "-c", "import numpy"])
    check = in_children([str(Path(sys.executable).with_name("crossfell")), "check", str(LARGE)])
    print(f"`crossfell check` as a process: {check:.0f} ms (a bare python {bare:.0f}, "
          f"with numpy {numpy:.0f})")  # fmt: skip
    base = 0.0
    print("units x spans, without the plan, time for each unit and span, against the smallest:")
    for size in (5,) if TOY else (25, 50, 100, 200, 400):
        grid = made_up(size, size)
        stages = tuple(stage for stage in STAGES if stage not in {"plan", "notes"})
        taken = least(
            lambda grid=grid, stages=stages: computed(grid, stages), 3 if size < 200 else 1
        )
        each = 1000 * taken / size**2
        base = base or each
        print(f"  {size:3} x {size:3}: {taken:8.0f} ms, {each:6.1f} us each, {each / base:.2f}")


if __name__ == "__main__":
    main()
