"""Tables that pieces can share go into a workshop as they are written; the draft means the same."""

from dataclasses import replace
from pathlib import Path

import pytest

from crossfell.draft.reader import read_draft
from crossfell.draft.shared import SHARED, without_shared, workshop_of
from crossfell.draft.start import STARTER

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/*.toml"))
TEXTS = [STARTER, *(path.read_text() for path in EXAMPLES)]
ODD = """measure = "cm"
[piece]
title = "Odd"

# bought last spring
[yarn.slate] # the dark one
count = "lea 16/2"
fibre = "linen"
# lots differ
[rates]
hour = 31

[warp]
pitch = 2.8
order = "a*4"
"""


def meant(draft):
    """What a draft says, whoever says it and wherever it stands."""
    return [
        {name: replace(yarn, where=None, given={}) for name, yarn in draft.yarns.items()},
        {name: replace(strip, where=None, given={}) for name, strip in draft.strips.items()},
        *(replace(getattr(draft, t), where=None, given={}) for t in ("loom", "stock", "rates", "adhesive")),
        [unit.name for unit in draft.units],
        [span.height_mm for span in draft.spans],
    ]  # fmt: skip


@pytest.mark.parametrize("text", TEXTS, ids=range(len(TEXTS)))
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_the_draft_means_the_same_with_its_tables_in_the_workshop(text, newline):
    text = text.replace("\n", newline)
    alone = read_draft(text)
    together = read_draft(without_shared(text), workshop=workshop_of(text))
    assert meant(together) == meant(alone)
    assert [n.code for n in together.notes] == [n.code for n in alone.notes]


def test_remarks_go_with_their_tables_and_the_rest_stays_letter_by_letter():
    workshop, left = workshop_of(ODD), without_shared(ODD)
    assert 'measure = "cm"' in workshop
    block = ODD[ODD.index("# bought") : ODD.index("# lots")]
    assert block in workshop + "\n"
    for remark in ("# bought last spring", "# the dark one", "# lots differ"):
        assert remark in workshop
        assert remark not in left
    assert left == ODD[: ODD.index("# bought")] + ODD[ODD.index("[warp]") :]
    assert not any(f"[{family}" in left for family in SHARED)


def test_a_draft_without_such_tables_gives_an_empty_workshop_and_stays():
    text = '[piece]\ntitle = "x"\n'
    assert without_shared(text) == text
    assert "[" not in workshop_of(text)
