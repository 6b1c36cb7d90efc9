"""± of lengths and amounts: what errors at random do, when they are put in again and again."""

import numpy as np
import pytest

from crossfell.draft.edit import set_key
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.plan import measure, stock_told

DRAFT = """
[yarn.flax]
count = "tex 100"
count_error = "1.5 %"
fibre = "linen"
price = "40 per kg"
put_up = "{put_up}"
[strip.s]
width = 10
dents = 7
[unit.a]
strip = "s"
ends = "7 flax"
[warp]
pitch = 20
order = "a*6"
length_error = "0.5 %"
[band]
rod = "steel 3"
takeup = 12
takeup_error = 1.5
[rates]
waste = "10 %"
[[span]]
height = 300
moves = "1-3 over 4-6"
[[span]]
height = 200
moves = "plait 1-6"
"""


def made(put_up="1 g", **keys):
    text = DRAFT.replace("{put_up}", put_up)
    for path, value in keys.items():
        text = set_key(text, path.replace("__", "."), value)
    return Piece(read_draft(text))


def test_a_count_that_is_wrong_is_wrong_for_all_of_the_yarn():
    piece = made(warp__length_error="0 %", band__takeup_error=0)
    (need,) = piece.amounts.yarns
    other = made(yarn__flax__count="tex 101.5").amounts.yarns[0]
    assert piece.sure.yarn_g["flax"] == pytest.approx(0.015 * need.need_g)
    more = other.need_g - need.need_g  # a little more: a thicker yarn has longer ways, too
    assert more == pytest.approx(piece.sure.yarn_g["flax"], rel=0.01)
    assert max(piece.sure.winding_mm) == 0


def test_a_take_up_that_is_wrong_is_wrong_in_every_band():
    """Measured once: three bands are wrong alike, and that adds up straight."""
    piece = made(warp__length_error="0 %", yarn__flax__count_error="0 %")
    other = made(band__takeup=13.5)
    for u, error in enumerate(piece.sure.winding_mm):
        longer = other.amounts.windings[u].total_mm - piece.amounts.windings[u].total_mm
        assert error == pytest.approx(longer) == pytest.approx(3 * 1.5 * 1.05)
    more = other.amounts.yarns[0].need_g - piece.amounts.yarns[0].need_g
    assert piece.sure.yarn_g["flax"] == pytest.approx(more, rel=0.02)


def test_lengths_wrong_at_random_spread_as_it_says():
    """Each span of each unit wrong by itself, 4000 times; source: the definition in the GUM."""
    piece = made(band__takeup_error=0, yarn__flax__count_error="0 %")
    rng = np.random.default_rng(1)
    longest = np.maximum(piece.paths.length_mm, piece.paths.edge_mm)
    wrong = rng.normal(0, 0.005, (4000, *longest.shape)) * longest
    lengths = wrong.sum(axis=1) * 1.05
    assert lengths.std(axis=0) == pytest.approx(piece.sure.winding_mm, rel=0.05)
    grams = (lengths * 7 * 100 * 1e-6 * 1.1).sum(axis=1)
    assert grams.std() == pytest.approx(piece.sure.yarn_g["flax"], rel=0.05)


def test_all_together_is_the_root_of_the_sum_of_squares():
    parts = [
        made(warp__length_error="0 %", band__takeup_error=0),
        made(warp__length_error="0 %", yarn__flax__count_error="0 %"),
        made(band__takeup_error=0, yarn__flax__count_error="0 %"),
    ]
    whole = made().sure.yarn_g["flax"]
    assert whole == pytest.approx(np.hypot.reduce([p.sure.yarn_g["flax"] for p in parts]))


def test_it_reaches_the_shopping_list_and_the_price():
    piece = made("0.1 g", yarn__flax__price="400 per kg")
    quote = piece.quote()
    assert quote.materials.low < quote.materials.likely < quote.materials.high
    assert "how sure" in quote.materials.how
    assert " ± " in stock_told.told(piece.draft, piece.amounts, piece.sure)
    whole = made("10 kg").quote().materials  # one cone, whatever the error
    assert whole.low == whole.likely == whole.high


def test_what_is_measured_writes_how_sure_it_is():
    for found, path in (
        (measure.hank(50_000, 5.2, "flax"), "yarn.flax.count_error"),
        (measure.band(14, 22), "band.takeup_error"),
    ):
        text = DRAFT.replace("{put_up}", "1 kg")
        for line in found.line.splitlines():
            name, _, value = line.partition(" = ")
            where = "yarn.flax" if "count" in name else "band"
            text = set_key(text, f"{where}.{name}", value.strip('"'))
        piece = Piece(read_draft(text))
        assert piece.computable, [n.message for n in piece.notes]
        assert path.rsplit(".", 1)[-1] in found.line
        error = piece.draft.yarns["flax"].count_error, piece.draft.bands[0].takeup_error_mm
        assert found.uncertainty == pytest.approx(error[0] * found.value if "yarn" in path else error[1], rel=0.1)  # fmt: skip
