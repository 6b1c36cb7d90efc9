"""A small piece on a server of its own, and a browser at the size of a tablet."""

import socket
import threading
import time

import uvicorn

from crossfell.loomside.guide import Guide
from crossfell.loomside.serve import OnlyHere
from crossfell.loomside.web import loom_app

TABLET = {"width": 1280, "height": 800}
# Stands in for the voice of the browser, which has none when nobody looks: keeps what is said.
VOICE = """
window.said = [];
Object.defineProperty(window, "speechSynthesis", { value: {
  getVoices: () => [{ name: "Stub", voiceURI: "stub", lang: "en" }],
  cancel() {}, speak(words) { window.said.push([words.text, words.rate]); words.onend?.(); },
}});
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
"""
MUTE = """
Object.defineProperty(window, "speechSynthesis", { value: {
  getVoices: () => [], cancel() {},
  speak(words) { setTimeout(() => words.onerror?.({ error: "synthesis-failed" })); },
}});
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
"""


class Served:
    """The screen of one draft on the loopback; it can be dropped and come back."""

    def __init__(self, file):
        self.file = file
        self.port = 0
        self.up()

    def up(self):
        self.guide = Guide(self.file)
        listening = socket.create_server(("127.0.0.1", self.port))
        self.port = listening.getsockname()[1]
        app = OnlyHere(loom_app(self.guide), self.port)
        config = uvicorn.Config(
            app, log_level="warning", lifespan="off", timeout_graceful_shutdown=1
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [listening]})
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)

    def down(self):
        self.server.should_exit = True
        self.thread.join()
        self.guide.close()

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}/"

    def ticks(self):
        return [e.step.number for e in self.guide.record.events() if e.kind == "tick"]

    def go_to(self, kind, side="front"):
        """Tick up to the first step of a kind; its number."""
        steps = self.guide.now().plan.steps
        at = next(i for i, s in enumerate(steps) if s.kind == kind and s.side == side)
        done = self.guide.now().progress.at
        self.guide.tell([self.guide.event("tick", index=i) for i in range(done, at)])
        return at + 1
