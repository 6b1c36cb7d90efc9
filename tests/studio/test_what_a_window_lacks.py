"""An answer brings what a window lacks, and nothing twice: sheets, stencils, the text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossfell.studio.splice import splice_of

PIECE = {"piece": "02-tideline/tideline"}
NOTHING = {"from": 0.0, "to": 600.0, "have": [], "set": "", "known": 0}
DRAG = {"span": 3, "span_to": 3, "first": 5, "last": 5, "by": 1, "over": True}
BROKEN = "[[[["


def having(drawn, seen=NOTHING):
    """What a window says that has taken this."""
    keys = [*seen["have"], *drawn["sheets"]]
    known = drawn["first"] + len(drawn["stencils"])
    return seen | {"have": keys, "set": drawn["set"], "known": max(known, seen["known"])}


def keys_seen(state, low=0.0, high=600.0):
    return {
        part["key"]
        for part in state["picture"]["slices"]
        if part["top"] + part["height"] > low and part["top"] < high
    }


def stencils_laid(drawn):
    return {n for runs in drawn["sheets"].values() for _, flat in runs for n in flat[0::3]}


def test_a_new_window_is_told_all_that_it_sees(client):
    state = client.call("open", **PIECE, seen=NOTHING)
    drawn = state["drawn"]
    assert set(drawn["sheets"]) == keys_seen(state)
    assert drawn["first"] == 0
    assert stencils_laid(drawn) <= set(range(len(drawn["stencils"])))


def test_what_a_window_has_is_not_told_again(client):
    first = client.call("open", **PIECE, seen=NOTHING)
    again = client.call("open", **PIECE, seen=having(first["drawn"]))["drawn"]
    assert (again["sheets"], again["stencils"]) == ({}, [])
    lower = having(first["drawn"]) | {"to": 900.0}
    more = client.call("sheets", **PIECE, seen=lower)["drawn"]
    assert set(more["sheets"]) == keys_seen(first, 0.0, 900.0) - keys_seen(first)
    assert more["first"] == lower["known"]


def test_what_was_carried_is_there_when_it_is_dropped(client, folder):
    state = client.call("open", **PIECE, seen=NOTHING | {"to": 3000.0})
    seen = having(state["drawn"], NOTHING | {"to": 3000.0})
    told = client.call("drag", **PIECE, **DRAG, seen=seen)
    assert told["drawn"]["sheets"]
    assert stencils_laid(told["drawn"]) <= set(
        range(told["drawn"]["first"] + len(told["drawn"]["stencils"]))
    )
    seen = having(told["drawn"], seen)
    after = client.call(
        "edit",
        **PIECE,
        edit=told["edit"],
        revision=state["revision"],
        has=state["revision"],
        seen=seen,
    )
    assert after["picture"]["slices"] == told["slices"]
    assert after["drawn"]["sheets"] == {}
    assert "text" not in after
    start, end, new = after["splice"]
    disk = (folder / "02-tideline" / "tideline.toml").read_text(encoding="utf-8")
    assert state["text"][:start] + new + state["text"][end:] == disk


def test_a_set_of_another_start_is_told_from_the_first_stencil(client):
    seen = NOTHING | {"set": "of-long-ago", "known": 40}
    drawn = client.call("open", **PIECE, seen=seen)["drawn"]
    assert drawn["first"] == 0
    assert drawn["stencils"]


def test_a_state_of_long_ago_brings_the_whole_text(client):
    first = client.call("open", **PIECE)
    start, end, words = client.call("open", **PIECE, has=first["revision"])["splice"]
    assert (start, words) == (end, "")
    for has in (-1, 999_999):
        assert client.call("open", **PIECE, has=has)["text"] == first["text"]


def test_while_the_draft_is_broken_its_last_picture_can_be_scrolled(client):
    state = client.call("open", **PIECE, seen=NOTHING)
    lower = having(state["drawn"]) | {"to": 1500.0}
    waits = next(iter(keys_seen(state, 0.0, 1500.0) - keys_seen(state)))
    broken = client.call("text", **PIECE, text=state["text"] + BROKEN, revision=state["revision"])
    assert not broken["computable"]
    drawn = client.call("sheets", **PIECE, seen=lower | {"waits": waits})["drawn"]
    assert waits in drawn["sheets"]
    refused = client.call("sheets", **PIECE, seen=lower, status=400)
    assert "errors" in refused["error"]


@pytest.mark.parametrize(
    "seen", [5, {"from": "a"}, NOTHING | {"have": "all"}, NOTHING | {"have": [""] * 1001}]
)
def test_what_makes_no_sense_is_refused(client, seen):
    assert "error" in client.call("open", **PIECE, seen=seen, status=400)


TEXTS = st.text("ab\n😀é", max_size=30)


@given(TEXTS, TEXTS, TEXTS, TEXTS)
def test_a_splice_turns_one_text_into_the_other_as_browsers_count(head, old, new, tail):
    before, after = head + old + tail, head + new + tail
    start, end, words = splice_of(before, after)
    units = before.encode("utf-16-le")
    made = units[: 2 * start] + words.encode("utf-16-le") + units[2 * end :]
    assert made.decode("utf-16-le") == after
    assert len(words) <= len(new)
