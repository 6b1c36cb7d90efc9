"""Small drafts for the tests of the order: a warp, and one text of moves for each span."""

from crossfell.draft.reader import read_draft
from crossfell.order.stage import order_of

DRAFT = """
[yarn.flax]
count = "tex 100"
fibre = "linen"
[strip.s]
width = {width}
dents = {dents}
[unit.a]
strip = "s"
ends = "{dents} flax"
[unit.b]
strip = "s"
ends = "{dents} flax"
[warp]
pitch = 20
order = "{warp}"
[band]
rod = "steel 3"
"""


def draft_from(*moves, warp="a*6", width=10, dents=7, more=""):
    """A draft whose spans have these moves; it must have no errors."""
    text = more + DRAFT.format(warp=warp, width=width, dents=dents)
    for span in moves:
        text += f'[[span]]\nheight = 200\nmoves = """\n{span}\n"""\n'
    draft = read_draft(text)
    errors = [note.message for note in draft.notes if note.severity.value == "error"]
    assert not errors, errors
    return draft


def order_from(*moves, **how):
    """The order of such a draft."""
    return order_of(draft_from(*moves, **how))
