"""In a terminal: one step fills the screen, one key is done, another back, and it is remembered."""

import asyncio

import pytest
from textual.widgets import Static

from crossfell.loomside.blocks import in_blocks
from crossfell.loomside.guide import Guide
from crossfell.loomside.plain import TWICE_S, PlainTerminal
from crossfell.record.opening import NotSaved
from small_piece import small_draft

DRAFT = small_draft("1-2 over 3-4", order="a*2 b*2")


@pytest.fixture
def guide(tmp_path):
    file = tmp_path / "low.toml"
    file.write_text(DRAFT)
    led = Guide(file)
    yield led
    led.close()


def shown(app, name):
    return str(app.query_one(f"#{name}", Static).render())


def pressed(guide, *keys, look):
    """Press keys one after another, slowly enough to be meant; what `look` sees at the end."""

    async def journey():
        app = PlainTerminal(guide)
        async with app.run_test(size=(100, 30)) as pilot:
            for key in keys:
                app._last_key -= 2 * TWICE_S
                await pilot.press(*(key if isinstance(key, tuple) else (key,)))
                await pilot.pause()
            return look(app)

    return asyncio.run(journey())


def large(text):
    return bare(in_blocks(text, 92, most=3))


def bare(text):
    lines = [line.rstrip() for line in text.split("\n")]
    edge = min((len(line) - len(line.lstrip()) for line in lines if line), default=0)
    return "\n".join(line[edge:] for line in lines).strip("\n")


def test_one_key_is_done_another_goes_back(guide):
    steps = guide.now().plan.steps
    assert pressed(guide, look=lambda a: shown(a, "where")).count("step 1 of")
    assert pressed(guide, "space", "d", "enter", look=lambda a: shown(a, "where")).count(
        "step 4 of"
    )
    assert pressed(guide, "backspace", look=lambda a: shown(a, "where")).count("step 3 of")
    assert [mark.number for mark in guide.now().progress.done] == [1, 2]
    assert len(steps) > 20


def test_a_key_that_is_held_ticks_once(guide):
    def held(app):
        app._last_key -= 2 * TWICE_S
        for _ in range(3):
            app.action_done()

    pressed(guide, look=held)
    assert guide.now().progress.at == 1


def test_a_lay_says_over_whom_and_how_it_lies_after(guide):
    at = next(i for i, s in enumerate(guide.now().plan.steps) if s.kind == "cross")
    for _ in range(at):
        guide.done()

    def seen(app):
        return {name: shown(app, name) for name in ("where", "do", "cross", "row")}

    first = pressed(guide, look=seen)
    assert bare(first["do"]) == large("TAKE a1, a2")
    assert bare(first["cross"]) == large("OVER b1, b2")
    assert first["row"] == "after: b1 b2 [a1] [a2]"
    assert "IN FRONT" in first["where"]
    other = pressed(guide, "f", look=seen)
    assert bare(other["cross"]) == large("OVER b2, b1")
    assert other["row"] == "after: [a2] [a1] b2 b1"
    assert "FROM BEHIND" in other["where"]


def test_a_wet_band_asks_twice(guide):
    at = next(i for i, s in enumerate(guide.now().plan.steps) if s.not_before_min)
    for _ in range(at):
        guide.done()
    assert "WET: not before" in pressed(guide, look=lambda a: shown(a, "doubt"))
    said = pressed(guide, "space", look=lambda a: shown(a, "doubt"))
    assert "Press again if it is dry" in said
    assert guide.now().progress.at == at
    pressed(guide, "space", "space", look=lambda a: None)
    assert guide.now().progress.at == at + 1


def test_a_note_is_kept_at_its_step(guide):
    pressed(guide, "n", "o", "k", "enter", look=lambda a: None)
    (note,) = [event for event in guide.record.events() if event.kind == "note"]
    assert (note.says["text"], note.step.number) == ("ok", 1)


def test_what_is_not_saved_is_not_done_and_says_so(guide, monkeypatch):
    def full(events):
        raise NotSaved("database or disk is full")

    monkeypatch.setattr(guide, "tell", full)
    said = pressed(guide, "space", look=lambda a: shown(a, "doubt"))
    assert "NOT SAVED" in said
    assert guide.now().progress.at == 0


def test_closing_the_terminal_ends_the_work(guide):
    pressed(guide, "space", "q", look=lambda a: None)
    assert [event.kind for event in guide.record.events()] == ["start", "tick", "pause"]
