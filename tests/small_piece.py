"""The text of a small piece: two kinds of narrow strips, a rod in each band, spans as asked for."""

HEAD = """measure = "mm"
[piece]
title = "{title}"
[yarn.slate]
count = "tex 200"
[yarn.chalk]
count = "tex 200"
[strip.inch]
width = 25
dents = 10
[unit.a]
strip = "inch"
ends = "10 slate"
[unit.b]
strip = "inch"
ends = "10 chalk"
[warp]
pitch = 28
order = "{order}"
[band]
picks = "2, rod, 2"
rod = "steel 3"
"""


def small_draft(*spans, order="a*4", height=140, title="Low Water"):
    """A draft whose spans have these moves; `height` is one for all, or one for each (mm)."""
    heights = [height] * len(spans) if isinstance(height, int) else height
    rows = zip(spans, heights, strict=True)
    return HEAD.format(title=title, order=order) + "".join(
        f'[[span]]\nheight = {high}\nmoves = "{moves}"\n' for moves, high in rows
    )
