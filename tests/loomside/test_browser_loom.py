"""At the loom in a real browser, at the size of a tablet, with a voice that is a stub."""

import contextlib
import os

import pytest
from led import MUTE, TABLET, VOICE, Served
from playwright.sync_api import expect

from crossfell.record.opening import NotSaved
from small_piece import small_draft
from waiting import LONG_MS, until

DRAFT = small_draft("3 over 4-5", "turn 1 right", order="a*3 b*3")
CUT = """
[...document.querySelectorAll('#do, #cross, #lines, #marks, #picture svg, header *, button')]
  .filter(e => {
    const r = e.getBoundingClientRect(), inMain = e.closest('main')?.getBoundingClientRect();
    return r.right > innerWidth + 1 || r.left < -1 || e.scrollWidth > e.clientWidth + 2
      && e.clientWidth > 0 || inMain && r.bottom > inMain.bottom + 1 || r.bottom > innerHeight + 1;
  }).map(e => e.id + e.tagName + e.textContent)
"""
APART_MS = 360  # two keys that are both meant


@pytest.fixture
def loom(tmp_path):
    file = tmp_path / "low.toml"
    file.write_text(DRAFT)
    served = Served(file)
    yield served
    served.down()


@pytest.fixture
def screen(chromium, loom):
    """Open a screen; console errors fail, but for those of a network that was dropped on purpose."""
    opened, faults = [], []

    def open_one(voice=VOICE, size=TABLET):
        context = chromium.new_context(viewport=size)
        context.set_default_timeout(LONG_MS)
        context.add_init_script(voice)
        page = context.new_page()
        page.on(
            "console",
            lambda m: (
                faults.append(m.text)
                if m.type == "error" and "ERR_" not in m.text and "507" not in m.text
                else None
            ),
        )
        page.on("pageerror", lambda e: faults.append(str(e)))
        page.goto(loom.url)
        expect(page.locator("#count")).to_contain_text("step")
        opened.append(context)
        return page

    yield open_one
    for context in opened:
        context.close()
    assert faults == []


def at_step(page, number):
    expect(page.locator("#count")).to_contain_text(f"step {number} of")


def hurry(page):
    """Have the page ask the server at once, not in its next two seconds."""
    page.evaluate("dispatchEvent(new Event('online'))")


def press(page, key):
    page.wait_for_timeout(APART_MS)
    page.keyboard.press(key)


def test_a_key_a_pedal_and_a_tap_say_done_and_back_goes_back(loom, screen):
    page = screen()
    at_step(page, 1)
    press(page, "Space")
    at_step(page, 2)
    press(page, "PageDown")
    at_step(page, 3)
    page.wait_for_timeout(APART_MS)
    page.mouse.click(400, 300)
    at_step(page, 4)
    press(page, "Backspace")
    at_step(page, 3)
    assert loom.guide.now().progress.at == 2
    assert loom.ticks() == [1, 2, 3]


def test_a_foot_that_trembles_ticks_once(loom, screen):
    page = screen()
    page.wait_for_timeout(APART_MS)
    page.evaluate(
        "for (let i = 0; i < 3; i += 1) dispatchEvent(new KeyboardEvent('keydown', { key: ' ' }))"
    )
    at_step(page, 2)
    page.wait_for_timeout(APART_MS)
    assert loom.ticks() == [1]


def test_a_lay_is_said_drawn_and_spoken(loom, screen):
    number = loom.go_to("cross")
    page = screen()
    at_step(page, number)
    expect(page.locator("#side")).to_have_text("IN FRONT OF THE LOOM")
    expect(page.locator("#cross")).to_contain_text("OVER")
    page.locator("#picture text").first.wait_for()  # the picture comes after the words
    names = page.locator("#picture text").all_text_contents()
    assert {"AFTER", "BEFORE", "a3", "b1", "b2"} <= set(names)
    said = page.evaluate("window.said")
    assert said[-1][0].startswith("Slate three, over chalk one and two")
    press(page, "r")
    assert page.evaluate("window.said.length") == len(said) + 1


