"""Which units lie in which places at the start, and what are they called?"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from crossfell.base.nearest import help_for
from crossfell.base.notes import Where
from crossfell.draft.model import Unit, UnitKind, Warp
from crossfell.draft.tables import Reading

MOST_PLACES = 2_000
UNITS = re.compile(r"(?P<name>-|[^\W\d][\w']*)(?:\*(?P<count>\d{1,9}))?")

_TOKEN = re.compile(r"\S+")


def units_of(
    reading: Reading, warp: Warp | None, kinds: Mapping[str, UnitKind]
) -> tuple[tuple[Unit, ...], int]:
    """Units from the weaver's left, and the number of places; what is wrong is noted."""
    if warp is None:
        return (), MOST_PLACES  # one message is enough: any place will do in the moves
    rows = reading.draft.places.lines("warp", "order") or [(warp.order, Where())]
    line = _Line(reading, kinds)
    for text, where in rows:
        for token in _TOKEN.finditer(text):
            spot = Where(where.file, where.line, where.column + token.start(), len(token.group()))
            if not line.takes(token.group(), spot):
                return tuple(line.units), line.places
    if not line.units and not reading.notes:
        reading.wrong("no-units", warp.given.get("order", rows[0][1]))
    seen: set[str] = set()
    for unit in line.units:
        if unit.name in seen:
            reading.wrong("same-name", unit.where, unit=unit.name)
        seen.add(unit.name)
    return tuple(line.units), line.places


@dataclass
class _Line:
    """Units lined up so far."""

    reading: Reading
    kinds: Mapping[str, UnitKind]
    units: list[Unit] = field(default_factory=list)
    places: int = 0
    counted: dict[str, int] = field(default_factory=dict)

    def takes(self, token: str, spot: Where) -> bool:
        """Line up what a word of the order names; False when there is no room for it."""
        found = UNITS.fullmatch(token)
        if found is None:
            self.reading.wrong("not-an-order", spot, found=token)
            return True
        name, count = found["name"], int(found["count"] or 1)
        if self.places + count > MOST_PLACES:
            facts = {"places": self.places + count, "most": MOST_PLACES}
            self.reading.wrong("too-many-places", spot, **facts)
            return False
        if name in self.kinds:
            self._line_up(name, count, spot)
        elif name != "-" and name not in self.reading.names("unit"):
            named = Where(spot.file, spot.line, spot.column, len(name))
            self.reading.wrong("no-such-unit", named, unit=name, **help_for(name, self.kinds))
        self.places += count
        return True

    def _line_up(self, name: str, count: int, spot: Where) -> None:
        for step in range(1, count + 1):
            number = self.counted[name] = self.counted.get(name, 0) + 1
            place = self.places + step
            self.units.append(
                Unit(name=f"{name}{number}", kind=name, number=number, place=place, where=spot)
            )
