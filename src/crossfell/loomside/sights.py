"""What does she see on the batten, and behind the reed, before and after each step?

The model of the loom that rehearses the plan is taken through it once more, and looked at. A row
knows where each unit lay before the first of them was lifted, and who lies over whom since: enough
to draw what she sees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from crossfell.draft.model import Draft
from crossfell.plan.model import Step
from crossfell.plan.rehearsal import Loom


@dataclass(frozen=True, kw_only=True)
class Lying:
    """A row of units: strips in the batten, or bobbins behind the reed."""

    base: tuple[int | None, ...]  # [places] unit in each place before the first was lifted
    now: tuple[int | None, ...]  # [places] unit in each place; None where it is empty
    stack: tuple[int, ...]  # units in place, lowest first, as laid since `base`
    lifted: tuple[int, ...] = ()  # units in her hands, or laid aside


@dataclass(frozen=True, kw_only=True)
class Sight:
    """How units lie, in places from the weaver's left."""

    strips: Lying
    bobbins: Lying
    faces: tuple[int, ...]  # [units] 1 forward, -1 back

    def row(self, *, behind: bool) -> Lying:
        """Strips, or bobbins."""
        return self.bobbins if behind else self.strips


@dataclass
class _Pile:
    """A row as steps go over it."""

    base: tuple[int | None, ...]
    stack: list[int] = field(default_factory=list)

    def begin(self, row: tuple[int | None, ...]) -> None:
        """Nothing is lifted: who lies where now is where the next moves start from."""
        self.base = row
        self.stack = [u for u in row if u is not None]

    def follow(self, step: Step) -> None:
        """Lift takes off the pile, lay puts on top, or below."""
        for unit in step.units:
            if step.kind.endswith("lift"):
                self.stack.remove(unit)
            elif step.kind in {"lay", "clear"}:
                self.stack.insert(0 if step.below else len(self.stack), unit)


def sights_of(draft: Draft, steps: Sequence[Step]) -> tuple[Sight, ...]:
    """One sight before each step, and one after the last. Errors: Refused, which is our fault."""
    return sights_from(Loom(draft), steps)


def sights_from(loom: Loom, steps: Sequence[Step]) -> tuple[Sight, ...]:
    """The same from how a loom stands now; it then stands as after the last. Errors: Refused."""
    front, back = _Pile(()), _Pile(())
    front.begin(loom.row())
    back.begin(_placed(loom.bobbins.place, loom.place_count))
    sights = [_seen(loom, front, back)]
    for step in steps:
        pile, row = (back, loom.bobbins) if step.kind.startswith("clear") else (front, loom.strips)
        if not row.held and not step.kind.endswith(("turn", "check")):
            pile.begin(_placed(row.place, loom.place_count))
        loom.do(step)
        pile.follow(step)
        sights.append(_seen(loom, front, back))
    return tuple(sights)


def _seen(loom: Loom, front: _Pile, back: _Pile) -> Sight:
    bobbins = _placed(loom.bobbins.place, loom.place_count)
    return Sight(
        strips=_lying(front, loom.row(), loom.strips.held),
        bobbins=_lying(back, bobbins, loom.bobbins.held),
        faces=tuple(loom.faces),
    )


def _lying(pile: _Pile, now: tuple[int | None, ...], held: dict[int, bool]) -> Lying:
    return Lying(base=pile.base, now=now, stack=tuple(pile.stack), lifted=tuple(held))


def _placed(place: dict[int, int], count: int) -> tuple[int | None, ...]:
    row: list[int | None] = [None] * count
    for unit, at in place.items():
        row[at - 1] = unit
    return tuple(row)
