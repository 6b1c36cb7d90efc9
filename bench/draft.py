"""How long does a draft take to be read and changed? Ratios of one run on this machine.

python bench/draft.py [--toy]
"""

from __future__ import annotations

import sys
import time
import tomllib
from pathlib import Path

import tomlkit

from crossfell.draft.edit import add_move, set_height
from crossfell.draft.reader import read_draft

TOY = "--toy" in sys.argv  # small, to see that it runs
EXAMPLE = Path(__file__).parents[1] / "examples/03-long-harvest/long-harvest.toml"
SPAN = '\n[[span]]  # {k}\nheight = 140\nmoves = """\nplait 1-{n}\n{k} over {m}\n"""\n'


def seconds(work, rounds=7):
    """The least processor time of some rounds."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def grown(spans, units=100):
    """A draft of many spans."""
    head = EXAMPLE.read_text().split("[figure")[0].split("[[span]]")[0]
    rows = [SPAN.format(k=k % 50 + 1, m=k % 50 + 2, n=units) for k in range(spans)]
    order = next(line for line in head.splitlines() if line.startswith("order"))
    kind = order.split('"')[1].split("*")[0].split()[0]
    return head.replace(order, f'order = "{kind}*{units}"') + "".join(rows)


def main():
    text = EXAMPLE.read_text()
    plain = seconds(lambda: tomllib.loads(text))
    print(
        f"{len(text)} letters; the standard reader takes {1000 * plain:.2f} ms. As often as that:"
    )
    for name, work in (
        ("a whole reading, every key with its place", lambda: read_draft(text)),
        ("adding a move", lambda: add_move(text, 20, "turn 1 right")),
        ("setting a height", lambda: set_height(text, 20, 150)),
        ("a library that keeps layout, reading only", lambda: tomlkit.parse(text)),
    ):
        print(f"  {name:45} {seconds(work) / plain:6.1f} times")
    print("Reading, in ms for each span (even: linear in the spans), and in all after an edit:")
    for spans in (25,) if TOY else (25, 100, 400, 1600):
        big = grown(spans)
        draft = read_draft(big)
        now = add_move(big, spans // 2, "turn 1 right")
        again = 1000 * seconds(lambda now=now, draft=draft: read_draft(now, former=draft), 3)
        each = 1000 * seconds(lambda big=big: read_draft(big), 3) / spans
        print(f"  {spans:5} spans {each:6.2f} {again:8.1f}")


if __name__ == "__main__":
    main()
