"""A way back is steps: chosen, walked one by one, and then the loom stands as the plan says."""

import random

import pytest
from test_mistakes import DRAFT, checked, plan_of, planned_shown, tick_to

from crossfell.loomside.answering import NotShown
from crossfell.loomside.asked import asked, go_back, leave_way
from crossfell.loomside.guide import Guide
from crossfell.loomside.mistake import Shown, Slip, moves_of_span, outcome_of
from crossfell.loomside.otherwise import band_way_back, weights_way_back
from crossfell.loomside.slips import slips_in, slips_that_show
from crossfell.loomside.wayback import way_back
from crossfell.loomside.wrongs import NoWayBack, WayBack
from crossfell.plan.loom_states import RehearsedLoom
from crossfell.plan.model import WITH_STRIPS
from crossfell.plan.phrasebook import teller_of


@pytest.fixture
def led(tmp_path):
    file = tmp_path / "low.toml"
    file.write_text(DRAFT.replace("{one}", "turn 3 right, 6 over 7").replace("{two}", "2 under 3"))
    guide = Guide(file)
    yield guide
    guide.close()


def move_at_random(rng):
    kind, at = rng.choice("cccbt"), rng.randint(1, 5)
    side = rng.choice(["over", "under"])
    if kind == "t":
        return f"turn {at} {rng.choice(['left', 'right'])}"
    return f"{at}-{at + 1} {side} {at + 2}-{at + 3}" if kind == "b" else f"{at} {side} {at + 1}"


@pytest.mark.parametrize("seed", range(4))
def test_from_any_step_the_way_back_ends_where_the_plan_says(seed):
    """Rehearsed: `way_back` refuses steps after which the loom does not stand as planned."""
    rng = random.Random(seed)
    spans = [", ".join(move_at_random(rng) for _ in range(rng.randint(1, 3))) for _ in range(2)]
    plan = plan_of(*spans)
    tried = 0
    for number in (1, 2):
        moves = [i for i, s in enumerate(plan.steps) if s.span == number and s.kind in WITH_STRIPS]
        for at in rng.sample(range(moves[0] + 1, len(plan.steps) - 2), 5) if moves else ():
            span = moves_of_span(plan, number, at)
            meant = outcome_of(span, span.moves)
            shown = Shown(row=meant.row, faces=meant.faces)
            slips = list(slips_in(plan, span, meant, shown))
            for says, wrong, did in rng.sample(slips, min(len(slips), 1)):
                outcome = outcome_of(span, did)
                if outcome is None:
                    continue
                slip = Slip(says=says, wrong=wrong, did=did, outcome=outcome)
                back = way_back(plan, span, slip, at)
                assert isinstance(back, WayBack) or "still lifted" in back.says, back.says
                tried += 1
    assert tried


def test_a_hand_that_was_left_out_is_named():
    plan = plan_of("1 over 2, 5 over 6")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    row = list(planned_shown(plan, at).row)
    row[0], row[1] = row[1], row[0]
    slips = slips_that_show(plan, span, Shown(row=tuple(row), faces=planned_shown(plan, at).faces))
    assert "stayed where it was" in slips[0].says
    back = way_back(plan, span, slips[0], at)
    assert [step.kind for step in back.steps if step.kind != "shift"] == ["cross"]


def test_a_neighbour_that_was_taken_instead_is_named():
    plan = plan_of("3 over 4")
    at = checked(plan, 1)
    span, meant = moves_of_span(plan, 1, at), planned_shown(plan, at)
    row = (0, 1, 2, 4, 3, 5, 6, 7)  # 4 over 5 in place of 3 over 4
    slips = slips_that_show(plan, span, Shown(row=row, faces=meant.faces))
    assert "its neighbour" in slips[0].says
    assert slips[0].outcome.word == (4,)


def test_a_turn_made_the_wrong_way_is_named_though_its_face_is_right():
    plan = plan_of("turn 3 right")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    shown = Shown(**{**vars(planned_shown(plan, at)), "turned": frozenset({2})})
    slip = slips_that_show(plan, span, shown)[0]
    assert "turned left instead of right" in slip.says
    back = way_back(plan, span, slip, at)
    assert back.lines(plan.piece.draft) == (
        "Turn a3 right, a full turn; it then lies face to the back.",
    )


