"""Are these all the figures there are, each once, and are they what they say?

Counts against brute force and Burnside's lemma: the number of classes is the mean, over the group of
views and beginnings, of the figures that each leaves as they are (Burnside 1897, as in textbooks of
combinatorics). The table of counts was first made by a program of another build.
"""

from itertools import product
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from crossfell.cli import Exit, main
from crossfell.draft.reader import read_draft
from crossfell.search.figures.counting import figures_of, form_of, starts, views
from crossfell.search.figures.ranking import alternation, chosen, lifts, openness, seen
from crossfell.search.figures.spans import orientations, spans_of
from crossfell.search.figures.writing import Size, every, fragment, laid, named, recognised, row_of

TABLE = [  # places, reach, spans, ends, figures, with a symmetry
    (3, 2, 4, "closed", 157, 89),
    (4, 1, 4, "closed", 14, 10),
    (4, 2, 4, "closed", 18_064, 2_649),
    (4, 2, 4, "mirrored here", 61_228, 4_432),
    (5, 1, 4, "closed", 44, 20),
    (5, 2, 4, "closed", 76_808, 3_026),
    (6, 1, 4, "closed", 152, 44),
    (6, 2, 3, "closed", 4_224, 256),
    (7, 1, 4, "closed", 560, 88),
]


@pytest.mark.parametrize(("places", "reach", "spans", "ends", "count", "symmetric"), TABLE)
def test_the_table_of_counts(places, reach, spans, ends, count, symmetric):
    found = figures_of(spans_of(places, reach), spans, ends)
    assert (len(found.rows), int((found.symmetric > 0).sum())) == (count, symmetric)


def test_where_there_are_too_many_only_those_that_are_the_same_from_behind():
    found, only = every(Size(6, 4))
    assert only
    assert len(found.rows) == 18_498


def images(spans, row, ends):
    """A figure in every view and from every beginning: 8 k of them, those that are alike too."""
    for view in views(spans, np.array([row])):
        yield from (tuple(begun[0].tolist()) for begun in starts(spans, view, ends))


def closed(spans, row):
    """Whether all units are home again, and every two neighbours' line was crossed."""
    at = list(range(spans.places))
    crossed = set()
    for s in row:
        to = spans.to[s]
        crossed |= {c for c in range(1, spans.places) if max(to[:c]) >= c}
        at = [to[p] for p in at]
    return at == list(range(spans.places)) and len(crossed) == spans.places - 1


@pytest.mark.parametrize(("places", "reach", "k"), [(3, 2, 2), (3, 2, 3), (3, 2, 4), (4, 1, 4)])
def test_burnside_counts_as_many_and_so_does_brute_force(places, reach, k):
    spans = spans_of(places, reach)
    all_rows = [row for row in product(range(len(spans.to)), repeat=k) if closed(spans, row)]
    whole = [row for row in all_rows if all(row[by:] + row[:by] != row for by in range(1, k))]
    found = figures_of(spans, k)
    assert len({min(images(spans, row, "closed")) for row in whole}) == len(found.rows)
    left = sum(sum(image == row for image in images(spans, row, "closed")) for row in whole)
    assert left % (8 * k) == 0
    assert left // (8 * k) == len(found.rows)


def test_a_span_that_can_be_laid_has_no_circle():
    """Three that all cross have 8 ways over and under; two of them are circles."""
    assert len(list(orientations((2, 1, 0)))) == 6


def test_every_view_has_the_same_form():
    spans = spans_of(4, 2)
    rows = figures_of(spans, 3).rows
    for view in views(spans, rows):
        for begun in starts(spans, view, "closed"):
            assert (form_of(spans, begun) == rows).all()


def test_a_figure_with_another_kind_of_span_is_not_in_the_table():
    spans = spans_of(3, 2)
    for text in ("1 over 2-3", "turn 1 right", ""):
        draft = read_draft(f'[figure.p]\nplaces = 3\nspans = ["{text}"]\n')
        assert row_of(spans, draft, "p") is None
    draft = read_draft('[figure.p]\nplaces = 3\nspans = ["1 over 2", "2 under 3"]\n')
    assert len(row_of(spans, draft, "p")) == 2


