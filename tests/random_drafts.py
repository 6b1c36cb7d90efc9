"""Whole drafts at random, the same for the same number: for tests that compare every outlet.

    for written in written_drafts(100):
        piece = written.piece()

Woven from the bottom or the top; three sizes of rod; bands of several kinds, thick and thin wefts,
heights and take-up as measured; empty places, slides by places and by lengths, crossings, turns,
rolls, plaits and figures; mm, cm and inches; strips laid aside or not; with and without prices,
weights, stock and measured yarns; every third has odd names. None has an error in its draft, in
its order or in its paths; doubts are welcome.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from random import Random

from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

PLAIN = {
    "title": ["Low Water", "Long Field"],
    "yarn": ["slate", "chalk", "moss"],
    "weft": ["thread"],
    "strip": ["inch", "wide"],
    "kind": ["a", "b", "c"],
    "figure": ["eye"],
    "note": ["", "brush this band twice"],
    "span": [""],
}
ODD = {
    "title": ["Ash of Roses: {0}, 7", 'The "Weir" of [3]', "海辺 1/2", "$x_1$ #5 <b>\\n"],
    "yarn": ["rod", "9", "of", "été-2", "синий", "turn"],
    "weft": ["tide: low", "ash of roses", 'the "dark" one', "a, b; (c) 100 %", "{who}", "潮 2"],
    "strip": ["tide: low", "{who}", "1 in of 18", 'the "fine"'],
    "kind": ["Ω", "of", "ö'", "q_2", "шнур", "rod"],
    "figure": ["l'œil", "round-about", "vague"],
    "note": ["{value}: 3 of 4, “soft”", "50 % = half; see #2"],
    "span": ["of: all", "{n}", "7"],
}
RODS = ("steel 3", "steel 4", "stainless 6")
BANDS = ("3, rod, 3", "2, rod, 2", "4, rod, 1, rod, 4", "6", "rod, 5", "1, rod, 1")
CHARGING = {  # by the rate of an hour
    30: 'charge = "used"\nstep = 5\n',
    32.5: 'charge = "bought"\nstep = 10\nstep_of = "net"\ndiscount = 3\n',
    41: "heddle_wear = 0\n",
}
UNIT_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}


@dataclass(frozen=True)
class Written:
    """A draft and its workshop as text, and the number that they came from."""

    seed: int
    text: str
    workshop: str

    def piece(self) -> Piece:
        """The piece, with nothing computed yet."""
        return Piece(read_draft(self.text, workshop=self.workshop or None))


def written_drafts(count: int, *, first: int = 0) -> Iterator[Written]:
    """Drafts of this many numbers; a test that fails says `seed`, the first number to look at."""
    return (written_draft(seed) for seed in range(first, first + count))


@lru_cache(maxsize=512)
def written_draft(seed: int) -> Written:
    """The draft of a number: the first try of many that has no error."""
    for attempt in range(60):
        written = _Pen(Random(f"{seed}/{attempt}"), seed).written()
        if _is_sound(written.piece()):
            return written
    raise AssertionError(f"no sound draft for {seed}")


def _is_sound(piece: Piece) -> bool:
    if not piece.computable:
        return False
    notes = (*piece.draft.notes, *piece.order.notes, *piece.paths.notes)
    return all(note.severity is not Severity.ERROR for note in notes)


class _Pen:
    """Writes one draft."""

    def __init__(self, chance: Random, seed: int) -> None:
        self.chance, self.seed = chance, seed
        self.names = ODD if seed % 3 == 2 else PLAIN
        self.measure = chance.choice(["mm", "mm", "cm", "in"])
        self.kinds = chance.sample(self.names["kind"], chance.randint(1, 3))
        self.yarns = chance.sample(self.names["yarn"], chance.randint(1, 3))
        self.weft = chance.choice(self.names["weft"])
        self.figure = chance.choice(self.names["figure"])
        self.row = self._row()

    def _row(self) -> list[str]:
        """Who stands in each place; "-" is empty."""
        row = [self.chance.choice([*self.kinds * 3, "-"]) for _ in range(self.chance.randint(4, 9))]
        return row if set(row) != {"-"} else [self.kinds[0]] * 4

    def written(self) -> Written:
        """Draft and workshop."""
        head = [f'measure = "{self.measure}"', self._about(), *map(self._yarn, self.yarns)]
        head += [self._weft_yarn(), self._strips_and_kinds(), self._warp(), self._bands()]
        head += [self._figure(), self._hang()]
        spans = [self._span(k) for k in range(self.chance.randint(1, 5))]
        return Written(self.seed, "\n".join([*head, *spans]) + "\n", self._workshop())

    def length(self, mm: float) -> str:
        """A length as a bare number in the draft's measure."""
        return f"{mm / UNIT_MM[self.measure]:.4g}"

    def often(self, share: float, line: str) -> str:
        """A line that stands in some drafts."""
        return line + "\n" if self.chance.random() < share else ""

    def _about(self) -> str:
        title, end = self.chance.choice(self.names["title"]), self.chance.choice(["bottom", "top"])
        wall = f"wall = {{ width = {self.length(900)}, height = {self.length(2400)} }}"
        return f"[piece]\ntitle = {text(title)}\nwoven_from = {text(end)}\n{self.often(0.5, wall)}"

    def _yarn(self, name: str) -> str:
        count = self.chance.choice(["lea 16/2", "tex 207", "Nm 9.7/2", "Ne 8/2", "tex 120"])
        fibre = self.chance.choice(["linen", "cotton", "wool", "silk", ""])
        return (
            f"[yarn.{text(name)}]\ncount = {text(count)}\n"
            + (f"fibre = {text(fibre)}\n" if fibre else "")
            + self.often(0.6, f'price = "{self.chance.randint(2000, 6000) / 100} per kg"')
            + self.often(0.6, f'put_up = "{self.chance.choice([100, 250, 1000])} g"')
            + self.often(0.3, f'in_stock = "{self.chance.randint(1, 400)} g"')
            + self.often(0.2, 'diameter = "0.62 mm"')
            + self.often(0.2, "modulus = 7.5")
            + self.often(0.2, "tenacity = 0.21")
            + self.often(0.2, "count_error = 2")
        )

    def _weft_yarn(self) -> str:
        tex = self.chance.choice([60, 150, 400])
        return f'[yarn.{text(self.weft)}]\ncount = "tex {tex}"\nfibre = "linen"\n' + self.often(
            0.5, 'price = "38.50 per kg"\nput_up = "200 g"'
        )

    def _strips_and_kinds(self) -> str:
        self.widths = [self.chance.choice([16, 20, 24]) for _ in self.kinds]
        strips = [f"{name} {k}" for k, name in enumerate(self.names["strip"])]
        out, first = "", self.chance.choice(["hole", "slot"])
        for k, kind in enumerate(self.kinds):
            strip, dents = f"{strips[k % len(strips)]}{k}", self.chance.randint(8, 14)
            one, other = self.chance.choice(self.yarns), self.chance.choice(self.yarns)
            some = self.chance.randint(1, dents - 1)
            runs = [f"{dents} {one}", f"{some} {one}, {dents - some} {other}"]
            out += (
                f"[strip.{text(strip)}]\nwidth = {self.length(self.widths[k])}\ndents = {dents}\n"
                f"first = {text(first)}\n[unit.{text(kind)}]\nstrip = {text(strip)}\n"
                f"ends = {text(self.chance.choice(runs))}\n"
            )
        return out

    def _warp(self) -> str:
        pitch = max(self.widths) + self.chance.choice([2, 4, 9])
        return (
            f"[warp]\npitch = {self.length(pitch)}\norder = {text(' '.join(self.row))}\n"
            + self.often(0.4, f'tension = "{self.chance.choice([0.2, 0.45, 0.8])} N"')
            + self.often(0.3, f"spare = {self.chance.choice([0, 3, 8])}")
            + self.often(0.3, f"sample = {self.length(120)}\nfinish = {self.length(150)}")
            + self.often(0.3, 'length_error = "0.3 %"')
        )

    def _bands(self) -> str:
        first = self.often(0.5, f"[band.first]\nrod = {text(RODS[self.chance.randint(0, 2)])}")
        last = self.often(0.5, f"[band.last]\npicks = {text(self.chance.choice(BANDS))}")
        return (
            f"[band]\npicks = {text(self.chance.choice(BANDS))}\n"
            f"rod = {text(self.chance.choice(RODS))}\n"
            + self.often(0.7, f"weft = {text(self.weft)}")
            + self.often(0.2, f"takeup = {self.length(1.2)}\ntakeup_error = {self.length(0.3)}")
            + self.often(0.15, f"height = {self.length(14)}")
            + self.often(0.15, "adhesive = false")
            + first
            + last
        )

    def _figure(self) -> str:
        return f'[figure.{text(self.figure)}]\nplaces = 4\nspans = ["1-2 over 3-4", "2 under 3"]\n'

    def _hang(self) -> str:
        wide = len(self.row) * (max(self.widths) + 2)
        cords = f"[{self.length(wide * 0.2)}, {self.length(wide * 0.8)}]"
        ways = ["", "rail = true", f"cords = {cords}", f"cord_length = {self.length(250)}"]
        return "[hang]\n" + self.chance.choice(ways)

    def _span(self, number: int) -> str:
        height = self.chance.choice([90, 140, 180.5, 260])
        moves = [self._move() for _ in range(self.chance.randint(0, 4))]
        name, note = self.chance.choice(self.names["span"]), self.chance.choice(self.names["note"])
        another = self.chance.choice([f"picks = {text(self.chance.choice(BANDS))}",
                                      f"rod = {text(self.chance.choice(RODS))}"])  # fmt: skip
        return (
            f"[[span]]\nheight = {self.length(height)}\nmoves = '''\n"
            + "".join(f"{move}\n" for move in moves if move)
            + "'''\n"
            + (f"name = {text(name)}\n" if name else "")
            + (f"note = {text(note)}\n" if note else "")
            + self.often(0.25, f"band = {{ {another} }}")
        )

    def _move(self) -> str:
        """A move that can be made where units stand now; "" when what was thought of cannot."""
        kind = self.chance.choice(
            ["cross"] * 4 + ["turn", "roll", "plait", "figure"] + ["slide"] * 3
        )
        places = len(self.row)
        first = self.chance.randint(1, places - 1)
        last = min(places, first + self.chance.randint(1, 3))
        side = self.chance.choice(["left", "right"])
        whole = "-" not in self.row[first - 1 : last]
        if kind == "slide":
            return self._slide(first, side)
        if kind == "turn" and self.row[first - 1] != "-":
            return f"turn {first} {side}" + self.chance.choice(["", "", " twice", " 3 times"])
        if kind == "figure" and first + 3 <= places:
            after = self.chance.choice(["", " mirrored", " backwards", " reversed"])
            row, k = self.row, first - 1
            row[k : k + 4] = row[k + 2 : k + 4] + row[k : k + 2]
            return f"{self.figure} at {first}{after}"
        if not whole or kind in {"turn", "figure"}:
            return ""
        return self._block(kind, first, last, side)

    def _block(self, kind: str, first: int, last: int, side: str) -> str:
        row = self.row[first - 1 : last]
        if kind == "roll":
            self.row[first - 1 : last] = row[::-1]
            return f"roll {first}-{last} {side}"
        if kind == "plait":
            return "" if last < first + 2 else f"plait {first}-{last}"
        middle = self.chance.randint(first + 1, last)
        cut = middle - first
        self.row[first - 1 : last] = row[cut:] + row[:cut]
        word = self.chance.choice(["over", "under"])
        return f"{first}-{middle - 1} {word} {middle}-{last}".replace(
            f"{first}-{first} ", f"{first} "
        )

    def _slide(self, place: int, side: str) -> str:
        to = place + (1 if side == "right" else -1)
        if self.row[place - 1] == "-":
            return ""
        if 1 <= to <= len(self.row) and self.row[to - 1] == "-":
            self.row[to - 1], self.row[place - 1] = self.row[place - 1], "-"
            return f"shift {place} {side} 1"
        return f"shift {place} {side} {self.chance.choice(['1 mm', '2 mm', '1/16 in'])}"

    def _workshop(self) -> str:
        """What she owns and charges; nothing in some."""
        if self.chance.random() < 0.2:
            return ""
        weights = self.chance.choice(['["100 g * 9", "250 g * 12", "500 g * 6", "1 kg * 3"]', "[]"])
        howell = self.often(0.15, "howell_a = 0.9\nhowell_power = 0.8")
        aside = f"lay_aside = {self.chance.choice(['true', 'false'])}"
        return (
            f'measure = "{self.chance.choice(["mm", "in"])}"\n[loom]\n{aside}\n'
            f"hand = {self.chance.randint(2, 5)}\nweights = {weights}\n"
            + howell
            + self.often(0.3, 'friction = 0.3\nwrap = "120 deg"\nrise = "25 mm"\nsink = "35 mm"')
            + self.often(0.3, 'drop = "300 mm"')
            + "[stock]\n"
            + self.often(0.6, 'rods = ["steel 3: 2000 mm * 1", "steel 4: 400 mm * 2"]')
            + self.often(0.7, 'rod_price = ["steel 3: 4.20", "steel 4: 5.90", "stainless 6: 9.10"]')
            + self.often(0.7, "heddle_price = 34")
            + self.often(0.3, "spare_units = 1\nspare_rods = 1")
            + "[adhesive]\n"
            + self.often(0.6, "price = 18.00")
            + self.often(0.3, "parts = 2\nwater = 3")
            + self._rates()
        )

    def _rates(self) -> str:
        money = self.chance.choice(["EUR", "EUR", "JPY"])
        hour = self.chance.choice([30, 32.5, 41])
        return (
            f'[rates]\ncurrency = "{money}"\nminor = {0 if money == "JPY" else 2}\n'
            f"hour = {hour}\n{CHARGING[hour]}"
            + self.often(0.4, 'profit_on = "price"\nprofit = 20')
            + self.often(0.4, f"tax = {self.chance.choice([7, 19])}\ndelivery = 45")
            + self.often(0.3, 'rounding = "half even"')
            + self.often(0.2, "learning = 0.9")
            + "[minutes]\n"
            + self.often(0.4, 'wind = "8.25 min"\nlay = 1.5')
        )


def text(name: str) -> str:
    """A name as a basic string of TOML, which may be a key as well."""
    return json.dumps(name, ensure_ascii=False)
