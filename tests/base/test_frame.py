"""Who looks from where is decided in one object."""

import re
from pathlib import Path

SOURCE = Path(__file__).parents[2] / "src" / "crossfell"


def test_nothing_but_the_frame_asks_from_which_end_a_piece_is_woven():
    asks = re.compile(r"woven_from\s*[=!]=|[=!]=\s*\"(?:top|bottom)\"")
    files = {p.relative_to(SOURCE).as_posix() for p in SOURCE.rglob("*.py")
             if asks.search(p.read_text(encoding="utf-8"))}  # fmt: skip
    assert files == {"base/frame.py"}


def test_nobody_mirrors_places_by_hand():
    by_hand = re.compile(r"(?:count|places)\s*\+\s*1\s*-\s*place|flip_[xy]")
    files = {p.relative_to(SOURCE).as_posix() for p in SOURCE.rglob("*.py")
             if by_hand.search(p.read_text(encoding="utf-8"))}  # fmt: skip
    assert files == {"base/frame.py"}
