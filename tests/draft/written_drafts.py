"""Drafts written in many hands: for tests that change them."""

from __future__ import annotations

from itertools import count

from hypothesis import strategies as st

HEAD = """\
[piece]
title      = "T"                   # r1
wall       = {{ width = 900 }}
{tight}
# r2
[yarn.slate]   # r3
count  = "lea 16/2"     # r4
colour = '#4a5560'
[yarn.chalk]
count  = "lea 16/2"

[strip.inch]
width = "1 in"
dents = 18
[unit.a] # r5
strip = "inch"
ends  = "9 slate, 9 chalk"     # r6

# r7

[warp]
pitch = 26
order = "a*12"
[band]
picks = "3, rod, 3"
rod   = "steel 3"
"""
FIGURE = """
[figure.eye]   # r8
places = 4
spans  = [
    "1-2 over 3-4",    # r9
    '''
    2 under 3   # r10
    ''', "1-2 over 3-4, turn 1 right",
]
"""
MOVES = (
    "1-3 over 4-6", "2 under 3-5", "turn 7 right", "turn 3-5 left twice", "roll 3-5 right",
    "shift 12 right 3/4 in", "shift 1 left 1 place", "plait 3-8", "eye at 5 mirrored", "9 over 8",
)  # fmt: skip


@st.composite
def drafts(draw: st.DrawFn) -> str:
    """A draft of one to four spans, its layout drawn at random; its remarks are `# r1`, `# r2` …"""
    remark = map("# r{}".format, count(20))
    tight = draw(st.booleans())
    figure_last = draw(st.booleans())
    parts = [HEAD.format(tight="# r0" if tight else "")]
    spans = [_span(draw, remark) for _ in range(draw(st.integers(1, 4)))]
    parts += [*spans, FIGURE] if figure_last else [FIGURE, *spans]
    text = ("" if tight else "\n").join(parts)
    if draw(st.booleans()):
        text = text.rstrip("\n")
    return text.replace("\n", draw(st.sampled_from(["\n", "\n", "\r\n"])))


def _span(draw, remark) -> str:
    lines = [next(remark)] if draw(st.booleans()) else []
    behind = "   " + next(remark) if draw(st.booleans()) else ""
    lines += ["[[span]]" + behind, "height = 140     " + next(remark)]
    moves = draw(st.lists(st.sampled_from(MOVES), max_size=4))
    style = draw(st.sampled_from(["none", "line", "lines", "lines"]))
    if style == "line":
        comma = "," if moves and draw(st.booleans()) else ""
        lines.append(f'moves  = "{", ".join(moves)}{comma}"   {next(remark)}')
    elif style == "lines":
        lines += _several(draw, moves, remark)
    if draw(st.booleans()):
        lines.append('note = "n"')
    if draw(st.booleans()):
        lines += ["[span.band]", 'picks = "2"   ' + next(remark)]
    if draw(st.booleans()):
        lines += ["", next(remark), ""]
    return "\n".join(lines) + "\n"


def _several(draw, moves, remark) -> list[str]:
    rows, indent = [], draw(st.sampled_from(["", "    "]))
    for move in moves:
        beside = rows and rows[-1].strip() and not rows[-1].lstrip().startswith("#")
        if beside and draw(st.integers(0, 3)) == 0:
            rows[-1] = rows[-1].split("   #")[0].rstrip(",") + ", " + move
        else:
            rows.append(indent + move + draw(st.sampled_from(["", ","])))
        if draw(st.booleans()):
            rows[-1] += "   " + next(remark)
        if draw(st.integers(0, 3)) == 0:
            rows += draw(st.sampled_from([[""], [indent + next(remark)]]))
    quotes = draw(st.sampled_from(['"""', "'''"]))
    close = draw(st.booleans())
    first = [f"moves  = {quotes}"] if draw(st.booleans()) or not rows else []
    text = "\n".join([*first, *rows]) if first else f"moves = {quotes}" + "\n".join(rows)
    return (text + ("\n" if close else "") + quotes).split("\n")
