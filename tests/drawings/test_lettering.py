"""Letter widths are those of the shipped fonts."""

from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont

from crossfell.drawings.lettering import UNKNOWN_EM, advances, width_em

FONTS = [
    "AtkinsonHyperlegibleNext-Regular",
    "AtkinsonHyperlegibleNext-Bold",
    "NotoSans-Regular",
    "NotoSansArabic-Regular",
    "NotoSansHebrew-Regular",
]


@pytest.mark.parametrize("name", FONTS)
def test_advances_agree_with_fonttools(name):
    """Outside: fontTools (MIT) reads the same tables; exact."""
    with (files("crossfell.drawings") / "fonts" / f"{name}.ttf").open("rb") as stream:
        font = TTFont(stream)
        per_em = font["head"].unitsPerEm
        want = {code: font["hmtx"][glyph][0] / per_em for code, glyph in font.getBestCmap().items()}
    ours = advances(name)
    assert {code: ours.get(code) for code in want} == want


def test_a_letter_that_no_font_has_gets_a_whole_em():
    assert width_em("\U0001f9f6") == UNKNOWN_EM


def test_combining_marks_take_no_room():
    assert width_em("e\u0301") == width_em("e")
