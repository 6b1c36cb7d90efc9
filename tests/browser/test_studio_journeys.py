"""What she does in the studio, in a real browser; a console error or a failed request fails."""

import os
import re
import signal
import subprocess
import sys
import time

import pytest
from playwright.sync_api import expect

from waiting import until

PIECE = "first-sampler"


def text_of(drafts):
    return (drafts / f"{PIECE}.toml").read_text()


def test_drag_a_crossing_and_see_text_picture_numbers_and_findings_change(window, drafts):
    she = window(PIECE)
    before, keys = text_of(drafts), she.keys()
    lifted = she.number("lifted")
    she.drag(2, 4, 1, drop=False)
    expect(she.page.locator(".carry-words")).to_have_text("2 over 3 in span 4")
    assert text_of(drafts) == before
    she.picture("drag")
    with she.page.expect_response(lambda r: r.url.endswith("/api/edit")):
        she.page.mouse.up()
    she.page.locator(f'canvas.slice[data-key="{keys[0]}"]').wait_for(state="detached")
    assert "2 over 3" in text_of(drafts).replace(before, "")
    expect(she.page.locator('[data-number="lifted"] .value')).not_to_have_text(lifted)
    she.panel("text")
    she.page.get_by_text("2 over 3").wait_for()
    she.drag(2, 4, 1, 40, drop=False)
    expect(she.page.locator(".carry-words")).to_have_text("2 under 3 in span 4")
    she.page.keyboard.press("Escape")


def test_a_number_explains_itself_and_leads_down_to_its_parts(window):
    she = window(PIECE)
    lifted = she.number("lifted").removesuffix(" units")
    she.page.locator('[data-number="lifted"]').click()
    says = she.page.locator(".why-says")
    expect(says).to_contain_text(f"Lifted out by themselves, {lifted} strips")
    she.page.locator(".why summary").click()
    she.page.locator('[data-way="spans.4.lifted"]').click()
    expect(says).to_contain_text("leave the row in span 4")
    expect(she.page.locator(".why dt").nth(1)).to_have_text("Holds")
    she.page.keyboard.press("Escape")
    says.wait_for(state="detached")


def test_undo_ten_and_redo_ten(window, drafts):
    she = window(PIECE)
    at = she.point(3, 4)
    she.page.mouse.click(at["x"], at["y"])
    turn = she.page.get_by_role("button", name="Turn to the right")
    turn.wait_for()
    texts = [text_of(drafts)]
    for _ in range(10):
        with she.page.expect_response(lambda r: r.url.endswith("/api/edit")):
            turn.click()
        texts.append(text_of(drafts))
    assert len(set(texts)) == 11
    for text in reversed(texts[:-1]):
        with she.page.expect_response(lambda r: r.url.endswith("/api/undo")):
            she.page.get_by_role("button", name="Undo").click()
        assert text_of(drafts) == text
    she.page.locator("button:disabled", has_text="Undo").wait_for()
    for text in texts[1:]:
        with she.page.expect_response(lambda r: r.url.endswith("/api/redo")):
            she.page.get_by_role("button", name="Redo").click()
        assert text_of(drafts) == text


def test_a_text_with_an_error_is_kept_underlined_and_told(window, drafts):
    she = window(PIECE)
    she.panel("text")
    editor = she.page.get_by_role("textbox", name="Text of the draft")
    editor.press("Control+End")
    with she.page.expect_response(lambda r: r.url.endswith("/api/text")):
        editor.press_sequentially("# a remark\n[yarn.odd]\ncount = 3 oz\n")
    she.page.locator(".found-error").first.wait_for()
    assert "count = 3 oz" in text_of(drafts)
    assert she.page.locator(".picture.dim").is_visible()
    she.panel("findings")
    first = she.page.locator(".finding").first
    assert "Error" in first.inner_text()
    first.get_by_role("button", name=re.compile("Show line")).click()
    she.page.get_by_role("textbox", name="Text of the draft").wait_for()
    she.picture("error")
    she.page.keyboard.press("Escape")
    with she.page.expect_response(lambda r: r.url.endswith("/api/undo")):
        she.page.get_by_role("button", name="Undo").click()
    she.page.locator(".picture:not(.dim)").wait_for()


