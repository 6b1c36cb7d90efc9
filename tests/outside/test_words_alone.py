"""Somebody who has only the sentences weaves what was drafted, in front of the loom and behind.

A small loom of its own reads each sentence of a span as words, and nothing else: names, places,
over, under, right, left. It is compared with the drafted word as a braid, and with half turns,
places and millimetres. Source: none; the sentences are the whole instruction.
"""

import re
from itertools import pairwise

import pytest

from crossfell.order.braid import same_braid
from crossfell.plan.phrasebook import teller_of
from random_drafts import written_drafts

PLACES = r"\d[\d-]*(?:, \d+)*(?: and \d+)?"
WHO = r"(?P<who>.+?)"
OFF = r"(?P<off>(?:, [^;]*? of (?:its|their) middle)*)"
LATER = r"(?: \((?P<later>[^)]*)\))?"
ROOM = rf"(?P<room>(?:; .+? go(?:es)? to places? {PLACES}(?:, [^;]*? of its middle)*)*)"
FORMS = {
    "aside": rf"Hang {WHO} aside, (?P<side>above|below)",
    "hold": rf"Hold the bobbins? of {WHO} aside, (?P<side>above|below) all others",
    "take": rf"Take (?:the bobbins? of )?{WHO} and lay (?:it|them) (?P<below>from below, )?"
    rf"(?P<cross>.+?), into places? (?P<to>{PLACES}){OFF}{LATER}{ROOM}",
    "lay": rf"Lay (?P<below>from below, )?(?:the bobbins? of )?{WHO} "
    rf"(?:from places? [\d-]+|back) in places? (?P<to>{PLACES}){OFF}; "
    rf"(?:(?:it then lies|they then lie) )?(?P<cross>[^(]+?){LATER}",
    "carry": rf"Carry (?:the bobbins? of )?{WHO} (?P<legs>(?:over|under) .+), into places? "
    rf"(?P<to>{PLACES}){OFF}{ROOM}",
    "roll": rf"Take (?:the bobbins of )?{WHO} together and turn them (?P<way>right|left) as one, "
    rf"(?P<much>[\w ]+?)(?: \(as seen from behind\))?; from the left they are then [^,]+{OFF}",
    "turn": rf"Turn (?:the bobbin of )?{WHO} (?P<way>right|left), (?P<much>[\w ]+?)"
    r"(?:; it then lies .+| \(as seen from behind\))",
    "along": r"Move along(?: the bobbins? of|:) (?P<moves>.+?)(?:, counted from behind)?",
}
MUCH = {"half a turn": 1, "a full turn": 2}