def test_behind_the_loom_the_screen_is_mirrored_and_counts_from_her_left(loom, screen):
    number = loom.go_to("clear-cross", "back")
    page = screen()
    at_step(page, number)
    expect(page.locator("#side")).to_have_text("BEHIND THE LOOM")

    def xs():
        return page.evaluate(
            "Object.fromEntries([...document.querySelectorAll('#picture text')].reverse()"
            ".map(t => [t.textContent, t.getBoundingClientRect().x]))"
        )

    def shown(seen):
        at = xs()
        return "b1" in at and "b2" in at and seen(at)

    until(page, lambda: shown(lambda behind: behind["b1"] > behind["b2"]))
    page.keyboard.press("f")
    expect(page.locator("#side")).to_contain_text("AS SEEN FROM THE FRONT")
    until(page, lambda: shown(lambda front: front["b1"] < front["b2"]))


@pytest.mark.parametrize(
    "size",
    [TABLET, {"width": 1024, "height": 768}, {"width": 800, "height": 1280}],
    ids=["tablet", "small tablet", "upright"],
)
def test_letters_can_be_read_at_a_metre_and_a_half_and_nothing_is_cut(loom, screen, size):
    page = screen(size=size)
    for kind in ("hang", "pick", "cross", "check"):
        number = loom.go_to(kind, "back" if kind == "hang" else "front")
        hurry(page)
        at_step(page, number)
        page.wait_for_timeout(150)
        sizes = page.evaluate(
            "[...document.querySelectorAll('#do, #cross, #lines p')]"
            ".map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert min(sizes) >= 55
        assert page.evaluate(CUT) == []


def test_without_a_voice_nothing_waits(loom, screen):
    page = screen(voice=MUTE)
    press(page, "Space")
    at_step(page, 2)
    press(page, "Space")
    at_step(page, 3)


def test_when_the_network_drops_she_goes_on_and_the_ticks_come_later(loom, screen):
    page = screen()
    press(page, "Space")
    at_step(page, 2)
    page.context.set_offline(True)
    for number in (3, 4, 5):
        press(page, "Space")
        at_step(page, number)
    press(page, "Backspace")
    at_step(page, 4)
    expect(page.locator("#sent")).to_contain_text("Kept on this device; 3 steps")
    assert loom.ticks() == [1]
    page.context.set_offline(False)
    hurry(page)
    expect(page.locator("#sent")).to_have_text("")
    assert loom.ticks() == [1, 2, 3, 4]
    assert loom.guide.now().progress.at == 3
    at_step(page, 4)


def test_a_server_that_does_not_answer_is_not_waited_for(loom, screen):
    page = screen()
    page.route("**/events", lambda _: None)  # the request hangs until the page gives it up
    press(page, "Space")
    at_step(page, 2)
    press(page, "Space")
    at_step(page, 3)
    assert loom.ticks() == []
    expect(page.locator("#sent")).to_contain_text("Kept on this device; 2 steps")
    page.unroute("**/events")
    expect(page.locator("#sent")).to_have_text("")
    assert loom.ticks() == [1, 2]


def test_when_the_server_drops_the_page_opens_again_and_nothing_is_lost(loom, screen):
    """The page is closed and opened without a server, then the server comes back."""
    page = screen()
    page.evaluate("navigator.serviceWorker.ready.then(() => 1)")
    page.reload()
    at_step(page, 1)
    loom.down()
    press(page, "Space")
    at_step(page, 2)
    page.reload()
    at_step(page, 2)
    press(page, "Space")
    at_step(page, 3)
    loom.up()
    hurry(page)
    expect(page.locator("#sent")).to_have_text("")
    assert loom.ticks() == [1, 2]


def test_two_screens_at_once_follow_each_other_and_double_nothing(loom, screen):
    one, other = screen(), screen()
    press(one, "Space")
    at_step(one, 2)
    hurry(other)
    at_step(other, 2)
    one.context.set_offline(True)
    press(one, "Space")
    at_step(one, 3)
    press(other, "Space")
    at_step(other, 3)
    press(other, "Space")
    at_step(other, 4)
    one.context.set_offline(False)
    hurry(one)
    at_step(one, 4)
    assert [mark.number for mark in loom.guide.now().progress.done] == [1, 2, 3]


def test_two_pages_of_one_device_lose_nothing_of_each_other(loom, screen):
    one = screen()
    other = one.context.new_page()
    other.goto(loom.url)
    at_step(other, 1)
    one.context.set_offline(True)
    press(one, "Space")
    at_step(one, 2)
    other.click("#pause")
    press(one, "Space")
    at_step(one, 3)
    one.context.set_offline(False)
    hurry(one)
    expect(one.locator("#sent")).to_have_text("")
    assert loom.ticks() == [1, 2]
    assert "pause" in [event.kind for event in loom.guide.record.events()]


def test_a_full_disk_is_said_and_the_step_is_not_done(loom, screen):
    page = screen()
    tell = loom.guide.tell

    def full(events):
        raise NotSaved("database or disk is full")

    loom.guide.tell = full
    press(page, "Space")
    expect(page.locator("#trouble")).to_contain_text("NOT SAVED")
    at_step(page, 1)
    loom.guide.tell = tell
    press(page, "Space")
    at_step(page, 2)
    assert loom.ticks() == [1]


def test_a_wet_band_is_said_and_asks_twice(loom, screen):
    number = loom.go_to("draw")
    page = screen()
    expect(page.locator("#wait")).to_contain_text("WET until")
    press(page, "Space")
    expect(page.locator("#trouble")).to_contain_text("Still drying")
    at_step(page, number)
    press(page, "Space")
    at_step(page, number + 1)


def test_a_note_and_a_photograph_are_kept_at_their_step(loom, screen):
    page = screen()
    page.click("#note")
    page.fill("#note-text", "left edge pulls in")
    page.set_input_files(
        "#note-photo",
        [{"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"\xff\xd8\xff" + b"0" * 50}],
    )
    page.click("#note-keep")
    until(page, lambda: {"note", "photo"} <= {e.kind for e in loom.guide.record.events()})
    kinds = {e.kind: e for e in loom.guide.record.events()}
    assert kinds["note"].says["text"] == "left edge pulls in"
    photo = loom.file.parent / kinds["photo"].says["path"]
    assert photo.read_bytes().startswith(b"\xff\xd8\xff")
    at_step(page, 1)


def test_a_pause_is_kept_and_a_tap_goes_on_without_a_tick(loom, screen):
    page = screen()
    page.click("#pause")
    page.wait_for_timeout(APART_MS)
    page.mouse.click(400, 300)
    until(page, lambda: len(loom.guide.record.events()) > 2)
    assert [e.kind for e in loom.guide.record.events()] == ["start", "pause", "start"]


def test_a_draft_that_is_changed_while_she_is_led_is_taken_up(loom, screen):
    page = screen()
    press(page, "Space")
    at_step(page, 2)
    count = len(loom.guide.now().plan.steps)
    loom.file.write_text(DRAFT + '[[span]]\nheight = 140\nmoves = "1 over 2"\n')
    hurry(page)
    expect(page.locator("#count")).not_to_contain_text(f"of {count}")
    at_step(page, 2)


def test_hours_and_notes_have_a_page(loom, screen):
    loom.go_to("pick")
    page = screen()
    page.goto(loom.url + "log.html")
    expect(page.locator("#kinds")).to_contain_text("wind")
    expect(page.locator("#sum")).to_contain_text("steps done")


@contextlib.contextmanager
def asked(loom, **headers):
    import urllib.error
    import urllib.request

    request = urllib.request.Request(loom.url + "events", data=b'{"events": []}', headers=headers)
    try:
        with urllib.request.urlopen(request) as answer:
            yield answer.status
    except urllib.error.HTTPError as problem:
        yield problem.code


def test_another_page_of_the_browser_cannot_tick(loom):
    own = loom.url.rstrip("/")
    for origin, code in ((own, 200), ("http://elsewhere.example", 403), ("null", 403)):
        with asked(loom, Origin=origin) as status:
            assert status == code
    with asked(loom, Origin=own, Host="elsewhere.example") as status:
        assert status == 403


def test_she_shows_what_she_did_and_is_told_both_ways(loom, screen):
    loom.go_to("check")
    page = screen()
    page.goto(loom.url + "mistake.html")
    page.click("#pairs button >> nth=0")
    page.click("#ask")
    expect(page.locator("#says")).to_contain_text("It went wrong here: at step")
    expect(page.locator("#back li").first).to_contain_text("Carry a3")
    expect(page.locator("#back img")).to_have_count(1)
    expect(page.locator("#keep img")).to_have_count(1)
    assert page.evaluate("[...document.images].every(i => i.complete && i.naturalWidth > 50)")
    if shots := os.environ.get("CROSSFELL_SHOTS"):
        page.screenshot(path=f"{shots}/mistake.png", full_page=True)
    page.click("#adopt")
    expect(page.locator("#do")).to_have_text("LOOK")
    assert 'woven = "3 under 4, 4 over 5"' in loom.file.read_text()


def test_she_is_led_back_with_the_one_key(loom, screen):
    number = loom.go_to("check")
    page = screen()
    page.goto(loom.url + "mistake.html")
    page.click("#pairs button >> nth=0")
    page.click("#ask")
    page.click("#walk")
    expect(page.locator("#do")).to_contain_text("CARRY a3")
    for step in range(number, number + len(loom.guide.now().plan.aside)):
        at_step(page, step)
        page.wait_for_timeout(APART_MS)
        page.keyboard.press("Space")
    expect(page.locator("#do")).to_have_text("LOOK")
    now = loom.guide.now()
    assert now.progress.at >= number
    assert now.progress.at not in now.plan.aside
    page.goto(loom.url + "mistake.html")
    expect(page.locator("#leaving")).to_be_hidden()
    page.click("#ask-weights")
    expect(page.locator("#says")).to_contain_text("are alike")
    page.click("#ask-band")
    expect(page.locator("#live li")).to_contain_text("has no rod")
    expect(page.locator("#back li").first).to_contain_text("let the warp back")
    expect(page.locator("#back .cost")).to_contain_text("First go on to step")
    if shots := os.environ.get("CROSSFELL_SHOTS"):
        page.screenshot(path=f"{shots}/mistake-weights.png", full_page=True)


def test_a_photograph_of_the_batten_is_checked_at_a_step_that_looks(
    loom, screen, tmp_path, monkeypatch
):
    pytest.importorskip("cv2")
    import numpy as np
    import scenes

    from crossfell.papers.typeset import version_of

    plan = loom.guide.now().plan
    monkeypatch.setattr(scenes, "VERSION", version_of(plan.piece.draft))
    loom.go_to("check")
    now = loom.guide.now()
    row = [plan.piece.order.names[u] for u in plan.sights[now.progress.at].strips.now]
    rng = np.random.default_rng(3)
    page = screen()
    for names, says in ((row, "RIGHT"), ([row[1], row[0], *row[2:]], "WRONG")):
        photo = tmp_path / "batten.jpg"
        photo.write_bytes(scenes.photographed(scenes.batten(names, [1] * 6), rng, hard=0.2))
        page.set_input_files("#look-photo", photo)
        expect(page.locator("#trouble")).to_contain_text(says)
    expect(page.locator("#look")).to_be_visible()
    assert loom.guide.now().progress.at == now.progress.at


EAR = """
window.SpeechRecognition = class {
  constructor() { window.ear = this; }
  start() {} abort() {}
};
window.hear = (words) => window.ear.onresult({ results: [[{ transcript: words }]] });
"""


def test_a_spoken_word_is_done_back_or_again(loom, screen):
    page = screen(voice=VOICE + EAR)
    page.click("#setup")
    expect(page.locator("#awake")).to_have_text("The screen stays on.")
    page.check("#listen")
    page.keyboard.press("Escape")
    page.wait_for_timeout(APART_MS)
    page.evaluate("hear('all right, done')")
    at_step(page, 2)
    page.evaluate("hear('the weather is fine')")
    page.wait_for_timeout(APART_MS)
    page.evaluate("hear('back')")
    at_step(page, 1)
    assert loom.guide.now().progress.at == 0
