"""What the studio paints is what the drawing code draws.

| what | source | licence | tolerance |
| --- | --- | --- | --- |
| canvases of slices | Chromium's SVG of the same slice (BSD-3-Clause) | not shipped | mean 5 of 255: edges of threads |
| a strip painted again | the same canvas painted from nothing | - | mean 0.1 of 255: soft edges |
"""

import shutil
from pathlib import Path

import pytest

from crossfell.draft.reader import read_draft
from crossfell.drawings.look import look_of
from crossfell.drawings.scene import Scene
from crossfell.drawings.slices import slice_cloth, slices_of
from crossfell.drawings.svg import svg
from crossfell.piece import Piece
from waiting import resting, until

EXAMPLES = Path(__file__).parents[2] / "examples"
PIECE = "tideline"

# every canvas beside the SVG of a slice: mean difference of red, green, blue and opacity
COMPARED = """async ([svgs, slices]) => {
  const over = document.querySelector('.over-picture');
  const scale = over.viewBox.baseVal.width ? over.clientWidth / over.viewBox.baseVal.width : 0;
  const px = scale * devicePixelRatio, found = [];
  for (const canvas of document.querySelectorAll('canvas.slice')) {
    const number = +canvas.style.zIndex, slice = slices[number];
    const image = new Image();
    image.src = URL.createObjectURL(new Blob([svgs[number]], {type: 'image/svg+xml'}));
    await image.decode();
    const other = document.createElement('canvas');
    other.width = canvas.width; other.height = canvas.height;
    const on = other.getContext('2d');
    const left = parseFloat(canvas.style.left) * devicePixelRatio;
    const top = parseFloat(canvas.style.top) * devicePixelRatio;
    on.drawImage(image, slice.left * px - left, slice.top * px - top, slice.width * px,
      slice.height * px);
    const [a, b] = [canvas.getContext('2d'), on].map(
      c => c.getImageData(0, 0, canvas.width, canvas.height).data);
    let sum = 0, ink = 0;
    for (let i = 0; i < a.length; i++) { sum += Math.abs(a[i] - b[i]); ink += b[i] }
    found.push([sum / a.length, ink / a.length]);
  }
  return found;
}"""
KEEP = """() => {
  window.kept = Object.fromEntries([...document.querySelectorAll('canvas.slice')].map(c => [
    c.dataset.key, c.getContext('2d').getImageData(0, 0, c.width, c.height).data]));
  return Object.keys(window.kept).length;
}"""
PAINTED = """() => [...document.querySelectorAll('canvas.slice')].map(c => {
  const all = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
  let sum = 0;
  for (let i = 0; i < all.length; i += 41) sum = (sum * 31 + all[i]) % 1000003;
  return [c.dataset.key, c.width, sum];
})"""
DIFFER = """() => [...document.querySelectorAll('canvas.slice')]
  .filter(c => window.kept[c.dataset.key]).map(c => {
    const now = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
    const old = window.kept[c.dataset.key];
    let sum = 0;
    for (let i = 0; i < now.length; i++) sum += Math.abs(now[i] - old[i]);
    return sum / now.length;
  })"""


@pytest.fixture
def drafts(tmp_path):
    folder = tmp_path / "drafts"
    folder.mkdir()
    shutil.copy(EXAMPLES / "02-tideline" / f"{PIECE}.toml", folder)
    shutil.copy(EXAMPLES / "workshop.toml", folder)
    return folder


def scenes(drafts, style):
    """The SVG of every slice, with single ends where she sees them, and where it lies."""
    workshop = (drafts / "workshop.toml").read_text()
    piece = Piece(read_draft((drafts / f"{PIECE}.toml").read_text(), workshop=workshop))
    look, places = look_of(piece.draft, style), slices_of(piece, "front", style)
    drawn = []
    for part in places:
        cloth = slice_cloth(piece, "front", style, part.number)
        scene = Scene(
            width_mm=part.width, height_mm=part.height, title="", says="", layers=cloth.layers(),
            symbols=tuple(cloth.symbols.values()), fades=tuple(cloth.fades.values()),
            hatches=look.hatches, clips=tuple(cloth.clips),
        )  # fmt: skip
        drawn.append(svg(scene, fine=True, letters=False))
    told = [{"left": p.left, "top": p.top, "width": p.width, "height": p.height} for p in places]
    return drawn, told


@pytest.mark.parametrize("style", ["full", "line"])
def test_what_is_painted_is_what_the_svg_shows(window, drafts, style):
    she = window(PIECE, quiet=("willReadFrequently",))  # pixels are read here, not in the studio
    she.page.get_by_label("Colours").select_option(style)
    for _ in range(4):
        she.page.get_by_label("Larger").click()  # single ends can be told apart
    drawn, places = scenes(drafts, style)

    def as_drawn():
        found = she.page.evaluate(COMPARED, [drawn, places])
        return found and min(ink for _, ink in found) > 20 and max(off for off, _ in found) < 5

    until(she.page, as_drawn)
    others = she.page.evaluate(COMPARED, [drawn[1:] + drawn[:1], places])
    assert min(off for off, _ in others) > 15  # the comparison can fail


def test_a_strip_painted_again_is_as_if_all_were_painted_from_nothing(window):
    she = window(PIECE, quiet=("willReadFrequently",))  # pixels are read here, not in the studio
    resting(she.page, lambda: she.page.evaluate(PAINTED))
    before = she.keys()
    she.drag(5, 14, 1)
    until(she.page, lambda: she.keys() != before)
    resting(she.page, lambda: she.page.evaluate(PAINTED))
    assert she.page.evaluate(KEEP) > 2
    kept = she.page.evaluate(PAINTED)
    she.page.get_by_label("Larger").click()
    until(she.page, lambda: she.page.evaluate(PAINTED) != kept)
    she.page.get_by_label("Smaller").click()

    def the_same():
        differ = she.page.evaluate(DIFFER)
        return len(differ) > 2 and all(off < 0.1 for off in differ)

    until(she.page, the_same)
