"""The loom as a state machine: whatever is tried, in any order, it stays possible."""

from drafts_at_random import piece_from
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from crossfell.order.braid import braid_of, same_braid
from crossfell.plan.model import Step
from crossfell.plan.rehearsal import RehearsedLoom, StepRefused

UNITS = 5
PLAIN = ["draw", "level", "unchain", "open", "close", "clamp", "unclamp", "check", "adhesive"]
UNIT = st.integers(0, UNITS - 1)
PLACE = st.integers(0, UNITS + 2)


class AnyLoom(RuleBasedStateMachine):
    """Tries steps with a place, a side and a hand at random; most are refused."""

    @initialize()
    def set_up(self):
        self.loom = RehearsedLoom(piece_from("", warp="a a - a a a").draft)
        self.done = 0
        self.start = list(range(UNITS))
        self.whys = set()
        for kind in ("wind", "thread", "hang", "sampler"):
            self.attempt(kind)
        self.attempt("pick", sheds=("up", "down"))
        for kind in ("draw", "level"):
            self.attempt(kind)
        self.attempt("weights-off", windows=((1, 6),))
        self.attempt("open")

    def attempt(self, kind, **more):
        self.done += 1
        step = Step(number=self.done, span=None, band=None, side="front", kind=kind, **more)
        try:
            self.loom.do(step)
        except StepRefused as refused:
            self.whys.add(refused.why)
            return False
        return True

    @rule(kind=st.sampled_from(PLAIN), dried=st.sampled_from([0.0, 200.0, 4000.0]))
    def do_plainly(self, kind, dried):
        if self.attempt(kind, not_before_min=dried) and kind == "draw":
            self.start = list(self.loom.strips.order)

    @rule(kind=st.sampled_from(["weights-off", "weights-on"]), low=PLACE, wide=st.integers(0, 6))
    def change_weights(self, kind, low, wide):
        self.attempt(kind, windows=((low, low + wide),))

    @rule(sheds=st.lists(st.sampled_from(["up", "down"]), min_size=1, max_size=2))
    def weave(self, sheds):
        clear = all(self.loom.weight_on) and self.loom.batten != "level"
        if self.attempt("pick", sheds=tuple(sheds)):
            assert clear
            assert self.loom.clamped or not self.loom.moved

    @rule(unit=UNIT, below=st.booleans(), behind=st.booleans())
    def lift(self, unit, below, behind):
        row = self.loom.bobbins if behind else self.loom.strips
        kind = "clear-lift" if behind else "lift"
        at = row.place.get(unit, 1)
        if self.attempt(kind, units=(unit,), from_places=(at,), below=below):
            assert not self.loom.weight_on[unit]

    @rule(unit=UNIT, place=PLACE, behind=st.booleans())
    def lay(self, unit, place, behind):
        """As a careful hand would: it says whom it crosses, or the step is refused."""
        row = self.loom.bobbins if behind else self.loom.strips
        if unit not in row.held:
            return
        left = row._left_of[unit]
        crossed = [u for u, at in row.place.items() if (u in left) != (at < place)]
        below = row.held[unit]
        said = {"under" if below else "over": tuple(crossed)}
        step = {"units": (unit,), "from_places": (1,), "to_places": (place,), "below": below}
        self.attempt("clear" if behind else "lay", **step, **said)

    @rule(unit=UNIT, turns=st.sampled_from([-1, 1, 2]), behind=st.booleans())
    def turn(self, unit, turns, behind):
        self.attempt("clear-turn" if behind else "turn", units=(unit,), half_turns=turns)

    @rule(unit=UNIT, place=PLACE, behind=st.booleans())
    def shift(self, unit, place, behind):
        row = self.loom.bobbins if behind else self.loom.strips
        kind = "clear-shift" if behind else "shift"
        at = row.place.get(unit, 1)
        self.attempt(kind, units=(unit,), from_places=(at,), to_places=(place,))

    @invariant()
    def a_refusal_says_why(self):
        assert all(self.whys)

    @invariant()
    def no_two_strips_in_one_place(self):
        for row in (self.loom.strips, self.loom.bobbins):
            places = list(row.place.values())
            assert len(set(places)) == len(places)
            assert set(row.place) | set(row.held) == set(range(UNITS))
            assert not set(row.place) & set(row.held)

    @invariant()
    def nothing_is_crossed_or_twisted_behind_while_all_weights_are_on(self):
        if all(self.loom.weight_on):
            assert same_braid(UNITS, self.loom.behind, ())
            assert not any(self.loom.turns_behind)

    @invariant()
    def the_strips_lie_as_the_braid_in_front_says(self):
        row = braid_of(UNITS, self.loom.front).row
        assert [self.start[rank] for rank in row] == self.loom.strips.order

    @invariant()
    def the_bobbins_lie_as_the_braid_made_behind_says(self):
        row = braid_of(UNITS, self.loom.by_bobbins).row
        assert [self.start[rank] for rank in row] == self.loom.bobbins.order


TestAnyLoom = AnyLoom.TestCase
TestAnyLoom.settings = settings(max_examples=15, stateful_step_count=40, deadline=None)