def test_a_finding_leads_to_its_span_and_its_remedy_is_one_click_away(window, drafts):
    she = window(PIECE)
    she.drag(1, 4, 6)
    she.panel("findings")
    remedy = she.page.get_by_role("button", name=re.compile(r"Make span 4 .* high"))
    remedy.wait_for()
    with she.page.expect_response(lambda r: r.url.endswith("/api/edit")):
        remedy.click()
    remedy.wait_for(state="detached")
    assert re.search(r"height = \"?\d+", text_of(drafts))


def test_another_programs_change_is_shown_at_once(window, drafts):
    she = window(PIECE)
    path = drafts / f"{PIECE}.toml"
    path.write_text(path.read_text().replace("First Light", "Second Light"))
    she.page.get_by_role("heading", name="Second Light").wait_for()
    she.panel("history")
    she.page.get_by_text("changed by another program").wait_for()


def test_two_windows_stay_in_step_and_typing_in_both_is_merged(window, drafts):
    one, two = window(PIECE), window(PIECE)
    one.drag(3, 4, 1)
    two.panel("text")
    editor = two.page.get_by_role("textbox", name="Text of the draft")
    editor.press("Control+End")
    editor.get_by_text("3 over 4", exact=True).last.wait_for()
    editor.press("Control+Home")
    editor.press_sequentially("# hers\n")
    one.drag(1, 4, 1)

    # only lines near the cursor are in the page, and a text that comes in can move it
    def theirs_is_shown():
        editor.press("Control+End")
        return editor.get_by_text("1 over 2", exact=True).count()

    until(two.page, theirs_is_shown)
    until(
        two.page, lambda: text_of(drafts).startswith("# hers\n") and "1 over 2" in text_of(drafts)
    )


def test_two_changes_in_one_place_are_shown_side_by_side(window, drafts, monkeypatch):
    monkeypatch.setattr("crossfell.studio.events.LOOK_EVERY_S", 60)
    she = window(PIECE, quiet=["409"])
    she.page.locator("[data-number=price]:not(.stale) .value").wait_for()
    path = drafts / f"{PIECE}.toml"
    theirs = path.read_text().replace("First Light", "Their Light")
    she.panel("text")
    editor = she.page.get_by_role("textbox", name="Text of the draft")
    editor.get_by_text("First Light").dblclick()
    path.write_text(theirs)
    she.page.keyboard.type("Last")
    dialog = she.page.get_by_role("dialog")
    dialog.wait_for()
    assert path.read_text() == theirs
    assert she.violations() == []
    she.picture("side-by-side")
    dialog.get_by_role("button", name="Take the left one").click()
    dialog.wait_for(state="detached")
    until(she.page, lambda: "Last" in path.read_text())
    assert "Their Light" not in path.read_text()


HOSTILE = '"><script>window.bad=1</script><img src=x onerror=window.bad=1>&amp;'


def test_a_hostile_draft_runs_nothing(window, drafts):
    path = drafts / f"{PIECE}.toml"
    text = path.read_text().replace("First Light", HOSTILE.replace('"', "'"))
    text += f"\n[[span]]\nheight = 100\nname = '''{HOSTILE}'''\nmoves = '''\nturn 1 right\n'''\n"
    text += f"[figure.'{HOSTILE.replace(chr(39), '')}']\nplaces = 1\nspans = ['turn 1 right']\n"
    path.write_text(text)
    (drafts / "a'<img src=x onerror=alert(1)>.toml").write_text(text)
    she = window()
    she.page.locator(".card").first.wait_for()
    assert "<script>" in she.page.locator(".card h2").last.inner_text()
    she.page.locator(".card h2 a").last.click()
    she.page.locator(".sheet-box, .waiting").first.wait_for()
    for panel in ("work", "text", "findings", "workshop", "history", "make"):
        she.panel(panel)
        she.page.wait_for_timeout(100)
    assert she.page.evaluate("window.bad") is None
    assert she.page.locator("script").count() == 1


