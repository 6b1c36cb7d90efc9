"""Drafts at random are sound, stay the same, and have everything in them that tests look for."""

from itertools import chain

from crossfell.draft.model import Cross, Roll, Shift, Turn
from random_drafts import written_draft, written_drafts

PIECES = [written.piece() for written in written_drafts(60)]


def test_the_same_number_gives_the_same_draft():
    assert written_draft.__wrapped__(7) == written_draft(7)
    assert len({written.text for written in written_drafts(60)}) == 60


def test_everything_comes_up_within_sixty():
    drafts = [piece.draft for piece in PIECES]
    moves = list(chain.from_iterable(span.moves for d in drafts for span in d.spans))
    assert {type(move) for move in moves} == {Cross, Turn, Roll, Shift}
    assert any(move.figure for move in moves)
    assert any(isinstance(move, Shift) and move.length_mm for move in moves)
    assert any(isinstance(move, Shift) and move.places for move in moves)
    assert {d.about.woven_from for d in drafts} == {"bottom", "top"}
    assert {d.measure for d in drafts} == {"mm", "cm", "in"}
    assert {d.loom.lay_aside for d in drafts} == {True, False}
    assert len({band.rod.label for d in drafts for band in d.bands}) == 3
    assert len({band.picks for d in drafts for band in d.bands}) >= 4
    assert any(len(d.units) < d.place_count for d in drafts)
    assert {band.weft for d in drafts for band in d.bands} > {"tide: low", "ash of roses", "{who}"}
