"""How much does it cost to keep what is done? Ratios of one run; asserts nothing."""

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

from crossfell.loomside.guide import Guide
from crossfell.record.identity import keys_of
from crossfell.record.progress import done_steps, progress_of
from crossfell.record.store import Record, read_record

EXAMPLES = Path(__file__).parents[1] / "examples"
TOY = "--toy" in sys.argv  # small, to see that it runs
EXAMPLE = EXAMPLES / (
    "01-first-sampler/first-sampler.toml" if TOY else "03-long-harvest/long-harvest.toml"
)
TICKS = 20 if TOY else 200


def timed(what, times):
    """Median seconds of one call."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        what()
        took.append(time.perf_counter() - start)
    return statistics.median(took)


def main():
    """Print the ratios."""
    with tempfile.TemporaryDirectory() as folder:
        draft = Path(folder) / "long.toml"
        draft.write_text(EXAMPLE.read_text())
        start = time.perf_counter()
        guide = Guide(draft)
        opened = time.perf_counter() - start
        steps = guide.now().plan.steps
        plain = (Path(folder) / "plain").open("ab", buffering=0)

        def flushed():
            plain.write(b"x" * 400)
            os.fsync(plain.fileno())

        flush = timed(flushed, TICKS)
        marks = iter(range(len(steps)))
        tick = timed(lambda: guide.tell([guide.event("tick", index=next(marks))]), TICKS)
        guide.tell([guide.event("tick", index=i) for i in range(TICKS, len(steps) - 1)])
        now = timed(lambda: (guide.tell([guide.event("pause")]), guide.now()), 9)
        whole = timed(lambda: read_record(guide.record.path), 3)
        keys = keys_of(steps, guide.now().plan.piece.order.names)
        events = guide.record.events()
        fold = timed(lambda: progress_of(steps, keys, done_steps(events)), 9)
        guide.close()
        reopened = timed(lambda: Record(guide.record.path).close(), 9)
        print(f"{len(steps)} steps, {len(events)} events, {guide.record.path.stat().st_size} bytes")
        print(f"tick to the disk          {tick * 1e3:8.2f} ms, {tick / flush:5.2f} x one fsync")
        print(f"told, and where she is    {now * 1e3:8.1f} ms, {now / opened:5.3f} x opening")
        print(f"  of it, finding the step {fold * 1e3:8.1f} ms")
        print(f"plan, rehearse and open   {opened * 1e3:8.1f} ms")
        print(f"open the record again     {reopened * 1e3:8.1f} ms, whole checked")
        print(f"read it without writing   {whole * 1e3:8.1f} ms")


if __name__ == "__main__":
    main()