def test_everything_by_the_keyboard_alone(window, drafts):
    """From the list to a crossing carried under, a turn, a height, undone again; focus is seen."""
    she = window()
    page = she.page
    page.locator(".card").first.wait_for()

    def tab_to(check, most=40):
        for _ in range(most):
            page.keyboard.press("Tab")
            if page.evaluate(check):
                outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
                assert outline == "solid"
                return
        pytest.fail(f"the keyboard does not reach {check}")

    tab_to("document.activeElement.closest('h2') !== null")
    page.keyboard.press("Enter")
    she.shown()
    before = text_of(drafts)
    tab_to("document.activeElement.classList.contains('sheet-box')")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.locator(".chosen").get_by_text("place 2").wait_for()
    page.keyboard.press("c")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("u")
    page.locator(".carry-words").get_by_text("2 under 3 in span 4").wait_for()
    page.keyboard.press("Enter")
    page.locator(".chosen").get_by_text("place 3").wait_for()
    page.keyboard.press("Shift+ArrowRight")
    page.locator(".chosen").get_by_text("places 3-4").wait_for()
    page.keyboard.press("t")
    page.get_by_text("turn 3-4 right").first.wait_for()
    page.keyboard.press("Shift+O")
    page.get_by_text("3-4 round 2").first.wait_for()
    assert page.evaluate("document.activeElement.classList.contains('sheet-box')")
    for _ in range(3):
        with page.expect_response(lambda r: r.url.endswith("/api/undo")):
            page.keyboard.press("Control+z")
    assert text_of(drafts) == before


def test_from_an_empty_folder_to_printed_cards(window, drafts):
    for path in drafts.glob("*.toml"):
        path.unlink()
    she = window()
    she.page.get_by_text("No pieces in this folder yet").wait_for()
    assert she.violations() == []
    she.page.get_by_role("button", name="New piece").click()
    she.page.get_by_label("Its title").and_(she.page.locator(":focus")).wait_for()
    she.page.keyboard.type("Low Water")
    she.page.keyboard.press("Enter")
    she.shown()
    assert (drafts / "low-water.toml").is_file()
    she.drag(6, 3, 1)
    she.panel("make")
    she.page.get_by_role("button", name="cards", exact=True).click()
    papers = she.page.get_by_role("link", name="cards.pdf")
    papers.wait_for()
    answer = she.page.request.get(she.page.url.split("/#")[0] + papers.get_attribute("href"))
    assert answer.status == 200
    assert answer.body().startswith(b"%PDF")
    she.page.get_by_role("button", name="Look at cards.pdf").click()
    paper = she.page.get_by_role("img", name="cards.pdf, page 1 of")
    paper.wait_for()
    she.page.wait_for_function(
        "() => document.querySelector('.preview-page img').naturalWidth > 1000"
    )
    assert she.violations() == []
    she.picture("preview")
    she.page.get_by_role("button", name="Next page").press("ArrowRight")
    she.page.get_by_role("img", name="cards.pdf, page 2 of").wait_for()
    she.page.keyboard.press("End")
    she.page.get_by_role("button", name="Next page").and_(she.page.locator(":disabled")).wait_for()
    she.page.get_by_role("button", name="Black and white").click()
    assert "grayscale" in paper.or_(she.page.locator(".preview-page img")).last.evaluate(
        "image => getComputedStyle(image).filter"
    )
    with she.page.expect_download() as download:
        she.page.get_by_role("link", name="Download").click()
    assert download.value.suggested_filename == "cards.pdf"
    she.page.keyboard.press("Escape")
    papers.wait_for()
    she.picture("made")