class Words:
    """A row of strips, or of bobbins, moved by sentences; places are the reader's."""

    def __init__(self, names, places, off_mm):
        self.number = {name: u for u, name in enumerate(names)}
        self.at, self.off = dict(enumerate(places)), dict(enumerate(off_mm))
        self.row = sorted(self.at, key=self.at.get)
        self.aside, self.word, self.turns = {}, [], dict.fromkeys(self.at, 0)
        self.left = {}  # of those aside: who lay left of each when it was taken

    def units(self, text):
        """ "a1, a2 and b1 to b4": all of them, in the order given."""
        found = []
        for part in re.split(r", | and ", text):
            if part in self.number:
                found.append(self.number[part])
            else:
                first, last = (self.number[name] for name in part.split(" to "))
                found += range(first, last + 1) if first < last else range(first, last - 1, -1)
        return found

    def do(self, text):
        for form, pattern in FORMS.items():
            if said := re.fullmatch(pattern + r"\.", text):
                getattr(self, f"_{form}")(**said.groupdict())
                assert sorted(set(self.at.values())) == sorted(self.at.values()), text
                return
        raise AssertionError(text)

    def _aside(self, who, side):
        for u in self.units(who):
            self.aside[u] = side == "above"
            self.left[u] = set(self.row[: self.row.index(u)])
            del self.at[u]

    _hold = _aside

    def _take(self, who, below, cross, to, off, later, room):
        self._aside(who, "below" if below else "above")
        self._make_room(room)
        self._lay(who, below, cross, to, off, later)

    def _lay(self, who, below, cross, to, off, later):
        units, places = self.units(who), span_of(to)
        right = any(self.at[v] < places[0] for v in self.row[self.row.index(units[-1]) + 1 :]
                    if v in self.at)  # fmt: skip
        over = not below
        for u, place in list(zip(units, places, strict=True))[:: -1 if right else 1]:
            assert self.aside.pop(u) is over
            self._pass(u, place, over)
            now = set(self.row[: self.row.index(u)])
            changed = {v for v in self.left.pop(u) ^ now if v in self.at} - set(units)
            assert changed == self._said(cross, over)
            self.at[u] = place
        self._stand(units, off)

    def _said(self, cross, over):
        """Whom the sentence says it crosses."""
        if cross in {"clear of all that lies there", "nothing that lies there is crossed"}:
            return set()
        side, _, whom = cross.partition(" ")
        assert side == ("over" if over else "under")
        return set(self.units(whom))

    def _pass(self, u, place, over):
        while True:
            i = self.row.index(u)
            left = [v for v in self.row[:i] if v in self.at and self.at[v] > place]
            right = [v for v in self.row[i + 1 :] if v in self.at and self.at[v] < place]
            if not left and not right:
                return
            other = self.row[i + 1] if right else self.row[i - 1]
            self._swap(i if right else i - 1, u, other, self.aside.get(other, not over) is False)

    def _swap(self, i, u, other, over):
        letter = i + 1 if (self.row[i] == u) == over else -(i + 1)
        self.word.append(letter)
        self.row[i : i + 2] = self.row[i : i + 2][::-1]

    def _carry(self, who, legs, to, off, room):
        units = self.units(who)
        for leg in re.split(r", (?=over|under|round)", legs):
            side = re.fullmatch(r"(?:round .+ and back )?(over|under) (.+)", leg)
            for other in self.units(side[2]):
                right = self.row.index(other) > self.row.index(units[0])
                for u in reversed(units) if right else units:
                    i = self.row.index(u)
                    assert self.row[i + 1 if right else i - 1] == other
                    self._swap(i if right else i - 1, u, other, side[1] == "over")
        self.at |= dict(zip(units, span_of(to), strict=True))
        self._make_room(room)
        self._stand(units, off)

    def _roll(self, who, way, much, off):
        units = self.units(who)
        half_turns = MUCH.get(much) or int(much.split()[0])
        start, places = self.row.index(units[0]), sorted(self.at[u] for u in units)
        for _ in range(half_turns):
            for width in range(len(units) - 1, 0, -1):
                for i in range(start, start + width):
                    self._swap(i, self.row[i], self.row[i + 1], way == "right")
        block = self.row[start : start + len(units)]
        self.at |= dict(zip(block, places, strict=True))
        for u in units:
            self.turns[u] += half_turns * (1 if way == "right" else -1)
        self._stand(units, off)

    def _turn(self, who, way, much):
        half_turns = MUCH.get(much) or int(much.split()[0])
        for u in self.units(who):
            self.turns[u] += half_turns * (1 if way == "right" else -1)

    def _along(self, moves):
        for part in moves.split("; "):
            name, place, off = re.fullmatch(r"(.+) to place (\d+)((?:, .*)?)", part).groups()
            self.at[self.number[name]] = int(place)
            self._stand([self.number[name]], off)
        self._in_row()

    def _make_room(self, room):
        for part in filter(None, room.split("; ")):
            who, to, off = re.fullmatch(
                rf"(.+?) go(?:es)? to places? ({PLACES})(.*)", part
            ).groups()
            units = self.units(who)
            self.at |= dict(zip(units, span_of(to), strict=True))
            self._stand(units, off)
        self._in_row()

    def _in_row(self):
        there = [self.at[u] for u in self.row if u in self.at]
        assert all(a < b for a, b in pairwise(there)), "it slides through another"

    def _stand(self, units, off):
        for u in units:
            self.off[u] = 0.0
        for whose, much, side in re.findall(
            r", (?:(\S+) )?([\d.]+) mm to the (right|left) of (?:its|their) middle", off
        ):
            for u in [self.number[whose]] if whose else units:
                self.off[u] = float(much) * (1 if side == "right" else -1)


def span_of(text):
    """ "3-5", or "3, 5 and 6"."""
    found = []
    for part in re.split(r", | and ", text):
        first, _, last = part.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


MOVING = {
    "front": {"lift", "lay", "cross", "carry", "roll", "shift", "turn"},
    "back": {
        f"clear{rest}" for rest in ("", "-lift", "-cross", "-carry", "-roll", "-shift", "-turn")
    },
}


def followed(piece, side):
    """Spans that were made from the words of one side as drafted."""
    draft, order = piece.draft, piece.order
    tell, sign = teller_of(draft).sentence, 1 if side == "front" else -1
    seen = (lambda p: p) if side == "front" else (lambda p: draft.place_count + 1 - p)
    for span in order.spans:
        k = span.number
        words = Words(
            order.names,
            [seen(p) for p in order.place[k - 1].tolist()],
            [sign * off for off in order.offset_mm[k - 1].tolist()],
        )
        for step in piece.plan.steps:
            if step.span == k and step.kind in MOVING[side]:
                words.do(tell(step))
        n = len(order.names)
        assert not words.aside
        assert [seen(words.at[u]) for u in range(n)] == order.place[k].tolist()
        off = [sign * words.off[u] for u in range(n)]
        assert off == pytest.approx(order.offset_mm[k].tolist(), abs=0.051)
        assert [sign * words.turns[u] for u in range(n)] == span.half_turns.tolist()
        # from behind the i-th from the left is the (n - i)-th, and left over right is right over left
        word = words.word if side == "front" else [-(n - x) if x > 0 else n + x for x in words.word]
        assert same_braid(n, word, span.word)
        yield span


def in_mm(count):
    """Drafts whose lengths are said in millimetres, so that a length is read as it stands."""
    pieces = (written.piece() for written in written_drafts(count))
    return (piece for piece in pieces if piece.draft.measure == "mm")


@pytest.mark.parametrize("side", MOVING)
def test_the_words_alone_make_the_piece(side):
    made = sum(1 for piece in in_mm(60) for _ in followed(piece, side))
    assert made > 60


@pytest.mark.soak
@pytest.mark.parametrize("side", MOVING)
def test_the_words_alone_make_ten_thousand_pieces(side):
    made = sum(1 for piece in in_mm(30_000) for _ in followed(piece, side))
    assert made > 10_000
