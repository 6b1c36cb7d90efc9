"""A studio in a thread, and a browser's window on it that remembers what went wrong."""

import threading
from pathlib import Path
from urllib.parse import quote

import uvicorn

from crossfell.loomside.listening import HOST, listening_on
from crossfell.studio.app import studio
from crossfell.studio.guard import door
from waiting import LONG_MS

AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
PICTURES = Path(__file__).parents[2] / "build" / "screens"


class Studio:
    """A running studio."""

    def __init__(self, folder, secret="a-secret"):
        self.folder, self.secret = folder, secret

    def __enter__(self):
        self.socket = listening_on(HOST, 0)
        self.port = self.socket.getsockname()[1]
        app = studio(self.folder, door(self.port), self.secret)
        config = uvicorn.Config(
            app,
            log_level="warning",
            timeout_graceful_shutdown=1,
            ws="websockets-sansio",
            ws_per_message_deflate=False,
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [self.socket]})
        self.thread.start()
        return self

    def __exit__(self, *_):
        self.server.should_exit = True
        self.thread.join(10)
        self.socket.close()

    @property
    def address(self):
        return f"http://127.0.0.1:{self.port}/?key={self.secret}"


class Window:
    """One window. `faults` collects console errors, page errors and failed requests."""

    def __init__(self, browser, studio, *, width=1440, height=900, quiet=(), **options):
        self.studio, self.faults = studio, []
        self.context = browser.new_context(viewport={"width": width, "height": height}, **options)
        self.context.set_default_timeout(LONG_MS)
        self.page = self.context.new_page()
        self._quiet = quiet
        self.page.on(
            "console", lambda m: self._fault(m.text) if m.type in {"error", "warning"} else None
        )
        self.page.on("pageerror", lambda error: self._fault(str(error)))
        self.page.on("requestfailed", lambda r: self._fault(f"{r.url} {r.failure}"))
        self.page.on(
            "response", lambda r: self._fault(f"{r.status} {r.url}") if r.status >= 400 else None
        )

    def _fault(self, says):
        aborted = "net::ERR_ABORTED" in says  # a slice that was no longer wanted
        if not aborted and not any(word in says for word in self._quiet):
            self.faults.append(says)

    def go(self, piece=None):
        self.page.goto(self.studio.address)
        if piece:
            self.page.goto(f"http://127.0.0.1:{self.studio.port}/#/piece/{quote(piece, safe='')}")
            self.page.locator(".sheet-box").wait_for()
            self.shown()

    def close(self):
        self.context.close()

    def shown(self):
        """Wait until the picture is the one of the state that is shown."""
        self.page.locator("html[data-shown]").wait_for(state="attached")
        self.page.locator("canvas.slice").first.wait_for()

    def panel(self, name):
        self.page.locator(f"#tab-{name}").click()

    def number(self, key):
        return self.page.locator(f'[data-number="{key}"] .value').inner_text()

    def keys(self):
        """Keys of the slices that are shown."""
        return self.page.eval_on_selector_all("canvas.slice", "all => all.map(i => i.dataset.key)")

    def point(self, place, span):
        """A point of the page at the end of a span, in the middle of a place."""
        return self.page.evaluate(
            """async ([place, span]) => {
              const name = decodeURIComponent(location.hash.slice(8));
              const ask = async (call, more) => (await fetch('/api/' + call, {method: 'POST',
                headers: {'Content-Type': 'application/json'},
                body: JSON.stringify({piece: name, view: 'front', ...more})})).json();
              const state = await ask('open', {});
              const p = state.picture;
              const box = document.querySelector('.over-picture').getBoundingClientRect();
              const scale = box.width / p.width;
              const [a, b] = [p.bands[span - 1], p.bands[span]];
              const up = p.up < 0 ? b[0] - 3 : b[1] + 3;
              return {x: box.left + p.places[place - 1] * scale, y: box.top + up * scale,
                pitch: (p.places[1] - p.places[0]) * scale};
            }""",
            [place, span],
        )

    def drag(self, place, span, by, down_px=0, *, drop=True):
        """Drag the unit in a place sideways, by a number of places."""
        at = self.point(place, span)
        mouse = self.page.mouse
        mouse.move(at["x"], at["y"])
        with self.page.expect_response(lambda r: r.url.endswith("/api/select")):
            mouse.down()
        mouse.move(at["x"] + by * at["pitch"] / 2, at["y"] + down_px / 2)
        mouse.move(at["x"] + by * at["pitch"], at["y"] + down_px)
        self.page.locator(".carry-words").wait_for()
        if drop:
            with self.page.expect_response(lambda r: r.url.endswith("/api/edit")):
                mouse.up()

    def violations(self):
        """What axe-core finds on the screen as it is."""
        if not self.page.evaluate("typeof axe === 'object'"):
            self.page.evaluate(AXE)
        found = self.page.evaluate(
            "rules => axe.run(document, {runOnly: {type: 'tag', values: rules}})", RULES
        )
        return [
            (v["id"], v["help"], [node["html"][:160] for node in v["nodes"]])
            for v in found["violations"]
        ]

    def picture(self, name):
        """Keep a screenshot, to be looked at."""
        PICTURES.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=PICTURES / f"{name}.png")
