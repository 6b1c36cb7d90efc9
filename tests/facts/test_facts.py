"""Facts are whole, in the published form, and each can say where it comes from."""

import json
import re
import subprocess
import sys

import jsonschema
import pytest
from facts_page import written as pages
from facts_schema import schema
from pieces import EXAMPLES, example_pieces, random_pieces

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER
from crossfell.facts.build import as_kept, as_text, facts_of, leaves, numbers_of, written
from crossfell.facts.declared import FACTS
from crossfell.facts.why import Unknown, because, can_be_asked, told
from crossfell.piece import Piece

SCHEMA = schema()


@pytest.fixture(scope="module", params=range(len(EXAMPLES)), ids=lambda i: EXAMPLES[i].stem)
def piece(request):
    return example_pieces()[request.param]


def test_facts_of_every_example_are_in_the_published_form(piece):
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(json.loads(written(facts_of(piece))), SCHEMA)


def test_the_published_form_refuses_what_is_not_in_it(piece):
    facts = json.loads(written(facts_of(piece)))
    facts["spans"][0]["cycle"] = "a1"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(facts, SCHEMA)


def test_facts_of_drafts_at_random_are_in_the_published_form():
    validator = jsonschema.Draft202012Validator(SCHEMA)
    for each in random_pieces()[:12]:
        validator.validate(json.loads(written(facts_of(each))))


def test_why_answers_for_every_number(piece):
    """Rule, source, and a formula or what holds; sentences without a hole left."""
    kinds = {fact.kind: way for way, fact, _ in numbers_of(piece) if fact.asked}
    for kind, way in kinds.items():
        answer, fact = because(piece, way), FACTS[kind]
        assert not isinstance(answer, Unknown)
        assert fact.rule.endswith((".", "`."))
        assert fact.source
        assert answer.formula
        assert "{" not in answer.says
        assert way in told(answer, piece.draft)
        assert not (fact.formulas and fact.holds)


def test_every_number_that_can_be_asked_for_is_in_the_facts(piece):
    """What `why` answers and what the facts hold is one: each way leads to its value."""
    there = dict(leaves(facts_of(piece)))
    for way, fact, value in numbers_of(piece):
        if fact.asked and not isinstance(value, dict):
            assert there[way] == as_kept(fact, value), way
    assert set(can_be_asked(piece)) == {way for way, fact, _ in numbers_of(piece) if fact.asked}


def test_ways_that_are_put_in_can_be_asked_for(piece):
    """A total leads down to its parts, with names of any kind."""
    for each in (piece, *random_pieces()[:12]):
        asked = set(can_be_asked(each))
        for _, fact, index in ((f.kind, f, i) for f in FACTS.values() for i in f.indices(each)[:1]):
            for row in fact.of(each, *index).put_in().values():
                assert set(row.ways) <= asked
                assert len(row.labels) in {0, len(row.value) if row.labels else 0}


def test_every_kind_comes_up():
    mine = [fact for fact in FACTS.values() if fact.level.path != "notes"]
    kinds = {fact.kind for each in random_pieces() for fact in mine if fact.indices(each)}
    assert {fact.kind for fact in mine} - kinds == set()


def test_the_page_and_the_schema_are_those_of_the_declarations():
    """Run tests/facts/facts_page.py after a change."""
    for path, text in pages().items():
        assert path.read_text(encoding="utf-8") == text


def test_a_check_does_not_load_the_declarations():
    """The command line answers at once: what a check does not need is not read."""
    code = (
        "import sys\nfrom crossfell.cli.shell import main\nimport crossfell.cli\n"
        f"try: main(['check', {str(EXAMPLES[0])!r}])\nexcept SystemExit: pass\n"
        "print([m for m in sys.modules if m.startswith('crossfell.facts')], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip().splitlines()[-1] == "[]"


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


@pytest.mark.parametrize("name", ["slate.need", "*.warp", "tide: low", "a - b", "潮 2"])
def test_a_name_of_any_kind_is_asked_for_as_it_stands(name):
    """Points, stars, colons and other scripts in a name lead to the number that they name."""
    weft = f'[yarn."{name}"]\ncount = "tex 90"\n[band]\nweft = "{name}"\n'
    text = BARE.format(order="a a").replace("[band]\n", weft) + "[[span]]\nheight = 140\n"
    piece = Piece(read_draft(text))
    assert piece.computable, [note.message for note in piece.notes]
    answer = because(piece, f"stock.yarn.{name}.need")
    assert not isinstance(answer, Unknown)
    assert answer.value == next(n.need_g for n in piece.amounts.yarns if n.yarn == name)
    assert name in answer.says


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


def test_facts_are_also_lines_to_read_with_units(piece):
    lines = as_text(piece).splitlines()
    assert any(re.fullmatch(r"piece.width = [0-9.]+ mm", line) for line in lines)
    assert any(re.fullmatch(r"price.work = [0-9.]+ EUR", line) for line in lines)
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
        ("loom.stretch", ["heddle to back 700 mm", "rise 30 mm (default)"]),
        ("units.a1.hung", ["wrap 90° (default)", "weights 500 g * 20, 1000 g * 2",
                           "howell a nothing said\n", "weight 550.6"]),
        ("price.overhead", ["overhead 12 %\n", "(why price.materials)", "(why price.work)"]),
        ("price.profit", ["profit 10 % (default)", "profit on cost (default)"]),
        ("hung.cords", ["rail false (default)", "cords 60, 250 mm"]),
        ("bands.1.height", ["rod steel 3 mm", "climb 0.524916, 0.524916, 2.02492, "]),
        ("piece.height", ["bands 4 times 11.5434 mm (why bands.1.height, …)",
                          "span 1: 150 mm; span 2: 150 mm; span 3: 120 mm (why spans.1.height"]),
        ("units.a1.winding_length", ["+ 2 × finish +", "finish 100 mm (default)", "spare 8 %\n"]),
        ("loom.warp_up", ["tension 12 times 0.294199 N", "holes 12 times 9\n", "rise 30 mm (default)"]),
        ("loom.shared.b.limit", ["tension 0.2941", "stiffness 1674.18 N", "holes 0.5\n"]),
        ("yarns.slate.diameter", ["density 1.53 g/cm³", "loosest 0.6\n", "closest 0.65\n"]),
        ("yarns.slate.stiffness", ["of fibre 18 N/tex", "share least 0.3\n", "share most 0.6\n"]),
        ("plan.handled", ["lifted span 1: 4; ", "; span 3: 1 (why plan.handling.1.lifted, …)",
                          "hand 4 (default)", "the most are in span 1 with 4."]),
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
