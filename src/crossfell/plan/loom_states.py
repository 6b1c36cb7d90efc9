"""What can be done on the loom as it stands?

A model of the loom: batten, weights, strips, bobbins, faces, clamp, sheds, adhesive. It does a step
or refuses it, and says why.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from crossfell.draft.model import Draft
from crossfell.order.braid import inverse_of, same_braid
from crossfell.plan.model import Step
from crossfell.plan.strands import NotPossible, Strands

PREPARING = frozenset({"wind", "thread", "hang", "sampler", "finish"})


class StepRefused(Exception):  # noqa: N818 - a refused step is said, not only raised
    """A step cannot be done as the loom stands then; if the plan is ours, it is our fault."""

    def __init__(self, step: Step, why: str) -> None:
        super().__init__(f"step {step.number} ({step.kind}) cannot be done: {why}")
        self.step = step
        self.why = why


class RehearsedLoom:
    """The loom while a plan is rehearsed. Places count from the weaver's left."""

    def __init__(self, draft: Draft) -> None:
        places = [unit.place for unit in draft.units]
        self.names = [unit.name for unit in draft.units]
        self.place_count = draft.place_count
        self.hand, self.lay_aside = draft.loom.hand, draft.loom.lay_aside
        hers = "loose" in draft.loom.given
        self.most_loose = draft.loom.loose if hers else len(places)
        self.handle_min = draft.adhesive.handle_min
        self.full_min = draft.adhesive.full_min
        self.strips, self.bobbins = Strands(places), Strands(places)
        self.faces = [1] * len(places)
        self.turns_behind = [0] * len(places)
        self.weight_on = [False] * len(places)
        self.ready: set[str] = set()
        self.batten = "up"  # "up" by its springs, "down" when pressed, "level" on its chains
        self.is_open = self.clamped = self.moved = False
        self.shed = ""
        self.woven = 0  # picks and rods since the warp was last drawn forward
        self.dry_for_min: float | None = None  # since the last band was brushed; None: nothing wet
        self.front: list[int] = []  # crossings in front of the reed since the warp was drawn
        self.by_bobbins: list[int] = []  # crossings made behind, since then
        self.turns_front = [0] * len(places)

    @classmethod
    def after_band(
        cls, draft: Draft, places: Sequence[int], faces: Sequence[int], off_mm: Sequence[float]
    ) -> RehearsedLoom:
        """The loom when a band is woven and dry, the units lying in these places."""
        loom = cls(draft)
        loom.strips, loom.bobbins = Strands(places, off_mm), Strands(places, off_mm)
        loom.faces = list(faces)
        loom.weight_on = [True] * len(places)
        loom.ready = {"wind", "thread", "hang", "sampler"}
        loom.woven = 1
        return loom

    @property
    def behind(self) -> list[int]:
        """What is crossed behind the reed: the front in reverse, then what the bobbins did."""
        return inverse_of(self.front) + self.by_bobbins

    def is_clear_behind(self) -> bool:
        """Whether that comes to nothing: exactly when the bobbins did what the front did."""
        return same_braid(len(self.names), self.front, self.by_bobbins)

    def do(self, step: Step) -> None:
        """Do a step. Errors: StepRefused; the rehearsal then ends there."""
        does = _DOES.get(step.kind)
        if step.kind not in PREPARING and does is None:
            raise StepRefused(step, "the loom knows no such step")
        if self.dry_for_min is not None:
            self.dry_for_min += step.not_before_min
        try:
            if does is None:
                self._prepare(step.kind)
            else:
                does(self, step)
        except NotPossible as reason:
            raise StepRefused(step, str(reason)) from reason

    def _prepare(self, kind: str) -> None:
        if kind == "hang":
            _need(
                "wind" in self.ready and "thread" in self.ready, "bobbins or strips are not ready"
            )
            self.weight_on = [True] * len(self.weight_on)
        if kind == "sampler":
            _need("hang" in self.ready, "nothing hangs behind the loom yet")
        if kind == "finish":
            _need("cut-down" in self.ready, "the piece is still on the loom")
        self.ready.add(kind)

    def draw(self, _: Step) -> None:
        """Draw the warp forward."""
        _need(self.woven > 0, "the band before it is not woven")
        _need(not self.clamped, "the clamp is still on")
        _need(self._is_dry(self.handle_min), "the last band is still wet")
        _need(all(self.weight_on), "a weight is off: its unit would go slack")
        _need(self.batten != "level" and not self.is_open, "the batten is chained or open")
        self.woven, self.moved, self.dry_for_min = 0, False, None
        self.front, self.by_bobbins = [], []
        self.turns_front = [0] * len(self.turns_front)

    def cut_out(self, _: Step) -> None:
        """Take the last band out again, and the clamp off: the span below it can be undone."""
        _need(all(self.weight_on), "a weight is off: its unit would go slack")
        _need(self.batten != "level" and not self.is_open, "the batten is chained or open")
        self.woven, self.clamped, self.moved, self.dry_for_min = 0, False, False, None
        self.front, self.by_bobbins = [], []
        self.turns_front = [0] * len(self.turns_front)

    def level(self, _: Step) -> None:
        """Batten level, chains on."""
        _need(self.batten != "level", "the batten is already on its chains")
        _need(self.woven == 0, "the warp has not been drawn forward")
        self.batten = "level"

    def unchain(self, _: Step) -> None:
        """Chains off: the springs lift the batten."""
        _need(self.batten == "level", "the batten is not on its chains")
        _need(not self.is_open, "the batten is open")
        self.batten = "up"

    def weights_off(self, step: Step) -> None:
        """Weights off, window by window."""
        _need(self.batten == "level", "the batten is not level on its chains")
        for unit in self._in_windows(step):
            _need(self.weight_on[unit], f"the weight of {self.names[unit]} is off already")
        for unit in self._in_windows(step):
            self.weight_on[unit] = False

    def weights_on(self, step: Step) -> None:
        """Weights on, window by window; never while anything is crossed behind the reed."""
        _need(not self.is_open, "the batten is open")
        self._need_clear_behind()
        for unit in self._in_windows(step):
            _need(not self.weight_on[unit], f"the weight of {self.names[unit]} is on already")
        for unit in self._in_windows(step):
            self.weight_on[unit] = True

    def open(self, _: Step) -> None:
        """Open the batten."""
        _need(self.batten == "level", "the batten is not level on its chains")
        _need(not self.is_open, "the batten is open already")
        _need(not self.clamped, "the clamp is still on")
        self.is_open = True

    def close(self, _: Step) -> None:
        """Close the batten."""
        _need(self.is_open, "the batten is closed already")
        _need(not self.strips.held, "a strip is still lifted out")
        self.is_open = False

    def lift(self, step: Step) -> None:
        """Hang a hand of strips aside, above or below the row."""
        self._need_open(step)
        _need(self.lay_aside, "nothing can hang aside")
        self._lift(self.strips, step)
        self.moved = True

    def lay(self, step: Step) -> None:
        """Lay a hand of strips that hung aside in empty places."""
        self._need_open(step)
        self._need_a_hand(step)
        self.front += self._lay(self.strips, step)

    def cross(self, step: Step) -> None:
        """Take a hand of strips, let others make room, and lay it."""
        self._need_open(step)
        self._need_a_hand(step)
        self.front += self._cross(self.strips, step)
        self.moved = True

    def carry(self, step: Step) -> None:
        """Carry a hand of strips through the row."""
        self._need_open(step)
        self._need_a_hand(step)
        self.front += self._carry(self.strips, step)
        self.moved = True

    def roll(self, step: Step) -> None:
        """Turn neighbours over as one; the same turns, the other way, come in behind the reed."""
        self._need_open(step)
        self.front += self._roll(self.strips, step)
        for unit in step.units:
            self.faces[unit] *= -1 if step.half_turns % 2 else 1
            self.turns_front[unit] += step.half_turns
            self.turns_behind[unit] -= step.half_turns
        self.moved = True

    def shift(self, step: Step) -> None:
        """Move strips along."""
        self._need_open(step)
        self._slide(self.strips, step)
        self.moved = True

    def turn(self, step: Step) -> None:
        """Turn strips; the same turns, the other way, come in behind the reed."""
        self._need_open(step)
        for unit in step.units:
            _need(unit not in self.strips.held, f"{self.names[unit]} is lifted out")
        for unit in step.units:
            self.faces[unit] *= -1 if step.half_turns % 2 else 1
            self.turns_front[unit] += step.half_turns
            self.turns_behind[unit] -= step.half_turns
        self.moved = True

    def check(self, step: Step) -> None:
        """Look: what she should see is what is there."""
        if step.after is None:
            return
        _need(step.after.row == self.row(), "the strips do not lie as the step says")
        _need(step.after.faces == tuple(self.faces), "a face does not lie as the step says")

    def clear_lift(self, step: Step) -> None:
        """Hold bobbins aside."""
        self._need_loose(step)
        self._lift(self.bobbins, step)

    def clear(self, step: Step) -> None:
        """Lay a bobbin back."""
        self._need_loose(step)
        self.by_bobbins += self._lay(self.bobbins, step)

    def clear_cross(self, step: Step) -> None:
        """Take a hand of bobbins, let others make room, and lay it."""
        self._need_loose(step)
        self.by_bobbins += self._cross(self.bobbins, step)

    def clear_carry(self, step: Step) -> None:
        """Carry a hand of bobbins through the row."""
        self._need_loose(step)
        self.by_bobbins += self._carry(self.bobbins, step)

    def clear_roll(self, step: Step) -> None:
        """Turn neighbouring bobbins over as one."""
        self._need_loose(step)
        self.by_bobbins += self._roll(self.bobbins, step)
        for unit in step.units:
            self.turns_behind[unit] += step.half_turns

    def clear_shift(self, step: Step) -> None:
        """Move bobbins along."""
        self._need_loose(step)
        self._slide(self.bobbins, step)

    def clear_turn(self, step: Step) -> None:
        """Turn bobbins."""
        self._need_loose(step)
        for unit in step.units:
            self.turns_behind[unit] += step.half_turns

    def let_off(self, _: Step) -> None:
        """Give yarn from bobbins, so that their weights hang low again."""
        _need(not self.is_open, "the batten is open")
        _need(all(self.weight_on), "a weight is off: there is nothing to hang low")
        self._need_clear_behind()

    def clamp(self, _: Step) -> None:
        """Clamp the new order."""
        _need(not self.is_open and not self.clamped, "the batten is open or clamped already")
        _need(all(self.weight_on), "a weight is still off")
        self.clamped = True

    def unclamp(self, _: Step) -> None:
        """Take the clamp off, once the band is woven and dry."""
        _need(self.clamped, "the clamp is off already")
        _need(self.woven > 0, "the band is not woven yet: the new order would slide back")
        _need(self._is_dry(self.handle_min), "the band is still wet")
        self.clamped = False

    def pick(self, step: Step) -> None:
        """Picks and rods: sheds in turn, carried on from the last band."""
        _need("sampler" in self.ready, "the loom is not set up")
        _need(self.batten != "level" and not self.is_open, "the batten is on its chains or open")
        _need(all(self.weight_on), "a weight is off: its unit makes no shed")
        _need(self.clamped or not self.moved, "the new order is not clamped")
        _need(self.dry_for_min is None or not self.woven, "the band is brushed already")
        shed = self.shed
        for following in step.sheds:
            _need(following != shed, f"the shed {shed} was the last one: the pick would fall out")
            shed = following
        self.shed = shed
        self.batten = shed or self.batten
        self.woven += len(step.sheds)

    def adhesive(self, _: Step) -> None:
        """Brush the band."""
        _need(self.woven > 0, "there is no band to brush")
        self.dry_for_min = 0.0

    def cut_down(self, _: Step) -> None:
        """Let the weights down and cut the piece from the loom."""
        _need(self.woven > 0, "the last band is not woven")
        _need(self._is_dry(self.full_min), "the last band is not at full strength")
        _need(not self.clamped, "the clamp is still on")
        self.weight_on = [False] * len(self.weight_on)
        self.ready.add("cut-down")

    def row(self) -> tuple[int | None, ...]:
        """Strip in each place from 1; None where it is empty."""
        row: list[int | None] = [None] * self.place_count
        for unit, place in self.strips.place.items():
            row[place - 1] = unit
        return tuple(row)

    def _is_dry(self, after_min: float) -> bool:
        return self.dry_for_min is None or self.dry_for_min >= after_min

    def _in_windows(self, step: Step) -> list[int]:
        at = {place: unit for unit, place in self.bobbins.place.items()}
        return [
            at[place]
            for first, last in step.windows
            for place in range(first, last + 1)
            if place in at
        ]

    def _need_open(self, step: Step) -> None:
        _need(self.is_open, "the batten is closed")
        for unit in step.moving:
            _need(not self.weight_on[unit], f"the weight of {self.names[unit]} is still on")

    def _need_loose(self, step: Step) -> None:
        _need(not self.is_open, "the batten is open: strips would follow the bobbins")
        for unit in step.moving:
            _need(not self.weight_on[unit], f"the weight of {self.names[unit]} is still on")

    def _need_clear_behind(self) -> None:
        _need(not self.bobbins.held, "a bobbin is still held aside")
        hang = all(
            getattr(self.bobbins, it) == getattr(self.strips, it) for it in ("place", "off_mm")
        )
        _need(hang, "a bobbin does not hang behind its strip")
        for unit, turns in enumerate(self.turns_behind):
            if turns:
                raise NotPossible(f"{self.names[unit]} is twisted behind the reed")
        _need(self.is_clear_behind(), "units are crossed behind the reed")

    def _need_a_hand(self, step: Step) -> None:
        _need(len(step.units) <= self.hand, f"one hand takes {self.hand} strips")

    def _need_there(self, row: Strands, step: Step) -> None:
        at = dict(zip(step.units, step.from_places, strict=True))
        for unit, place in (at | {along.unit: along.start for along in step.along}).items():
            _need(row.place.get(unit) == place, f"{self.names[unit]} is not in place {place}")

    def _lift(self, row: Strands, step: Step) -> None:
        self._need_there(row, step)
        loose = len(row.held) + len(step.units)
        _need(loose <= self.most_loose, f"more than {self.most_loose} would be loose at once")
        for unit in step.units:
            row.lift(unit, below=step.below)

    def _lay(self, row: Strands, step: Step) -> tuple[int, ...]:
        said = (frozenset(step.over), frozenset(step.under))
        letters: list[int] = []
        places, off_mm = _ends(step)
        for unit in reversed(step.units) if step.to_places > step.from_places else step.units:
            _need(1 <= places[unit] <= self.place_count, f"there is no place {places[unit]}")
            _need(row.held.get(unit) is step.below, f"{self.names[unit]} is not held there")
            laid = row.lay(unit, places[unit], off_mm[unit])
            _need((laid.over, laid.under) == said, "it crosses others than the step says")
            letters += laid.letters
        return tuple(letters)

    def _cross(self, row: Strands, step: Step) -> tuple[int, ...]:
        self._lift(row, step)
        places, off_mm = _ends(step)
        row.slide({along.unit: places[along.unit] for along in step.along}, off_mm)
        return self._lay(row, step)

    def _carry(self, row: Strands, step: Step) -> tuple[int, ...]:
        self._need_there(row, step)
        passed = [(leg.over, leg.right, unit) for leg in step.legs for unit in leg.passed]
        letters = row.carry(step.units, passed)
        row.stand(*self._places(step))
        return letters

    def _roll(self, row: Strands, step: Step) -> tuple[int, ...]:
        self._need_there(row, step)
        letters = row.roll(step.units, step.half_turns)
        row.stand(*self._places(step))
        return letters

    def _slide(self, row: Strands, step: Step) -> None:
        self._need_there(row, step)
        row.slide(*self._places(step))

    def _places(self, step: Step) -> tuple[dict[int, int], dict[int, float]]:
        places, off_mm = _ends(step)
        for place in places.values():
            _need(1 <= place <= self.place_count, f"there is no place {place}")
        return places, off_mm