def test_pieces_are_copied_renamed_archived_and_come_back(window, drafts):
    she = window()
    she.page.get_by_role("button", name="Copy First Light").click()
    she.page.get_by_label("File name of the copy").fill("second")
    she.page.keyboard.press("Enter")
    she.page.get_by_text("second.toml").wait_for()
    she.page.get_by_role("button", name="Rename First Light").last.click()
    she.page.get_by_label("New file name").fill("third")
    she.page.keyboard.press("Enter")
    she.page.get_by_text("third.toml").wait_for()
    assert not (drafts / "second.toml").exists()
    she.page.get_by_role("button", name="Archive First Light").last.click()
    she.page.get_by_role("button", name="Archive (1)").click()
    she.page.get_by_role("button", name="Bring back First Light").click()
    she.page.get_by_role("button", name="Back to the pieces").click()
    she.page.get_by_text("third.toml").wait_for()
    she.page.get_by_label("Where First Light stands").last.select_option("hung")
    she.page.reload()
    she.page.locator(".stands").get_by_text("hung", exact=True).wait_for()
    assert she.page.get_by_label("Where First Light stands").last.input_value() == "hung"


def test_the_list_says_price_and_span_by_itself(window, drafts):
    path = drafts / f"{PIECE}.toml"
    path.write_text(path.read_text() + "\n[woven]\nspans = 2\n")
    she = window()
    card = she.page.locator(".card")
    card.get_by_text("on the loom at span 3").wait_for()
    card.get_by_text("by [woven] of the draft").wait_for()
    card.get_by_text("EUR").wait_for()
    assert she.violations() == []
    she.page.get_by_label("Where First Light stands").select_option("off")
    card.get_by_text("set by hand; on the loom at span 3 by [woven] of the draft").wait_for()


def test_a_version_is_named_and_brought_back(window, drafts):
    she = window(PIECE)
    before = text_of(drafts)
    she.panel("history")
    she.page.get_by_label("Name this version").fill("as she first saw it")
    she.page.get_by_role("button", name="Keep").click()
    she.page.get_by_role("button", name="Bring back as she first saw it").wait_for()
    she.drag(3, 4, 1)
    assert text_of(drafts) != before
    with she.page.expect_response(lambda r: r.url.endswith("/api/restore")):
        she.page.get_by_role("button", name="Bring back as she first saw it").click()
    assert text_of(drafts) == before
    she.picture("history")


def killed(running):
    running.send_signal(signal.SIGKILL)
    running.wait()
    running.stdout.close()


def test_killed_and_started_again_nothing_acknowledged_is_lost(chromium, drafts, tmp_path):
    """The process is killed, not asked; the same folder opens as it was acknowledged."""
    command = [sys.executable, "-c", "from crossfell.cli import run; run()", "studio", str(drafts),
               "--no-browser", "--port", "0"]  # fmt: skip
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}

    def started():
        running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)
        for line in running.stdout:
            if found := re.search(r"http://\S+", line):
                return running, found[0]
        raise AssertionError("it did not start")

    running, address = started()
    page = chromium.new_page()
    try:
        page.goto(address)
        page.goto(address.split("?")[0] + f"#/piece/{PIECE}")
        page.locator("canvas.slice").first.wait_for()
        page.locator(".sheet-box").focus()
        page.keyboard.press("ArrowRight")
        page.locator(".chosen").wait_for()
        for _ in range(3):
            with page.expect_response(lambda r: r.url.endswith("/api/edit")):
                page.keyboard.press("t")
        killed(running)
        acknowledged = text_of(drafts)
        assert acknowledged.count("turn 1 right") >= 3
        page.get_by_text("does not answer just now").wait_for()
        running, address = started()
        page.goto(address)
        page.goto(address.split("?")[0] + f"#/piece/{PIECE}")
        page.locator("canvas.slice").first.wait_for()
        assert text_of(drafts) == acknowledged
        for _ in range(3):
            with page.expect_response(lambda r: r.url.endswith("/api/undo")):
                page.get_by_role("button", name="Undo").click()
        assert text_of(drafts).count("turn 1 right") == acknowledged.count("turn 1 right") - 3
    finally:
        page.close()
        killed(running)


