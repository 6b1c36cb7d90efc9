"""A small piece, and a clock that the tests turn."""

from dataclasses import dataclass

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.record.clock import Stamp
from crossfell.record.events import Event
from crossfell.record.identity import keys_of, mark_of
from small_piece import small_draft

DRAFT = small_draft(
    "1-2 over 3-4", "{second}", "turn 1 right", order="a*2 b*2", height=(140, 120, 120)
)
NOON = 1_764_072_000_000  # 25 November 2025, 12:00 UTC


def piece_of(second="2 under 3"):
    made = Piece(read_draft(DRAFT.replace("{second}", second), file="low.toml"))
    assert made.computable
    return made


@dataclass
class Turned:
    """A clock to turn: `wall` can be set, `run` only goes on."""

    wall: int = NOON
    run: int = 5_000_000
    boot: str = "first"
    offset: int = 60

    def __call__(self):
        return Stamp(utc_ms=self.wall, offset_min=self.offset, boot=self.boot, run_ms=self.run)

    def after(self, minutes):
        self.wall += round(minutes * 60_000)
        self.run += round(minutes * 60_000)
        return self()


def marks_of(piece):
    keys = keys_of(piece.plan.steps, piece.order.names)
    return [mark_of(piece.draft, piece.plan.steps, keys, i) for i in range(len(keys))]


def tick(mark, at, **more):
    return Event(kind="tick", at=at, step=mark, **more)
