"""How quickly does the studio answer her hand, in a real browser?

    python bench/studio.py [--large]

Prints, for the 48 × 40 example (and with --large for a piece of 400 units and 400 spans): the first
picture from a warm server; from the end of a drag to the new picture and findings; one step of a
drag with its ghost and numbers. Every time beside that of one plain request, measured in the same
run on the same machine. Asserts nothing.
"""

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
DRAGS = 15

SETTLED = """() => new Promise(resolve => {
  const before = document.documentElement.dataset.shown;
  addEventListener('pointerup', () => {
    const start = performance.now();
    const look = () => {
      if (document.documentElement.dataset.shown === before) requestAnimationFrame(look);
      else requestAnimationFrame(() => resolve(performance.now() - start));
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


def measured(window, piece, spans, places):
    """First picture, drags, steps: milliseconds."""
    page = window.page
    start = time.perf_counter()
    window.go(piece)
    page.locator("canvas.slice").first.wait_for()
    first = 1000 * (time.perf_counter() - start)
    page.wait_for_timeout(1500)
    ends, steps = [], []
    chance = random.Random(1)
    for _ in range(DRAGS):
        place, by = chance.randrange(2, places - 3), chance.choice([1, 2])
        at = window.point(place, spans)
        page.mouse.move(at["x"], at["y"])
        with page.expect_response(lambda r: r.url.endswith("/api/select")):
            page.mouse.down()
        page.mouse.move(at["x"] + at["pitch"] * by / 2, at["y"])
        page.evaluate("performance.clearResourceTimings()")
        with page.expect_response(lambda r: r.url.endswith("/api/drag")):
            page.mouse.move(at["x"] + at["pitch"] * by, at["y"])
        page.wait_for_timeout(100)
        steps += page.evaluate(
            "performance.getEntriesByType('resource').filter(e => e.name.endsWith('/api/drag'))"
            ".map(e => e.duration)"
        )
        page.wait_for_timeout(350)
        done = page.evaluate_handle(f"({SETTLED})().then(t => window.took = t); 0")
        done.dispose()
        page.evaluate("window.took = null")
        page.mouse.up()
        while page.evaluate("window.took") is None:
            page.wait_for_timeout(20)
        ends.append(page.evaluate("window.took"))
        page.wait_for_timeout(500)
    return first, ends, steps


def plain(window):
    """One request that asks for nothing: what the browser and the channel cost."""
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
    pieces = [("long-harvest", 40, 48)]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copy(EXAMPLES / "03-long-harvest" / "long-harvest.toml", folder)
        shutil.copy(EXAMPLES / "workshop.toml", folder)
        if "--large" in sys.argv:
            large(folder)
            pieces.append(("large", 400, 400))
        with Apart(folder) as studio, sync_playwright() as play:
            browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
            for piece, spans, places in pieces:
                window = Window(browser, studio)
                window.context.set_default_timeout(120_000)
                start = time.perf_counter()
                window.go(piece)  # warms the server
                cold = 1000 * (time.perf_counter() - start)
                span = 1 if piece == "long-harvest" else spans
                first, ends, steps = measured(window, piece, span, min(places, 30))
                unit = plain(window)
                median = statistics.median(ends)
                print(f"{piece}: {places} units, {spans} spans; one plain request {unit:.1f} ms")
                print(f"  opened for the first time        {cold:7.0f} ms")
                print(f"  first picture, warm server       {first:7.0f} ms")
                times = f"{median / unit:.0f} requests"
                print(f"  drag's end to picture, median    {median:7.0f} ms = {times}")
                print(f"  … slowest of {len(ends)}                  {max(ends):7.0f} ms")
                print(f"  one step of a drag, median       {statistics.median(steps):7.0f} ms")
                window.close()
            browser.close()


if __name__ == "__main__":
    main()