SIZES = [
    ("desk", 1440, 900, "light"),
    ("phone", 390, 844, "dark"),
    ("zoomed", 320, 256, "light"),
    pytest.param("desk-dark", 1440, 900, "dark", marks=pytest.mark.soak),
    pytest.param("tablet", 820, 1180, "light", marks=pytest.mark.soak),
]


@pytest.mark.parametrize(("name", "width", "height", "scheme"), SIZES)
def test_no_screen_of_any_size_violates_the_guidelines(window, drafts, name, width, height, scheme):
    """WCAG 2.2 AA by axe-core; nothing wider than the window; 1280 px at 400 % is 320 px."""
    she = window(width=width, height=height, color_scheme=scheme)
    she.page.locator(".card img").wait_for()
    assert she.violations() == []
    she.picture(f"{name}-pieces")
    she.go(PIECE)
    she.page.locator(".sheet-box").focus()
    she.page.keyboard.press("ArrowRight")
    she.page.locator(".chosen").wait_for()
    panels = ("work", "text", "findings", "workshop", "history", "make")
    for panel in panels if name.startswith("desk") else panels[:2]:
        she.panel(panel)
        if panel == "workshop":
            she.page.locator("summary").nth(1).click()
        assert (panel, she.violations()) == (panel, [])
        she.picture(f"{name}-{panel}")
    she.page.get_by_label("Hanging").select_option("both")
    she.page.locator("img[data-shape=both]").wait_for()
    assert ("hung", she.violations()) == ("hung", [])
    she.panel("workshop")
    she.page.get_by_role("button", name="Bench sheet").click()
    she.page.locator(".trial").last.wait_for()
    assert ("bench", she.violations()) == ("bench", [])
    she.picture(f"{name}-bench")
    she.page.keyboard.press("Escape")
    she.page.get_by_label("The workshop").check()
    she.page.get_by_role("button", name="Undo in the workshop").wait_for()
    assert ("workshop file", she.violations()) == ("workshop file", [])
    wide = she.page.evaluate("document.documentElement.scrollWidth")
    assert wide <= width
    small = she.page.eval_on_selector_all(
        "button, a, select, input",
        "all => all.map(e => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])"
        ".filter(([, r]) => r.width > 0 && (r.width < 24 || r.height < 24)).map(([html]) => html)",
    )
    assert small == []


def test_a_band_is_dragged_to_another_height_and_given_another_rod(window, drafts):
    she = window(PIECE)
    at = she.point(2, 3)
    band = at["y"] - 3 - 5
    mouse = she.page.mouse
    mouse.move(at["x"], band)
    with she.page.expect_response(lambda r: r.url.endswith("/api/band")):
        mouse.down()
    mouse.move(at["x"], band - 20)
    mouse.move(at["x"], band - 34)
    she.page.locator(".carry-words").get_by_text("span 3: 170 mm high").wait_for()
    with she.page.expect_response(lambda r: r.url.endswith("/api/edit")):
        mouse.up()
    assert "height = 170" in text_of(drafts)
    rod = she.page.get_by_label("Rod: material and diameter")
    rod.fill("steel 5")
    with she.page.expect_response(lambda r: r.url.endswith("/api/edit")):
        rod.press("Tab")
    assert 'band   = { rod = "steel 5" }' in text_of(drafts)
    she.page.get_by_role("heading", name="steel 5").wait_for()


def test_hours_and_price_change_while_the_hand_rests(window):
    she = window(PIECE)
    she.page.locator("[data-number=hours]:not(.stale)").wait_for()
    before, row = she.number("hours"), she.page.locator(".numbers").bounding_box()
    she.drag(2, 4, 3, drop=False)
    she.page.locator(".trying [data-number=hours]:not(.stale)").wait_for()
    assert she.number("hours") != before
    assert she.page.locator(".numbers").bounding_box() == row  # nothing moves under her hand
    she.page.keyboard.press("Escape")


