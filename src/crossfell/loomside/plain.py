"""The same steps in a terminal: one fills the screen, one key says done, another goes back."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Static

from crossfell.loomside.blocks import in_blocks
from crossfell.loomside.guide import Guide, Now
from crossfell.loomside.screen import Screen, screen_of
from crossfell.record.opening import NotSaved

TWICE_S = 0.35  # a second key so soon is a key that was held, or a foot that trembled


class NoteBox(ModalScreen[str]):
    """Asks for a note."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "leave")]

    def compose(self) -> ComposeResult:
        """One line to write in."""
        with Vertical(id="note"):
            yield Label("Note at this step (Enter keeps it, Escape leaves it)")
            yield Input()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Keep it."""
        self.dismiss(event.value)

    def action_leave(self) -> None:
        """Leave it."""
        self.dismiss("")


class PlainTerminal(App[None]):
    """The terminal at the loom."""

    CSS = """
    Screen { background: #ffffff; color: #000000; }
    #where { height: 1; background: #000000; color: #ffffff; text-style: bold; padding: 0 1; }
    #body { padding: 1 4; height: 1fr; }
    #do { text-style: bold; }
    #cross { text-style: bold reverse; width: auto; }
    #body .none { display: none; }
    #lines, #row, #marks { margin-top: 1; }
    #doubt { margin-top: 1; text-style: bold; }
    #keys { height: 1; dock: bottom; background: #000000; color: #ffffff; padding: 0 1; }
    #note { width: 70%; height: auto; padding: 1 2; border: heavy #000000; background: #ffffff; }
    NoteBox { align: center middle; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter,right,pagedown,d", "done", "done", priority=False),
        Binding("backspace,left,pageup,b", "undo", "back"),
        Binding("f", "side", "other side"),
        Binding("n", "note", "note"),
        Binding("p", "pause", "pause"),
        Binding("q", "quit", "quit"),
    ]
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, guide: Guide) -> None:
        super().__init__()
        self.guide = guide
        self.other_side = False
        self.paused = False
        self.sure = False  # that what is said to be wet is dry
        self._last_key = 0.0

    def compose(self) -> ComposeResult:
        """From the top: where she is, what to do, the keys."""
        yield Static(id="where", markup=False)
        with Vertical(id="body"):
            for name in ("do", "cross", "lines", "marks", "row", "doubt"):
                yield Static(id=name, markup=False)
        yield Static(
            "SPACE done   BACKSPACE back   F other side   N note   P pause   Q quit",
            id="keys",
            markup=False,
        )

    def on_resize(self) -> None:
        """Letters as large as the screen allows now."""
        self._show(self.guide.now(), keep_side=True)

    def on_mount(self) -> None:
        """Begin: the watch runs from here."""
        self._tell("start")
        self.set_interval(20.0, lambda: self._show(self.guide.now()))

    def action_done(self) -> None:
        """The step is done."""
        if self._too_soon():
            return
        if self.paused:
            self.action_pause()
            return
        now = self.guide.now()
        if now.drying is not None and now.drying.left_min > 0 and not self.sure:
            self.sure = True
            self._show(now, trouble="Still drying. Press again if it is dry already.")
            return
        self.sure = False
        self._try(self.guide.done)

    def action_undo(self) -> None:
        """The last step is not done after all."""
        if not self._too_soon():
            self._try(self.guide.back)

    def action_side(self) -> None:
        """As seen from the other side of the loom, until the next step."""
        self.other_side = not self.other_side
        self._show(self.guide.now(), keep_side=True)

    def action_pause(self) -> None:
        """Stop the watch, or start it again."""
        self.paused = not self.paused
        self._tell("pause" if self.paused else "start")

    async def action_quit(self) -> None:
        """End; what is not work does not count as work."""
        self._tell("pause")
        self.exit()

    def action_note(self) -> None:
        """Write a note at this step."""
        self.push_screen(NoteBox(), self._noted)

    def _noted(self, text: str | None) -> None:
        if text and text.strip():
            self._tell("note", {"text": text.strip()})

    def _too_soon(self) -> bool:
        now = time.monotonic()
        soon = now - self._last_key < TWICE_S
        self._last_key = now
        return soon

    def _tell(self, kind: str, says: Mapping[str, object] = MappingProxyType({})) -> None:
        def told() -> Now:
            now = self.guide.now()
            index = now.progress.at if now.step is not None else None
            self.guide.tell([self.guide.event(kind, index=index, says=says)])
            return self.guide.now()

        self._try(told)

    def _try(self, what: Callable[[], Now]) -> None:
        try:
            now = what()
            trouble = ""
        except NotSaved as problem:
            now, trouble = self.guide.now(), f"NOT SAVED, and not done: {problem}"
        self._show(now, trouble=trouble)
        self._last_key = time.monotonic()  # keys that came meanwhile came too soon

    def _show(self, now: Now, *, trouble: str = "", keep_side: bool = False) -> None:
        if not keep_side:
            self.other_side = False
        screen = screen_of(now, other_side=self.other_side)
        self._fill(screen, trouble)

    def _fill(self, screen: Screen, trouble: str) -> None:
        room = max(self.size.width - 8, 20)
        lines = 3 if self.size.height >= 30 else 2
        do = in_blocks(screen.do, room, most=lines) or screen.do
        cross = in_blocks(screen.cross, room - 2, most=lines) or screen.cross
        put = {
            "where": f"{screen.side}   {screen.count}",
            "do": do,
            "cross": _padded(cross) if cross else "",
            "lines": "\n".join(screen.lines),
            "marks": "   ".join(f"{'▲' if m == 'up' else '▼'} {m.upper()}" for m in screen.marks),
            "row": screen.row,
            "doubt": "\n".join(
                part
                for part in (
                    trouble,
                    "PAUSED: any step key goes on" if self.paused else "",
                    screen.wait,
                    screen.doubt,
                    screen.stop,
                    screen.left,
                    screen.caution,
                )
                if part
            ),
        }
        for name, text in put.items():
            shown = self.query_one(f"#{name}", Static)
            shown.update(text)
            shown.set_class(not text, "none")


def _padded(text: str) -> str:
    """With a blank at each side, all lines of one width: it stands white on black."""
    lines = text.split("\n")
    wide = max(map(len, lines))
    return "\n".join(f" {line:{wide}} " for line in lines)


def lead(file: Path, *, port: int, says: Callable[[str], None]) -> None:
    """Lead through a draft in this terminal. Errors: as those of `Guide`."""
    del port
    guide = Guide(file)
    try:
        PlainTerminal(guide).run()
        now = guide.now()
        says(f"{now.progress.at} of {len(now.plan.steps)} steps done; kept in {guide.record.path}")
    finally:
        guide.close()
