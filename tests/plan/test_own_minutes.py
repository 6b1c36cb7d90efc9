"""Minutes of her own for a step that there is not are told of, at their line."""

from __future__ import annotations

from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER
from crossfell.piece import Piece
from crossfell.plan.own_minutes import unknown_minutes, usual_minutes


def test_a_misspelt_kind_of_step_is_told_with_its_line():
    draft = read_draft(STARTER + "[minutes]\nwnid = 4\n")
    (note,) = unknown_minutes(draft)
    assert note.where.line == STARTER.count("\n") + 2
    assert note.instead == "did you mean `wind`?"
    assert note in Piece(draft).notes


def test_one_in_the_workshop_points_there():
    draft = read_draft(STARTER, workshop="[minutes]\nbake = 4\nlay = 2\n", workshop_file="w.toml")
    (note,) = unknown_minutes(draft)
    assert (note.where.file, note.where.line) == ("w.toml", 2)
    assert "kinds of step: wind, thread" in note.instead


def test_every_kind_of_step_can_be_given():
    lines = "".join(f"{kind} = 2\n" for kind in usual_minutes())
    draft = read_draft(f"{STARTER}[minutes]\n{lines}")
    assert unknown_minutes(draft) == ()
    assert draft.notes == ()
