"""How quickly does the studio answer her hand, in a real browser?

    python bench/studio.py [--large | --toy]

For the 48 × 40 example (and with --large for a piece of 400 units and 400 spans):

- the piece opened for the first time, and by a new window of a warm server: from the address to
  the first picture;
- one step of a drag: from asking to the answer with ghost, numbers and what it would look like;
- a drop after a rest of half a second, and one in the middle of a step: from letting go to the new
  picture, numbers and findings, painted, after the edit was acknowledged.

Beside each time: how many plain requests it is worth (one request for a small file, in the same
run), the processor time (ms) that server and browser took meanwhile, and how many calls were made.
On a machine with other work only these can be compared. Asserts nothing.
"""

import contextlib
import os
import random
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "browser"))

from studio_window import Window

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
EXAMPLES = Path(__file__).parents[1] / "examples"
TOY = "--toy" in sys.argv  # a small piece, a single drag: to see that it runs
DRAGS = 1 if TOY else 15
REST_MS = 100 if TOY else 500

SETTLED = """() => new Promise(resolve => {
  const frame = then => requestAnimationFrame(then);
  const before = document.documentElement.dataset.shown;
  addEventListener('pointerup', () => {
    const start = performance.now();
    const look = () => {
      if (document.documentElement.dataset.shown === before) frame(look);
      else frame(() => frame(() => resolve(performance.now() - start)));
    };
    look();
  }, {capture: true, once: true});
})"""


class Apart:
    """The studio in a process of its own, as it is used."""

    def __init__(self, folder):
        command = [sys.executable, "-c", "from crossfell.cli import run; run()", "studio",
                   str(folder), "--no-browser", "--port", "0"]  # fmt: skip
        environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)
        found = None
        while found is None:
            found = re.search(r"http://127.0.0.1:(\d+)/\S+", self.process.stdout.readline())
        self.address, self.port = found[0], int(found[1])

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.terminate()
        self.process.wait()
        self.process.stdout.close()


def large(folder, units=400, spans=400):
    """A piece beyond any loom: crossings of all kinds, the same at every run."""
    text = (EXAMPLES / "02-tideline" / "tideline.toml").read_text()
    head = text[: text.index("[warp]")] + f'[warp]\npitch = 28\norder = "a*{units}"\n[band]\n'
    head = head.replace("width = 1100, height = 2600", "width = 20000, height = 90000")
    chance = random.Random(8)
    parts = [head + 'picks = "3, rod, 3"\nrod = "steel 3"\n']
    for _ in range(spans):
        moves, place = [], 1 + chance.randrange(3)
        while place + 3 <= units:
            word = chance.choice(["over", "under"])
            moves.append(
                chance.choice(
                    [
                        f"{place}-{place + 1} {word} {place + 2}-{place + 3}",
                        f"{place} {word} {place + 1}",
                        f"turn {place} right",
                    ]
                )
            )
            place += 4
        parts.append('\n[[span]]\nheight = 140\nmoves = """\n' + "\n".join(moves) + '\n"""\n')
    (folder / "large.toml").write_text("".join(parts))


def processor_ms(processes):
    """Processor time of processes until now (Linux: proc(5), schedstat)."""
    total = 0
    for process in processes:
        for task in Path(f"/proc/{process}/task").glob("*/schedstat"):
            with contextlib.suppress(OSError):  # it has ended
                total += int(task.read_text().split()[0])
    return total / 1e6