_DOES: dict[str, Callable[[RehearsedLoom, Step], None]] = {
    "draw": RehearsedLoom.draw,
    "cut-out": RehearsedLoom.cut_out,
    "level": RehearsedLoom.level,
    "unchain": RehearsedLoom.unchain,
    "weights-off": RehearsedLoom.weights_off,
    "weights-on": RehearsedLoom.weights_on,
    "open": RehearsedLoom.open,
    "close": RehearsedLoom.close,
    "lift": RehearsedLoom.lift,
    "lay": RehearsedLoom.lay,
    "cross": RehearsedLoom.cross,
    "carry": RehearsedLoom.carry,
    "roll": RehearsedLoom.roll,
    "shift": RehearsedLoom.shift,
    "turn": RehearsedLoom.turn,
    "check": RehearsedLoom.check,
    "clear-lift": RehearsedLoom.clear_lift,
    "clear": RehearsedLoom.clear,
    "clear-cross": RehearsedLoom.clear_cross,
    "clear-carry": RehearsedLoom.clear_carry,
    "clear-roll": RehearsedLoom.clear_roll,
    "clear-shift": RehearsedLoom.clear_shift,
    "clear-turn": RehearsedLoom.clear_turn,
    "let-off": RehearsedLoom.let_off,
    "clamp": RehearsedLoom.clamp,
    "unclamp": RehearsedLoom.unclamp,
    "pick": RehearsedLoom.pick,
    "rod": RehearsedLoom.pick,
    "adhesive": RehearsedLoom.adhesive,
    "cut-down": RehearsedLoom.cut_down,
}


def _ends(step: Step) -> tuple[dict[int, int], dict[int, float]]:
    """Place, and distance from its middle, of each unit that a step moves."""
    places = dict(zip(step.units, step.to_places, strict=True))
    off_mm = dict(zip(step.units, step.off_mm or (0.0,) * len(step.units), strict=True))
    for along in step.along:
        places[along.unit], off_mm[along.unit] = along.end, along.off_mm
    return places, off_mm


def _need(holds: bool, why: str) -> None:
    if not holds:
        raise NotPossible(why)
