"""Facts are whole, in the published form, and each can say where it comes from."""

import json
import re
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER
from crossfell.facts.build import as_text, facts_of, leaves, written
from crossfell.facts.why import Unknown, because, can_be_asked, kind_of, rules, told
from crossfell.piece import Piece

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(
    path for path in (ROOT / "examples").glob("*/*.toml") if path.name != "workshop.toml"
)
SCHEMA = json.loads((files("crossfell.facts") / "schema.json").read_text(encoding="utf-8"))
# facts that are words or names, not numbers that were computed
GIVEN = {"facts", "piece.title", "piece.woven_from", "price.currency"}


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def piece(request):
    return Piece(read_file(request.param))


def test_facts_of_every_example_are_in_the_published_form(piece):
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(json.loads(written(facts_of(piece))), SCHEMA)


def test_the_published_form_refuses_what_is_not_in_it(piece):
    facts = json.loads(written(facts_of(piece)))
    facts["spans"][0]["cycle"] = "a1"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(facts, SCHEMA)


def test_why_answers_for_every_number(piece):
    """No number in the facts is without a rule, a formula and a source."""
    ways = [(way, value) for way, value in leaves(facts_of(piece)) if not way.startswith("notes")]
    names = {"name", "kind", "number", "units"}
    without = {
        kind_of(way)
        for way, value in ways
        if value is not None
        and way.rsplit(".", 1)[-1] not in names
        and way not in GIVEN
        and kind_of(way) not in rules()
    }
    assert without == set()
    for way in {kind_of(way): way for way in can_be_asked(piece)}.values():
        answer = because(piece, way)
        assert not isinstance(answer, Unknown)
        assert answer.rule
        assert answer.formula
        assert answer.source
        assert way in told(answer, piece.draft)


def test_no_rule_is_for_a_number_that_is_not_there():
    pieces = [Piece(read_file(path)) for path in EXAMPLES]
    kinds = {kind_of(way) for piece in pieces for way, _ in leaves(facts_of(piece))}
    assert set(rules()) - kinds == set()


def test_what_was_put_in_points_at_lines_of_the_draft(piece):
    name = piece.draft.units[0].name
    answer = because(piece, f"units.{name}.winding_length")
    assert not isinstance(answer, Unknown)
    for where in answer.lines:
        assert 0 < where.line <= len(piece.draft.text_of(where.file).splitlines())


def test_an_unknown_number_is_met_with_the_nearest():
    piece = Piece(read_file(EXAMPLES[0]))
    name = piece.draft.units[0].name
    answer = because(piece, f"units.{name}.winding_lenght")
    assert isinstance(answer, Unknown)
    assert f"units.{name}.winding_length" in answer.says


def test_same_draft_same_bytes():
    one, two = (written(facts_of(Piece(read_file(EXAMPLES[1])))) for _ in range(2))
    assert one == two


# All that a draft must say, but for its spans.
BARE = """
[yarn.s]
count = "lea 16/2"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = 24
order = "{order}"
[band]
rod = "steel 3"
"""


def test_a_draft_with_errors_still_has_its_notes_as_facts():
    facts = facts_of(Piece(read_draft("[piece]\ntitle = 3\n")))
    assert facts["notes"]
    jsonschema.validate(facts, SCHEMA)


def test_a_draft_that_says_only_what_it_must_has_facts_in_the_published_form():
    """No put-up, no prices, no colours, no wall, a workshop of nothing but defaults."""
    text = BARE.format(order="a - a") + "[[span]]\nheight = 140\n"
    piece = Piece(read_draft(text))
    assert piece.computable, [note.message for note in piece.notes]
    facts = json.loads(written(facts_of(piece)))
    jsonschema.validate(facts, SCHEMA)
    (yarn,) = facts["stock"]["yarn"]
    assert (yarn["put_ups"], yarn["price"], facts["price"]["materials"]) == (None, None, None)


def test_facts_are_also_lines_to_read(piece):
    lines = as_text(facts_of(piece)).splitlines()
    assert any(line.startswith("piece.width = ") for line in lines)
    assert all(" = " in line for line in lines)


def test_what_a_span_swings_by_its_leans_is_what_the_hung_shape_does():
    """Two spans of which all units lean one way: their drifts add up to the rods' own."""
    text = (
        BARE.format(order="a*4 - -")
        + """
[[span]]
height = 140
moves = "shift 1-4 right 1"
[[span]]
height = 160
moves = "shift 2-5 right 1"
"""
    )
    facts = facts_of(Piece(read_draft(text)))
    assert [span["carried_by"] for span in facts["spans"]] == [[], []]
    assert all(span["side_force"] < 0 for span in facts["spans"])
    assert [span["drift"] for span in facts["spans"]] == pytest.approx([24, 24])
    for band, rod in zip(facts["bands"], facts["hung"]["rods"], strict=True):
        assert band["swings_to"] == pytest.approx(rod["x"], abs=0.5)


WORKSHOP = """[loom]
weights = ["500 g * 20", "1 kg * 2"]
heddle_to_back = "70 cm"
[rates]
overhead = 12
"""


@pytest.mark.parametrize(
    ("way", "says"),
    [
        ("loom.stretch", ["heddle_to_back 700 mm", "rise 30 mm (default)"]),
        ("units.a1.hung", ["wrap 90° (default)",
                           "weights 500 g * 20, 1000 g * 2",
                           "howell_a nothing said\n"]),
        ("price.overhead", ["overhead 12 %\n", "profit 10 % (default)"]),
        ("hung.cords", ["rail false (default)", "cords 60 mm, 250 mm"]),
        ("piece.height", ["rod steel 3 mm"]),
        ("units.a1.winding_length", ["finish, twice 100 mm (default)", "spare 8 %\n"]),
        ("loom.warp_up", ["an end under its weight 0.2942 N\n", "tension 0.3 N"]),
        ("loom.shared.b.limit", ["an end under its weight 0.2942 N"]),
        ("yarns.slate.diameter", ["density ρ 1.53 g/cm³", "packing φ 0.6 to 0.65"]),
        ("yarns.slate.stiffness", ["of the fibre 18 N/tex", "share 0.45 (0.3 to 0.6)"]),
        ("plan.handled", ["span 1 4\n", "span 3 1\n", "hand 4 (default)"]),
    ],
)  # fmt: skip
def test_what_was_put_in_bears_its_unit_and_whether_it_is_hers(way, says):
    text = STARTER.replace('"least bending"', "[60, 250]")
    text = text.replace("[warp]", "[warp]\nspare = 8")
    piece = Piece(read_draft(text, workshop=WORKSHOP))
    answer = because(piece, way)
    assert not isinstance(answer, Unknown)
    shown = re.sub(" +", " ", told(answer, piece.draft))
    assert [line for line in says if line not in shown] == []
    assert "None" not in shown
    assert "Rod(" not in shown