def test_a_band_woven_wrongly_is_cut_out_and_woven_again():
    plan = plan_of("1 over 2")
    at = next(i for i, s in enumerate(plan.steps) if s.kind == "cross" and s.span == 3)
    back = band_way_back(plan, 2, at)
    assert back.bands == (3, 2)
    assert [s.kind for s in back.steps if s.band == 2] == ["cut-out", "pick", "rod", "pick", "adhesive", "unclamp"]  # fmt: skip
    assert plan.steps[back.at - 1].kind == "unchain"
    assert isinstance(band_way_back(plan, 1, at), WayBack)


def test_exchanged_weights_are_exchanged_where_the_batten_is_on_its_chains():
    plan = plan_of("1 over 2")
    at = next(i for i, s in enumerate(plan.steps) if s.kind == "pick" and s.band == 2)
    back = weights_way_back(plan, (2, 4), at)
    assert [s.kind for s in back.steps] == ["weights-off", "weights-on"]
    assert plan.steps[back.at - 1].kind == "level"
    assert back.steps[0].windows == ((3, 3), (5, 5))
    assert isinstance(weights_way_back(plan, (2, 4), len(plan.steps) - 2), NoWayBack)


def lies(guide):
    plan, at = guide.now().plan, guide.now().progress.at
    names = list(plan.piece.order.names)
    return [names[u] for u in plan.sights[at].strips.now]


SAYS = {"span": 1, "row": "a1 a2 a3' a4 a5 a6 a7 a8"}  # 6 over 7 was left out


@pytest.mark.parametrize("kind", ["check", "weights-on", "clamp", "pick", "draw"])
def test_she_is_led_through_the_way_back_step_by_step(led, kind):
    """Found at the look, behind the loom, before the clamp, in the band, or in the next span."""
    steps = led.now().plan.steps
    late = {"draw": 2}.get(kind, 1)
    at = next(i for i, s in enumerate(steps) if s.kind == kind and (s.span == late or s.band == 2))
    tick_to(led, at)
    said = teller_of(led.now().plan.piece.draft).sentence
    planned = [said(step) for step in steps[at:]]
    go_back(led, SAYS)
    seen = []
    while led.now().progress.at in led.now().plan.aside:
        seen.append(led.done().plan.draft)
    now = led.now()
    assert seen
    assert now.doubt == ""
    rest = [said(s) for i, s in enumerate(now.plan.steps) if i >= now.progress.at and i not in now.plan.aside]  # fmt: skip
    assert rest == planned
    assert led.plan_of(now.plan.draft) is now.plan
    again = Guide(led.file)  # another screen, tomorrow: the same steps
    assert again.now().plan.keys == now.plan.keys
    assert again.now().progress.at == now.progress.at
    again.close()
    loom = RehearsedLoom(now.plan.piece.draft)
    for i, step in enumerate(now.plan.steps):
        if i not in now.plan.aside:
            loom.do(step)


def test_a_way_back_can_be_left(led):
    tick_to(led, checked(led.now().plan, 1))
    before = led.now()
    with pytest.raises(NotShown):
        leave_way(led)
    go_back(led, SAYS)
    with pytest.raises(NotShown, match="on a way back"):
        asked(led, SAYS)
    assert led.now().step != before.step
    leave_way(led)
    assert led.now().step == before.step
    assert led.now().doubt == ""


def test_when_the_draft_changes_its_plan_stands_alone(led):
    tick_to(led, checked(led.now().plan, 1))
    go_back(led, SAYS)
    led.done()
    led.file.write_text(led.file.read_text() + "# a remark\n")
    now = led.now()
    assert not now.plan.aside
    assert now.step.kind == "check"
    assert now.doubt == ""


def test_what_she_says_must_make_sense(led):
    tick_to(led, checked(led.now().plan, 1))
    for says in (
        {"band": 2},
        {"band": 1, "picks": 4},
        {"band": True},
        {"weights": "a1"},
        {"weights": "a1 a1"},
        {"weights": "a1 z9"},
        {"row": SAYS["row"], "other_way": "a1"},
        {"row": SAYS["row"], "turned": "z9"},
    ):
        with pytest.raises(NotShown):
            asked(led, says)
    assert "3 picks instead of 4" in asked(led, {"band": 1, "picks": 3}).live.says
    assert "pick more or less" in asked(led, {"band": 1, "picks": 3}).live.says