def test_what_is_chosen_differs():
    found, _ = every(Size(4, 3))
    taken = chosen(found, 12)
    assert len(set(taken)) == 12
    kinds = [tuple(sorted(row)) for row in found.spans.way[found.rows].tolist()]
    assert {kinds[k] for k in taken} == set(kinds)  # none of the few ways to go is missing
    best = seen(found)
    assert best.open[chosen(found, 5, "open")].mean() > best.open.mean()
    assert best.easy[chosen(found, 5, "easy")].mean() > best.easy.mean()
    assert chosen(found, 3, like=taken[0])[0] == taken[0]


def test_openness_is_that_of_straight_ribbons():
    """Straight on: the tenth that is left between; two that change sides: at least as much."""
    assert openness((0, 1)) == pytest.approx(0.0, abs=0.1)
    assert openness((1, 0)) > openness((0, 1))


@pytest.mark.parametrize("ends", ["closed", "mirrored"])
def test_a_figure_is_laid_holds_and_is_recognised_however_it_is_seen(ends):
    size = Size(4, 3, 2, ends)
    found, _ = every(size)
    for number in chosen(found, 4):
        one = laid(found, number, size)
        assert {note.code for note in one.piece.notes if note.severity.value == "error"} == set()
        assert all(span.layable for span in one.piece.order.spans)
        assert all(hold.holds for hold in one.piece.holds)
        assert [span.lifted for span in one.piece.order.spans[:3]] == [
            lifts(found.spans, s) for s in one.row
        ]
        for view in views(found.spans, found.rows[[number]]):
            draft = read_draft(fragment(found.spans, view[0], "hers"))
            row = row_of(found.spans, draft, "hers")
            assert row == view[0].tolist()
            assert recognised(found, row, ends)[0] == number


def test_names_say_the_size():
    assert named(Size(4, 3, 1, "mirrored").name(7)) == (Size(4, 3, 1, "mirrored"), 7)
    assert named("swell") is None


def test_alternation_counts_steps_from_over_to_under():
    spans = spans_of(3, 2)
    rows = figures_of(spans, 4).rows
    share = alternation(spans, rows)
    assert share.min() >= 0
    assert share.max() == 1


def told(*words, code=Exit.FINE):
    result = CliRunner().invoke(main, ["figures", *map(str, words)])
    assert result.exit_code == code, result.output
    return result.output


def test_the_gallery_and_its_draft_text_are_written(tmp_path):
    into = tmp_path / "few.svg"
    said = told("--places", 4, "--spans", 3, "--count", 3, "--into", into)
    assert "4 places, 3 spans: 223 figures, 50 with a symmetry" in said
    assert into.read_text(encoding="utf-8").count("lifts, ") == 3
    text = into.with_suffix(".toml").read_text(encoding="utf-8")
    assert read_draft(text + '[piece]\ntitle = "x"\n').laid_out is not None
    assert text.count("[figure.f4x3r2n") == 3


def test_a_figure_goes_into_the_book_and_is_recognised_there(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "is kept as `gate`" in told("--keep", "f4x3r2n18", "gate")
    assert "there is a figure gate already" in told("--keep", "f4x3r2n19", "gate", code=Exit.USAGE)
    assert "cannot be the name" in told("--keep", "f4x3r2n19", "turn", code=Exit.USAGE)
    draft = Path("piece.toml")
    draft.write_text('[piece]\ntitle = "x"\n', encoding="utf-8")
    assert "gate is figure f4x3r2n18" in told("--of", draft, "gate")
    assert "has no figure" in told("--of", draft, "door", code=Exit.USAGE)


@pytest.mark.parametrize(("words", "says"), [
    (["--places", "6-4"], "is no number from 1 to 9"), (["--like", "swell"], "is no figure of a"),
    (["--places", "9"], "2 to 8 places"), (["--places", "4", "--spans", "1"], "no figure of this"),
    (["--like", "f4x4r1n99"], "there are 14 figures"),
    (["--places", "8", "--spans", "6"], "more figures than can be looked through"),
])  # fmt: skip
def test_what_cannot_be_is_said(words, says, tmp_path):
    assert says in told(*words, "--into", tmp_path / "x.svg", code=Exit.USAGE)
