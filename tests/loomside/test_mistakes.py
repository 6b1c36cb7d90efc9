"""A slip is found from how it lies; the way back leads back; what is kept comes out as drawn."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.loomside.answering import NotShown, answer, shown_from_words, span_asked
from crossfell.loomside.asked import adopt, answer_text
from crossfell.loomside.guide import Guide
from crossfell.loomside.keeping import Kept, NotKept, kept_way
from crossfell.loomside.leading import planned
from crossfell.loomside.mistake import Shown, moves_of_span, outcome_of
from crossfell.loomside.slips import slips_in, slips_that_show
from crossfell.loomside.wayback import way_back
from crossfell.loomside.wrongs import WayBack
from crossfell.piece import Piece
from crossfell.plan.model import WITH_STRIPS
from small_piece import small_draft

DRAFT = small_draft("{one}", "{two}", "4 over 5", order="a*8", height=400)


def plan_of(one, two="2 under 3"):
    made = Piece(read_draft(DRAFT.replace("{one}", one).replace("{two}", two)))
    assert made.computable, made.draft.notes
    return planned(made)


def checked(plan, span):
    """Index of the step after the last move of a span."""
    return [i for i, s in enumerate(plan.steps) if s.span == span and s.kind in WITH_STRIPS][-1] + 1


def planned_shown(plan, at):
    strips = plan.sights[at].strips
    return Shown(row=strips.now, faces=strips.faces)


def test_what_lies_as_planned_shows_no_slip_but_one_that_changes_nothing():
    plan = plan_of("1-2 over 3-4")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    meant = outcome_of(span, span.moves)
    assert (meant.row, meant.faces) == (plan.sights[at].strips.now, plan.sights[at].strips.faces)
    for slip in slips_that_show(plan, span, planned_shown(plan, at)):
        assert slip.outcome.over == meant.over


def test_a_strip_laid_on_the_wrong_side_is_named_and_brought_back():
    plan = plan_of("1 over 2, 5 over 6")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    (u, v) = 0, 1
    shown = replace(planned_shown(plan, at), other_way=frozenset({frozenset({u, v})}))
    slip = slips_that_show(plan, span, shown)[0]
    first = next(s for s in span.moves if s.kind == "lay" and set(s.units) & {u, v})
    assert f"at step {first.number}" in slip.says
    back = way_back(plan, span, slip, at)
    assert [step.kind for step in back.steps if step.kind != "shift"] == ["carry"]
    assert back.bands == ()
    assert back.at == at


def test_two_strips_taken_for_each_other_are_named():
    plan = plan_of("1-2 over 3-4")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    row = list(plan.sights[at].strips.now)
    i, j = row.index(0), row.index(1)
    row[i], row[j] = row[j], row[i]
    found = slips_that_show(plan, span, replace(planned_shown(plan, at), row=tuple(row)))
    if found:
        assert "a1" in found[0].says
        assert "a2" in found[0].says


def test_a_turn_left_out_is_named_and_made_now():
    plan = plan_of("turn 3 right, 6 over 7")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    faces = list(plan.sights[at].strips.faces)
    faces[2] = 1
    slip = slips_that_show(plan, span, replace(planned_shown(plan, at), faces=tuple(faces)))[0]
    assert "left out" in slip.says
    back = way_back(plan, span, slip, at)
    assert len(back.lines(plan.piece.draft)) == 1
    assert back.lines(plan.piece.draft)[0].startswith("Turn a3 right")


def test_a_slip_found_a_band_later_costs_the_band():
    plan = plan_of("1 over 2")
    late = next(i for i, s in enumerate(plan.steps) if s.kind == "draw" and s.span == 2)
    span = moves_of_span(plan, 1, late)
    shown = replace(planned_shown(plan, checked(plan, 1)), other_way=frozenset({frozenset({0, 1})}))
    slip = slips_that_show(plan, span, shown)[0]
    early = way_back(plan, span, slip, checked(plan, 1))
    back = way_back(plan, span, slip, late)
    assert back.bands == (2,)
    assert back.minutes > early.minutes + 20
    assert back.lines(plan.piece.draft)[0].startswith("Clamp off. Cut out band 2")


def test_a_crossing_kept_the_other_way_needs_nothing_more():
    plan = plan_of("1 over 2")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    shown = replace(planned_shown(plan, at), other_way=frozenset({frozenset({0, 1})}))
    kept = kept_way(plan, span, slips_that_show(plan, span, shown)[0], 2)
    assert isinstance(kept, Kept)
    assert kept.moves == ()
    assert [span.word for span in kept.piece.order.spans] == [(-1,), (-2,), (4,)]


def test_a_face_that_is_kept_is_turned_in_the_next_span():
    plan = plan_of("turn 3 right, 6 over 7")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    faces = list(plan.sights[at].strips.faces)
    faces[2] = 1
    slip = slips_that_show(plan, span, replace(planned_shown(plan, at), faces=tuple(faces)))[0]
    kept = kept_way(plan, span, slip, 2)
    assert isinstance(kept, Kept)
    assert kept.moves == ("turn 3 right",)
    assert (kept.piece.order.face[2:] == plan.piece.order.face[2:]).all()


MOVES = st.lists(
    st.tuples(st.integers(1, 7), st.sampled_from(["over", "under"])).map(
        lambda m: f"{m[0]} {m[1]} {m[0] + 1}"
    ),
    min_size=1,
    max_size=7,
)


@given(MOVES, st.integers(0, 200))
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
def test_every_slip_is_found_again_from_how_it_lies_and_leads_back(moves, which):
    plan = plan_of(", ".join(moves))
    kinds = [s.kind for s in plan.steps if s.span == 1]
    assume("lay" in kinds)
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    meant = outcome_of(span, span.moves)
    assume(all(count == 1 for _, count in meant.over))
    assume(len({frozenset(pair) for pair, _ in meant.over}) == len(meant.over))
    tried = []
    for _, wrong, did in slips_in(plan, span, meant, planned_shown(plan, at)):
        outcome = outcome_of(span, did)
        if outcome is not None and not outcome.held:
            tried.append((wrong, did, outcome))
    assume(tried)
    _, _, outcome = tried[which % len(tried)]
    flipped = frozenset(
        frozenset(pair) for pair, _ in outcome.over if pair not in {p for p, _ in meant.over}
    )
    shown = Shown(row=outcome.row, faces=outcome.faces, other_way=flipped)
    assume(len(outcome.over) == len(meant.over))
    found = slips_that_show(plan, span, shown)
    assume({frozenset(p) for p, _ in outcome.over} == {frozenset(p) for p, _ in meant.over})
    assert any(slip.outcome.over == outcome.over for slip in found)
    for slip in found:
        for late in (at, at + 1, at + 3, len(plan.steps) - 3):
            span_then = moves_of_span(plan, 1, late)
            back = way_back(plan, span_then, slip, late)
            assert isinstance(back, WayBack)  # rehearsed: the loom then stands as planned
            assert back.minutes >= 0
        kept = kept_way(plan, span, slip, 2)
        if isinstance(kept, Kept):
            assert (kept.piece.order.place[2:] == plan.piece.order.place[2:]).all()
        else:
            assert isinstance(kept, NotKept)
            assert kept.says


@pytest.fixture
def led(tmp_path):
    file = tmp_path / "low.toml"
    file.write_text(DRAFT.replace("{one}", "turn 3 right, 6 over 7").replace("{two}", "2 under 3"))
    guide = Guide(file)
    yield guide
    guide.close()


def tick_to(guide, at):
    guide.tell([guide.event("tick", index=i) for i in range(guide.now().progress.at, at)])


def test_she_is_told_both_ways_and_what_is_kept_stands_in_draft_and_record(led):
    at = checked(led.now().plan, 1)
    tick_to(led, at)
    now = led.now()
    lies = ["a1", "a2", "a3", "a4", "a5", "a7", "a6", "a8"]
    plan, here = now.plan, now.progress.at
    found = answer(plan, here, span_asked(plan, here), shown_from_words(plan, lies))
    text = answer_text(found, plan.piece.draft)
    assert "left out: Turn a3 right" in text
    assert "The way back (1 min" in text
    assert "span 2 then begins with\n    turn 3 right" in text
    kind = now.step.kind
    before = led.file.read_text()
    adopt(led, found)
    assert 'woven = "6 over 7"' in led.file.read_text()
    assert 'moves = "turn 3 right, 6 over 7"' in led.file.read_text()
    after = led.now()
    assert after.step.kind == kind
    assert after.doubt == ""
    assert before in [draft for draft, _ in led.record.drafts().values()]
    woven = [e for e in led.record.events() if e.kind == "woven"]
    assert woven[0].says["span"] == 1


def test_as_planned_is_said_and_nonsense_is_refused(led):
    tick_to(led, checked(led.now().plan, 1))
    now = led.now()
    right = ["a1", "a2", "a3'", "a4", "a5", "a7", "a6", "a8"]
    plan, here = now.plan, now.progress.at
    assert "as planned" in answer(plan, here, 1, shown_from_words(plan, right)).says
    for row, others in (
        (right[:3], ()),
        ([*right[:7], "z9"], ()),
        ([*right[:7], "a1"], ()),
        (right, [("a1", "zz")]),
    ):
        with pytest.raises(NotShown):
            shown_from_words(plan, row, others)
    with pytest.raises(NotShown, match="span 2"):
        span_asked(plan, here, 2)


def test_more_than_one_slip_is_said_to_be_more_than_one(led):
    tick_to(led, checked(led.now().plan, 1))
    now = led.now()
    lies = ["a2", "a1", "a3", "a4", "a5", "a6", "a7", "a8"]
    found = answer(now.plan, now.progress.at, 1, shown_from_words(now.plan, lies))
    assert "More than one thing" in found.says
    assert found.back is None


def test_a_strip_that_was_woven_through_is_named_with_whom_it_passed_wrongly():
    plan = plan_of("3 over 4-6")
    at = checked(plan, 1)
    span = moves_of_span(plan, 1, at)
    meant = outcome_of(span, span.moves)
    assert {pair for pair, _ in meant.over} == {(2, 3), (2, 4), (2, 5)}
    shown = replace(planned_shown(plan, at), other_way=frozenset({frozenset({2, 4})}))
    slips = slips_that_show(plan, span, shown)
    if any(step.units == (2,) for step in span.moves if step.kind == "lay"):
        assert "a3 was laid under a5, and over the rest" in slips[0].says
        assert isinstance(way_back(plan, span, slips[0], at), WayBack)
    kept = kept_way(plan, span, slips[0], 2)
    assert kept.piece.order.spans[0].word == (3, -4, 5)
