"""Hours, price and every finding, worked out aside: no hand waits for them.

They take longer than everything else together. In a process of its own, which gives way to
others, they hold up neither an edit nor the picture. It is started when first asked, is asked one
thing at a time in lines of JSON, and ends with the studio, however that ends: its input closes.
Who asks again before it was their turn does not wait for the first answer: nobody wants it now.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from itertools import count
from typing import IO, Any

from crossfell.draft.model import Draft
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece, piece_after
from crossfell.studio.folder import Refused
from crossfell.studio.showing import later_numbers, notes_of

Told = dict[str, Any]
Asker = tuple[str, ...]  # window, piece, what for
GIVES_WAY = 5  # added to its niceness, where the system knows such a thing
ENDS_IN_S = 5.0


class Aside:
    """The process beside the studio, and who asks it. May be used from several threads."""

    def __init__(self) -> None:
        self._turn = threading.Condition()
        self._busy = False
        self._closed = False
        self._tickets = count()
        self._newest: dict[Asker, int] = {}
        self._process: subprocess.Popen[str] | None = None

    def later(self, draft: Draft, asker: Asker) -> Told | None:
        """Numbers and findings of a draft; None when the same asker asked again meanwhile.

        Errors: Refused when they cannot be worked out.
        """
        if not self._my_turn(asker):
            return None
        try:
            return self._worked_out(draft)
        finally:
            with self._turn:
                self._busy = False
                self._turn.notify_all()

    def _my_turn(self, asker: Asker) -> bool:
        with self._turn:
            mine = next(self._tickets)
            self._newest[asker] = mine
            self._turn.notify_all()  # whoever of this asker waits goes
            while self._busy and self._newest.get(asker) == mine:
                self._turn.wait()
            if self._newest.get(asker) != mine:
                return False
            del self._newest[asker]
            self._busy = True
            return True

    def _worked_out(self, draft: Draft) -> Told:
        asked = {
            "text": draft.text,
            "file": draft.file,
            "workshop": draft.workshop_text,
            "workshop_file": draft.workshop_file,
        }
        line = self._answer(asked) or self._answer(asked)  # it was ended: another one
        if not line:
            raise Refused("hours and price could not be worked out")
        told: Told = json.loads(line)
        return told

    def close(self) -> None:
        """End the process; who waits for it is refused."""
        self._closed = True
        self._end()

    def _answer(self, asked: Told) -> str:
        """One line of answer; empty when the process has ended before it."""
        if self._closed:
            return ""
        process = self._process or self._start()
        ask, answer = _pipes(process)
        try:
            ask.write(json.dumps(asked) + "\n")
            ask.flush()
        except BrokenPipeError:
            self._end()
            return ""
        line = answer.readline()
        if not line:
            self._end()
        return line

    def _start(self) -> subprocess.Popen[str]:
        command = [sys.executable, "-m", "crossfell.studio.aside"]
        self._process = subprocess.Popen(  # noqa: S603 -- ourselves
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8"
        )
        return self._process

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        process.terminate()
        process.wait(ENDS_IN_S)
        for pipe in _pipes(process):
            try:
                pipe.close()
            except BrokenPipeError:
                continue  # what was not sent is not wanted any more


def _pipes(process: subprocess.Popen[str]) -> tuple[IO[str], IO[str]]:
    if process.stdin is None or process.stdout is None:
        raise RuntimeError("the process was started without pipes")
    return process.stdin, process.stdout


def main() -> None:
    """Answer until the input ends."""
    answers, sys.stdout = sys.stdout, sys.stderr  # nothing else may stand between answers
    if hasattr(os, "nice"):
        os.nice(GIVES_WAY)
    piece: Piece | None = None
    for line in sys.stdin:
        asked = json.loads(line)
        draft = read_draft(
            asked["text"],
            file=asked["file"],
            workshop=asked["workshop"] or None,
            workshop_file=asked["workshop_file"],
            former=piece.draft if piece else None,
        )
        piece = piece_after(piece, draft) if piece else Piece(draft)
        told = {"numbers": later_numbers(piece), "notes": notes_of(piece, piece.notes)}
        answers.write(json.dumps(told) + "\n")
        answers.flush()


if __name__ == "__main__":
    main()