def test_a_finger_on_a_tablet_drags_a_unit(chromium, studio, window, drafts):
    she = window(PIECE, width=820, height=1180, has_touch=True)
    at = she.point(3, 4)
    cdp = she.context.new_cdp_session(she.page)

    def touch(kind, x):
        points = [] if kind == "touchEnd" else [{"x": x, "y": at["y"]}]
        cdp.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        time.sleep(0.03)

    with she.page.expect_response(lambda r: r.url.endswith("/api/select")):
        touch("touchStart", at["x"])
    for k in range(1, 8):
        touch("touchMove", at["x"] + at["pitch"] * k / 7)
    she.page.locator(".carry-words").get_by_text("3 over 4 in").wait_for()
    with she.page.expect_response(lambda r: r.url.endswith("/api/edit")):
        touch("touchEnd", 0)
    assert "3 over 4" in text_of(drafts)


def test_the_piece_in_space_as_drawn_and_as_it_hangs(window):
    she = window(PIECE, quiet=["GPU stall"], width=700, height=600)
    she.page.get_by_label("Look").select_option("space")
    drawn = she.page.locator(".space-holder[data-drawn*='shape=drawn']")
    drawn.wait_for()
    assert she.violations() == []
    one = she.page.locator("canvas").screenshot()
    she.page.get_by_label("left to right").fill("0.9")
    drawn.press("ArrowLeft")
    until(she.page, lambda: she.page.locator("canvas").screenshot() != one)
    she.picture("space")
    she.page.get_by_role("button", name="As it hangs").click()
    she.page.locator(".space-holder[data-drawn*='shape=hung']").wait_for()


def test_the_flat_picture_drawn_hung_and_both(window):
    """The drawn piece stays until the hung one is worked out; an edit is seen in it."""
    she = window(PIECE)
    look = she.page.get_by_label("Hanging")
    look.select_option("hung")
    she.page.locator("img[data-shape=hung]").wait_for()
    assert she.violations() == []
    look.select_option("both")
    both = she.page.locator("img[data-shape=both]")
    both.wait_for()
    before = both.get_attribute("src")
    she.picture("hung")
    she.page.get_by_label("Look").select_option("behind")
    she.page.locator("img[src*='view=behind']").wait_for()
    with she.page.expect_response(lambda r: "/hung/both.svg" in r.url):
        she.page.get_by_role("button", name="Choose the whole piece").click()
        she.page.get_by_role("button", name="Mirror").click()
    she.page.locator("img[data-shape=both]").wait_for()
    assert she.page.locator("img[data-shape=both]").get_attribute("src") != before
    look.select_option("drawn")
    she.shown()


def test_the_workshop_is_edited_from_its_table_and_every_window_follows(window, drafts):
    """Two pieces open in two windows: a rate changes in the workshop, both prices follow."""
    (drafts / "second.toml").write_text(text_of(drafts).replace("First Light", "Second Light"))
    she, other = window(PIECE), window("second")
    price = other.page.locator("[data-number=price]:not(.stale) .value")
    price.wait_for()  # the plan of two pieces, one after the other
    before, draft = price.inner_text(), text_of(drafts)
    workshop = (drafts / "workshop.toml").read_text()
    she.panel("workshop")
    she.page.get_by_label("The workshop").check()
    she.page.locator("summary", has_text="Rates").click()
    hour = she.page.get_by_label("hour", exact=True)
    hour.fill("40")
    with she.page.expect_response(lambda r: r.url.endswith("/api/workshop-edit")):
        hour.press("Tab")
    assert (drafts / "workshop.toml").read_text() == workshop.replace("= 32", "= 40")
    assert text_of(drafts) == draft
    other.page.wait_for_function(
        """before => {
          const price = document.querySelector('[data-number=price]:not(.stale) .value');
          return price !== null && price.innerText !== before;
        }""",
        arg=before,
    )
    assert she.violations() == []
    she.picture("workshop-file")
    with she.page.expect_response(lambda r: r.url.endswith("/api/workshop-undo")):
        she.page.get_by_role("button", name="Undo in the workshop").click()
    assert (drafts / "workshop.toml").read_text() == workshop


