"""A bobbin's length, its yarn and its weight are the same on its label, in the list and in the facts."""

import pytest
from pieces_told import on_each_piece

from crossfell.base.quantities import written_long
from crossfell.facts.build import facts_of
from crossfell.papers.labels import labels_of
from crossfell.papers.model import Table
from crossfell.papers.sheets import winding


@on_each_piece
def test_a_bobbin_is_wound_as_its_label_the_list_and_the_facts_say(piece):
    facts = facts_of(piece)["winding"]["groups"]
    wound = {name: group["length"] for group in facts for name in group["bobbins"]}
    labels = {(label.thing, label.name): label.lines for label in labels_of(piece)}
    (table,) = (block for block in winding(piece).blocks if isinstance(block, Table))
    assert {row[1] for row in table.rows} == set(wound)
    for row in table.rows:
        name, length, grams = row[1], row[4], row[5]
        assert length == written_long(wound[name], piece.draft.measure)
        assert labels["bobbin", name][1] == f"{length} each, {grams}"


@on_each_piece
def test_a_weight_is_called_alike_on_its_label_in_the_list_and_in_the_facts(piece):
    hung = {unit["name"]: unit["hung"] for unit in facts_of(piece)["units"]}
    labels = {label.name: label.lines[0] for label in labels_of(piece) if label.thing == "weight"}
    (table,) = (block for block in winding(piece).blocks if isinstance(block, Table))
    for row in table.rows:
        name, said = row[1], row[8]
        assert labels[name] == f"{said}, hung beside the bobbin"
        parts = [float(part) for part in said.removesuffix(" g").split(" + ")]
        assert sum(parts) == pytest.approx(hung[name], abs=0.51 * len(parts))
