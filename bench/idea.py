"""How long from an idea to a draft: a sketch, all figures of the table, two hundred variants?

    python bench/idea.py

Prints times, and beside the sketch the plain model (arc flow, the same problem) on HiGHS in the
same run. Asserts nothing.
"""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array

from crossfell.draft.files import read_file
from crossfell.materials.colour import linear_from_hex
from crossfell.piece import Piece
from crossfell.search.figures.counting import figures_of
from crossfell.search.figures.spans import spans_of
from crossfell.search.sketch.asked import asked
from crossfell.search.sketch.preview import preview
from crossfell.search.sketch.program import Taste, counts_of, price_of
from crossfell.search.sketch.solving import at_once, in_windows
from crossfell.search.variants.comparing import Job, numbers_of
from crossfell.search.variants.ways import variants_of
from crossfell.search.workers import done_by, workers

COLOURS = ("#e8e2d0", "#4a5560", "#b0512f", "#5b6b4a", "#d8a93a", "#203040")
EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "02-tideline" / "tideline.toml"
TASTE = Taste()
GIVEN_UP = 120.0  # seconds


def timed(task):
    """What a task gives, and its seconds."""
    start = time.perf_counter()
    return task(), time.perf_counter() - start


def picture(bands: int, places: int, colours: int):
    """Stripes aslant, a disc and wandering lines: an ask of our own making."""
    y, x = np.mgrid[:bands, :places]
    grid = ((x + y) // 6 % 2 == 0).astype(int)
    grid[(x - places / 2) ** 2 + (y - bands / 2) ** 2 < (places / 4) ** 2] = 2
    if colours > 3:
        grid[np.abs(x - places * 0.2 - 3 * np.sin(y / 4)) < 2] = 3
    if colours > 4:
        grid[np.abs(x - places * 0.85 - 3 * np.sin(y / 5)) < 2] = 4
    if colours > 5:
        grid[y < bands * 0.1] = 5
    light = np.array([linear_from_hex(colour) for colour in COLOURS])[grid]
    return asked(light, np.ones(grid.shape), COLOURS[:colours], reach=3, free=(False,) * colours)


def arc_flow(ask) -> float | None:
    """The bound by flows of units from place to place: a variable for each arc; None: given up."""
    bands, colours, places = ask.shape
    cell = np.arange(bands * colours * places).reshape(bands, colours, places)
    pairs = [(a, b) for a in range(places) for b in range(places) if abs(a - b) <= ask.reach]
    a, b = np.array(pairs).T
    arcs = cell.size + np.arange((bands - 1) * colours * len(a)).reshape(bands - 1, colours, len(a))
    cost = [np.zeros(cell.size), np.tile(TASTE.easy * np.abs(a - b), (bands - 1) * colours)]
    rows, columns, values, right = [], [], [], []
    count = 0

    def add(index, value, row):
        rows.append(row.ravel())
        columns.append(np.broadcast_to(index, row.shape).ravel())
        values.append(np.broadcast_to(value, row.shape).ravel().astype(float))

    for side, first in ((a, cell[:-1]), (b, cell[1:])):
        row = count + np.arange(first.size).reshape(first.shape)
        add(first, -1, row)
        add(arcs, 1, row[:, :, side])
        right.append(np.zeros(first.size))
        count += first.size
    row = count + np.arange(bands * places).reshape(bands, 1, places)
    add(cell, 1, np.broadcast_to(row, cell.shape))
    right.append(np.ones(bands * places))
    count += bands * places
    so_far = cell.size + arcs.size + np.arange(cell.size).reshape(cell.shape)  # units up to here
    row = count + np.arange(cell.size).reshape(cell.shape)
    add(so_far, 1, row)
    add(cell, -1, row)
    add(so_far[:, :, :-1], -1, row[:, :, 1:])
    right.append(np.zeros(cell.size))
    cost.append(np.zeros(cell.size))
    equal = (rows, columns, values, right, count + cell.size)
    apart = cell.size + arcs.size + cell.size + np.arange(bands * colours * (places - 1))
    asks = ask.sums[:, :, 1:-1].ravel()
    cost.append(np.broadcast_to(ask.weight[:, None, 1:-1], ask.sums[:, :, 1:-1].shape).ravel())
    floor = np.floor(asks)
    slope = 1 - 2 * (asks - floor)
    rows, columns, values, right, count = [], [], [], [], 0
    index, at = so_far[:, :, :-1].ravel(), np.arange(asks.size)
    for factor, most in ((1, asks), (-1, -asks), (slope, -(asks - floor - slope * floor))):
        add(index, np.broadcast_to(factor, asks.shape), count + at)
        add(apart, -1, count + at)
        right.append(most)
        count += asks.size
    size = 2 * cell.size + arcs.size + apart.size
    made = [
        coo_array((np.concatenate(v), (np.concatenate(r), np.concatenate(c))), shape=(n, size))
        for r, c, v, _, n in (equal, (rows, columns, values, right, count))
    ]
    high = np.concatenate((np.ones(cell.size + arcs.size), np.full(cell.size + apart.size, np.inf)))
    found = linprog(np.concatenate(cost), A_eq=made[0], b_eq=np.concatenate(equal[3]), A_ub=made[1],
                    b_ub=np.concatenate(right), bounds=np.stack((np.zeros(size), high), axis=1),
                    method="highs-ipm", options={"time_limit": GIVEN_UP})  # fmt: skip
    return None if found.status == 1 else float(found.fun)


def sketches() -> None:
    """Preview, windows, bound; the plain model beside them where it is small enough."""
    for bands, places, colours in ((20, 24, 3), (40, 48, 5), (60, 96, 6)):
        ask = picture(bands, places, colours)
        shown, quick = min((timed(lambda a=ask: preview(a)) for _ in range(5)), key=lambda r: r[1])
        first = counts_of(shown, colours)
        (better, _), windows = timed(
            lambda a=ask, f=first: in_windows(a, TASTE, f, lambda *_: True)
        )
        said = f"{places} × {bands} × {colours}: preview {1000 * quick:.1f} ms, "
        said += f"windows {windows:.2f} s"
        if bands < 60:
            (counts, bound), whole = timed(lambda a=ask, c=better: at_once(a, TASTE, c))
            plain, theirs = timed(lambda a=ask: arc_flow(a))
            prices = [price_of(ask, TASTE, one) / bound - 1 for one in (first, better, counts)]
            said += f", whole {whole:.2f} s; above the bound " + ", ".join(
                f"{100 * gap:.2f} %" for gap in prices
            )
            said += f"; arc flow {theirs:.2f} s ({theirs / whole:.1f}× the whole, "
            said += f"{theirs / windows:.1f}× the windows), "
            said += "given up" if plain is None else f"bounds apart {abs(plain - bound):.1e}"
        print(said)


def figures() -> None:
    """All figures of the table."""
    sizes = ((3, 2, 4), (4, 1, 4), (4, 2, 4), (5, 1, 4), (5, 2, 4), (6, 1, 4), (6, 2, 3), (7, 1, 4))
    found, spent = timed(lambda: [len(figures_of(spans_of(n, r), k).rows) for n, r, k in sizes])
    print(f"figures of the table: {sum(found)} in {spent:.2f} s")


def variants(many: int = 24) -> None:
    """Variants on all cores against a plain loop, in the same run."""
    piece = Piece(read_file(EXAMPLE))
    texts = [one.text for one in variants_of(piece)]
    jobs = [Job(texts[k % len(texts)], piece.draft.workshop_text) for k in range(many)]
    _, alone = timed(lambda: done_by(None, numbers_of, jobs))
    with workers(jobs=many) as executor:
        _, together = timed(lambda: done_by(executor, numbers_of, jobs))
    print(f"{many} variants: one core {alone:.1f} s, all cores {together:.1f} s, "
          f"{alone / together:.2f}×")  # fmt: skip


if __name__ == "__main__":
    sketches()
    figures()
    variants()
