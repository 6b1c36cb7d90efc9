"""Each piece is computed once for all the tests that compare its outlets."""

from functools import partial

import pytest
from pieces_told import piece_of

from crossfell.papers import hanging_sheet
from crossfell.search.bowing import bows_told

FEW = 2  # pieces with errors that are hung for the sheet: none of these tests reads how many bow


@pytest.fixture
def piece(request):
    return piece_of(request.param)


@pytest.fixture(autouse=True)
def _hung_a_few_times(monkeypatch):
    monkeypatch.setattr(hanging_sheet, "bows_told", partial(bows_told, runs=FEW))