def test_a_workshop_is_begun_from_the_piece(window, drafts):
    (drafts / "workshop.toml").unlink()
    she = window(PIECE)
    before = text_of(drafts)
    she.panel("workshop")
    she.page.get_by_role("button", name="Begin a workshop").click()
    assert she.violations() == []
    she.page.get_by_role("button", name="Begin it").click()
    she.page.get_by_label("The workshop").wait_for()
    she.page.get_by_text("from workshop.toml").first.wait_for(state="attached")
    assert "[yarn.slate]" in (drafts / "workshop.toml").read_text()
    assert "[yarn.slate]" not in text_of(drafts)
    assert she.page.locator(".trouble").count() == 0
    with she.page.expect_response(lambda r: r.url.endswith("/api/undo")):
        she.page.get_by_role("button", name="Undo", exact=True).click()
    assert text_of(drafts) == before


def test_chosen_units_are_given_another_yarn_and_a_new_colour_by_keys_alone(window, drafts):
    she = window(PIECE)
    page = she.page
    page.locator(".sheet-box").focus()
    page.keyboard.press("ArrowRight")
    page.locator(".chosen").wait_for()
    page.get_by_label("Another yarn for slate").focus()
    page.keyboard.press("s")  # the yarn straw is chosen, nothing is changed yet
    page.keyboard.press("Tab")
    with page.expect_response(lambda r: r.url.endswith("/api/edit")):
        page.keyboard.press("Enter")
    page.get_by_label("Another yarn for straw").wait_for()
    page.get_by_role("button", name="New colour for straw").focus()
    page.keyboard.press("Enter")
    assert she.violations() == []
    page.get_by_label("Name of the new yarn").fill("ochre")
    page.get_by_label("Colour", exact=True).fill("#b06a2a")
    with page.expect_response(lambda r: r.url.endswith("/api/edit")):
        page.get_by_label("Name of the new yarn").press("Enter")
    page.get_by_label("Another yarn for ochre").wait_for()
    assert "[yarn.ochre]" in text_of(drafts)
    assert '"#b06a2a"' in text_of(drafts)
    she.picture("dyed")


def test_what_is_measured_at_the_bench_shows_its_effect_and_is_taken_over(window, drafts):
    she = window(PIECE, quiet=["400"])  # a reading is missing at first
    page = she.page
    workshop = (drafts / "workshop.toml").read_text()
    she.panel("workshop")
    page.get_by_role("button", name="Bench sheet").click()
    trial = page.locator(".trial", has_text="the friction on the back beam")
    trial.get_by_label("The lighter side").fill("100 g")
    trial.get_by_role("button", name="What comes of it?").click()
    trial.get_by_role("alert").get_by_text("The heavier side").wait_for()
    trial.get_by_label("The heavier side").fill("200 g")
    trial.get_by_label("The heavier side").press("Enter")
    trial.get_by_text("friction: 0.44").wait_for()
    trial.get_by_role("row", name="Pull at the fell").wait_for()
    assert she.violations() == []
    she.picture("bench")
    assert (drafts / "workshop.toml").read_text() == workshop
    trial.get_by_role("button", name="Take into workshop.toml").click()
    trial.get_by_text("Taken into workshop.toml").wait_for()
    assert "friction" in (drafts / "workshop.toml").read_text()
    page.emulate_media(media="print")
    assert page.get_by_role("button", name="What comes of it?").count() == 0
    assert page.get_by_text("Count the wraps over 50 mm").is_visible()
