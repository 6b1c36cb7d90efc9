"""Large letters of the terminal are those of the shipped font, and fit the screen."""

from importlib.resources import files

import pytest
from PIL import Image, ImageDraw, ImageFont

from crossfell.loomside.blocks import ROWS, in_blocks, letters, width_of

SIZE, DARK = 12, 110
SIGNS = [chr(code) for code in range(33, 127)] + list("′…·½¼¾×°äöüÄÖÜßéèêàçñåøæ")


def drawn_from_the_font():
    """Each sign as rows of bits, cropped to the rows that any of them uses."""
    name = files("crossfell.drawings") / "fonts" / "AtkinsonHyperlegibleNext-Bold.ttf"
    font = ImageFont.truetype(str(name), SIZE)
    high = sum(font.getmetrics()) + 4
    pictures = {}
    for sign in SIGNS:
        width = max(1, round(font.getlength(sign)))
        picture = Image.new("L", (width + 2, high), 0)
        ImageDraw.Draw(picture).text((0, 0), sign, font=font, fill=255)
        pictures[sign] = (
            width,
            [
                sum((picture.getpixel((x, y)) > DARK) << (width - 1 - x) for x in range(width))
                for y in range(high)
            ],
        )
    first = min(y for _, rows in pictures.values() for y, row in enumerate(rows) if row)
    return {s: (w, tuple(rows[first : first + ROWS])) for s, (w, rows) in pictures.items()}


def as_file(pictures):
    head = (
        "# Pictures of Atkinson Hyperlegible Next, bold, 12 px (SIL Open Font License 1.1, see\n"
        "# drawings/fonts): code, width in px, rows as hexadecimal bits. Drawn by\n"
        "# tests/loomside/test_block_letters.py.\n"
    )
    lines = [
        f"{ord(s):04x} {w} {','.join(f'{r:x}' for r in rows)}" for s, (w, rows) in pictures.items()
    ]
    return head + "\n".join(lines) + "\n"


def test_the_pictures_are_those_of_the_shipped_font():
    """Rasterisers differ a little from version to version: at most one pixel in fifty."""
    ours, again = letters(), drawn_from_the_font()
    differ = total = 0
    for sign, (width, rows) in again.items():
        assert ours[sign][0] == width
        differ += sum((a ^ b).bit_count() for a, b in zip(ours[sign][1], rows, strict=True))
        total += width * ROWS
    assert differ <= total / 50


def test_words_are_wrapped_and_never_wider_than_the_screen():
    text = in_blocks("LAY s1, s2 OVER y1, g1", 60, most=4)
    lines = text.split("\n")
    assert len(lines) % (ROWS // 2) == 0
    assert max(map(len, lines)) <= 60
    assert "█" in text


@pytest.mark.parametrize(
    ("text", "columns", "most"),
    [
        ("", 80, 3),
        ("LAY 漢", 80, 3),
        ("unbreakablylongword", 30, 3),
        ("one two three four five six", 40, 2),
    ],
)
def test_what_cannot_be_large_is_left_to_be_written_as_usual(text, columns, most):
    assert in_blocks(text, columns, most=most) == ""


def test_the_width_of_a_text_is_that_of_its_letters():
    assert width_of("ab") == width_of("a") + width_of("b")


if __name__ == "__main__":  # writes the file again
    (files("crossfell.loomside") / "block_letters.txt").write_text(
        as_file(drawn_from_the_font()), encoding="utf-8"
    )