def browsers():
    """Every process of the browser that was started here."""
    parents, kinds = {}, {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            head, tail = stat.read_text().rsplit(")", 1)
            parents[int(stat.parent.name)] = int(tail.split()[1])
            kinds[int(stat.parent.name)] = head.split("(", 1)[1]
    ours = {os.getpid()}
    while more := {child for child, parent in parents.items() if parent in ours} - ours:
        ours |= more
    return [process for process in ours if "chrom" in kinds.get(process, "")]


class Measured:
    """Times of one kind (ms), processor time in server and browser, and calls made in it."""

    def __init__(self, says, studio):
        self.says, self.pid = says, studio.process.pid
        self.times, self.server, self.browser, self.calls = [], [], [], []

    def start(self):
        self._before = self._now()

    def done(self, took, calls):
        server, browser = (now - then for now, then in zip(self._now(), self._before, strict=True))
        self.times.append(took)
        self.server.append(server)
        self.browser.append(browser)
        self.calls.append(calls)

    def _now(self):
        return processor_ms([self.pid]), processor_ms(browsers())

    def row(self, plain_ms):
        """One line of the table."""
        times, median = sorted(self.times), statistics.median
        more = f"; slowest of {len(times)}: {times[-1]:.0f}" if len(times) > 1 else ""
        return (
            f"  {self.says:31} {median(times):6.0f} ms = {median(times) / plain_ms:3.0f} requests; "
            f"server {median(self.server):.0f}, browser {median(self.browser):.0f}, "
            f"calls {median(self.calls):.0f}{more}"
        )


CALLS = "performance.getEntriesByType('resource').filter(e => e.name.includes('/api/'))"


def opened(says, studio, browser, piece, **options):
    """A new window, until it shows a picture; `storage_state` of one that was let in already."""
    window, one = Window(browser, studio, **options), Measured(says, studio)
    window.context.set_default_timeout(120_000)
    if not options:
        window.page.goto(studio.address)
        window.page.wait_for_timeout(4 * REST_MS)
        window.page.goto("about:blank")
    one.start()
    start = time.perf_counter()
    window.page.goto(f"http://127.0.0.1:{studio.port}/#/piece/{piece}")
    window.shown()
    took = 1000 * (time.perf_counter() - start)
    one.done(took, window.page.evaluate(f"{CALLS}.length"))
    window.page.wait_for_timeout(6 * REST_MS)
    return window, one


def lifted(window, place, span):
    """Take up a unit; how it is carried is told by the caller."""
    page, at = window.page, window.point(place, span)
    page.mouse.move(at["x"], at["y"])
    with page.expect_response(lambda r: r.url.endswith("/api/select")):
        page.mouse.down()
    page.mouse.move(at["x"] + at["pitch"] * 0.4, at["y"])  # not yet over a neighbour
    page.wait_for_timeout(REST_MS)
    page.evaluate("performance.clearResourceTimings()")
    return at


def dropped(page, drop):
    """Let go, until the new state is shown."""
    page.evaluate(f"() => {{ window.took = null; ({SETTLED})().then(t => window.took = t) }}")
    drop.start()
    page.mouse.up()
    while (took := page.evaluate("window.took")) is None:
        page.wait_for_timeout(20)
    drop.done(took, page.evaluate(f"{CALLS}.filter(e => !e.name.endsWith('/drag')).length"))
    page.wait_for_timeout(3 * REST_MS)


def dragged(window, studio, span, places):
    """One step, a drop after a rest, a drop at once."""
    page, chance = window.page, random.Random(1)
    says = ("one step of a drag", "dropped after a rest", "dropped in the middle of a step")
    step, rested, at_once = (Measured(words, studio) for words in says)
    for k in range(2 * DRAGS):
        at, by = lifted(window, chance.randrange(2, places - 3), span), chance.choice([1, 2])
        to = (at["x"] + at["pitch"] * by, at["y"])
        if k % 2:
            page.mouse.move(*to)
            dropped(page, at_once)
            continue
        step.start()
        with page.expect_response(lambda r: r.url.endswith("/api/drag")):
            page.mouse.move(*to)
        page.wait_for_timeout(50)
        took = page.evaluate(f"{CALLS}.find(e => e.name.endsWith('/drag')).duration")
        step.done(took, page.evaluate(f"{CALLS}.length"))
        page.wait_for_timeout(REST_MS)
        dropped(page, rested)
    return step, rested, at_once


def plain(window):
    """One request that asks for nothing (ms): what the browser and the channel cost."""
    return window.page.evaluate("""async () => {
      const all = [];
      for (let k = 0; k < 30; k++) {
        const start = performance.now();
        await (await fetch('/static/icon.svg', {cache: 'no-store'})).text();
        all.push(performance.now() - start);
      }
      return all.sort((a, b) => a - b)[15];
    }""")


def main():
    pieces = [("first-sampler", 5, 8, 2)] if TOY else [("long-harvest", 40, 48, 1)]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copy(next(EXAMPLES.glob(f"*/{pieces[0][0]}.toml")), folder)
        shutil.copy(EXAMPLES / "workshop.toml", folder)
        if "--large" in sys.argv:
            large(folder)
            pieces.append(("large", 400, 400, 400))
        with Apart(folder) as studio, sync_playwright() as play:
            browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
            for piece, spans, places, span in pieces:
                window, first = opened("opened for the first time", studio, browser, piece)
                state = window.context.storage_state()
                window.close()
                window, again = opened(
                    "opened on a warm server", studio, browser, piece, storage_state=state
                )
                rows = dragged(window, studio, span, min(places, 30))
                unit = plain(window)
                load = ", ".join(f"{value:.1f}" for value in os.getloadavg())
                print(f"{piece}: {places} units, {spans} spans; one plain request {unit:.1f} ms; "
                      f"load {load} on {os.cpu_count()} processors")  # fmt: skip
                for row in (first, again, *rows):
                    print(row.row(unit))
                window.close()
            browser.close()


if __name__ == "__main__":
    main()
