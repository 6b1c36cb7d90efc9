"""She paints an idea, sees what units can show of it, and keeps it as a draft."""

import re

from PIL import Image
from playwright.sync_api import expect

from crossfell.draft.files import read_file
from crossfell.piece import Piece


def to_the_sketch(she):
    she.page.get_by_role("button", name="New piece").click()
    she.page.get_by_role("link", name="from a picture or a sketch").click()
    she.page.locator('main.sketch[aria-busy="false"]').wait_for()


def units(she, name):
    return she.page.get_by_role("spinbutton", name=f"Units: {name}")


def listed(she):
    """Names of her yarns, from front to back."""
    return she.page.locator(".sketch-yarns li .sketch-paint").all_inner_texts()[:-2]


def test_she_paints_a_stroke_and_keeps_it_as_a_draft(window, drafts):
    she = window(quiet=("400",))  # counts that do not sum to the places are refused
    to_the_sketch(she)
    front, *_, ground = listed(she)
    expect(units(she, ground)).to_have_value("24")
    box = she.page.locator(".sketch-paper").bounding_box()
    side = box["width"] / 24
    she.page.mouse.move(box["x"] + 4.5 * side, box["y"] + 0.5 * side)
    she.page.mouse.down()
    she.page.mouse.move(box["x"] + 9.5 * side, box["y"] + 19.5 * side, steps=8)
    she.page.mouse.up()
    expect(units(she, front)).to_have_value("1")
    she.page.get_by_role("button", name="Undo").click()
    expect(units(she, ground)).to_have_value("24")
    she.page.get_by_role("button", name="Redo").click()
    expect(units(she, front)).to_have_value("1")
    units(she, front).fill("2")
    units(she, front).press("Enter")
    expect(she.page.get_by_role("alert")).to_contain_text("24 places want as many")
    units(she, ground).fill("22")
    units(she, ground).press("Enter")
    she.page.get_by_role("alert").wait_for(state="detached")
    expect(she.page.get_by_text("you have 2 in every band")).to_be_visible()
    expect(she.page.locator(".sketch-working")).to_have_text("Proved best.")
    assert she.violations() == []
    she.page.get_by_label("Title").fill("A slanting stroke")
    she.page.get_by_role("button", name="Keep as a draft").click()
    she.page.get_by_role("heading", name="A slanting stroke").wait_for()
    piece = Piece(read_file(drafts / "a-slanting-stroke.toml"))
    assert len(piece.draft.spans) == 19
    assert all(hold.holds for hold in piece.holds)
    she.page.go_back()
    expect(units(she, front)).to_have_value("2")  # what was painted is still there


def test_she_paints_with_keys_alone(window):
    she = window()
    to_the_sketch(she)
    front, *_, ground = listed(she)
    paper = she.page.get_by_role("application", name="Grid to paint on")
    paper.focus()
    for key in ("ArrowRight", "Space", "Shift+ArrowDown", "m", "Shift+ArrowDown"):
        paper.press(key)
    says = she.page.get_by_role("status").filter(has_text="Band")
    expect(says).to_have_text(f"Band 18, place 2: {front}")
    expect(she.page.get_by_role("button", name="Mirror")).to_have_attribute("aria-pressed", "true")
    paper.press("Control+z")
    expect(says).to_have_text(f"Band 18, place 2: {ground}")


def test_a_picture_is_moved_under_the_grid(window, tmp_path):
    she = window()
    to_the_sketch(she)
    front = listed(she)[0]
    colours = she.page.locator(".sketch-yarns li rect").evaluate_all(
        "all => all.map(r => r.getAttribute('fill'))"
    )
    image = Image.new("RGB", (240, 200), colours[len(listed(she)) - 1])
    image.paste(colours[0], (0, 0, 60, 200))
    image.save(tmp_path / "quarter.png")
    she.page.get_by_label("Picture file").set_input_files(tmp_path / "quarter.png")
    expect(units(she, front)).to_have_value("6")
    paper = she.page.get_by_role("application", name="Grid to paint on")
    paper.focus()
    paper.press("ArrowLeft")
    paper.press("ArrowLeft")
    expect(units(she, front)).not_to_have_value("6")
    she.page.get_by_role("button", name="Stretch").click()
    expect(units(she, front)).to_have_value("6")
    she.page.get_by_role("button", name=re.compile(f"^{front}$")).click()
    expect(she.page.locator(".sketch-paper")).to_have_class(re.compile("tool-brush"))


def test_she_looks_through_figures_and_begins_a_piece_with_one(window, drafts):
    she = window()
    she.page.get_by_role("button", name="New piece").click()
    she.page.get_by_role("link", name="with a figure").click()
    expect(she.page.get_by_role("status")).to_contain_text("223 figures")
    assert she.violations() == []
    she.picture("figures")
    name = she.page.locator(".figures-shown h2").nth(3).inner_text()
    she.page.get_by_role("button", name=f"More like this: {name}").click()
    expect(she.page.locator(".figures-shown h2").first).to_have_text(name)
    she.page.get_by_role("button", name=f"Begin a piece with {name}").click()
    she.page.locator(".sheet-box").wait_for()
    assert f"[figure.{name}]" in (drafts / f"{name}.toml").read_text()
