"""Whether it holds is said in the same words on the first page, the hanging sheet and in the facts."""

from pieces_told import on_each_piece

from crossfell.facts.build import value_of
from crossfell.papers.hanging_sheet import hanging
from crossfell.papers.model import Pairs, Paragraph
from crossfell.papers.sheets import overview
from crossfell.search.hanging import told
from crossfell.statics.cords import mass_centre_mm
from crossfell.statics.verdict_told import in_words, sentences


@on_each_piece
def test_the_verdict_is_told_alike(piece):
    measure = piece.draft.measure
    said = in_words(piece.verdict, measure)
    assert value_of(piece, "hung.verdict") == said
    rows = dict(row for b in overview(piece).blocks if isinstance(b, Pairs) for row in b.rows)
    assert rows["Hung up, it"] == said
    whole = sentences(piece.verdict, measure, mass_centre_mm(piece.draft, piece.paths))
    assert said in whole[0]
    first = next(b.text for b in hanging(piece).blocks if isinstance(b, Paragraph))
    assert first.startswith(" ".join(whole))
    lines = told(piece)
    assert [line for line in lines if line in whole] == whole
