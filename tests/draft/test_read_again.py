"""A text is read part by part, and after an edit only where it changed: always as from nothing."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from written_drafts import drafts

from crossfell.draft.parts import parts_of, values_of
from crossfell.draft.reader import read_draft
from crossfell.draft.scan import Scan
from crossfell.draft.whereabouts import Whereabouts
from same_records import differences

EXAMPLES = sorted(Path(__file__).parents[2].glob("examples/*/*.toml"))
LINES = (
    "", "# a remark", "[[span]]", "[span.band]", "[yarn.new]", "height = 90", 'moves = "turn 1 right"',
    "[[span]]\nheight = 80", 'note = """\n[[span]]\n"""', "1 over 2", "eye at 1", '"""', "[band.last]",
    "span = 3", '["span"]', "spans = [\n[[span]]\n]", "places = 3", "nonsense", "[[ span ]]  # six",
)  # fmt: skip


@st.composite
def edits(draw):
    """A draft's text, and the same with some lines put in, taken out or changed."""
    before = draw(drafts())
    lines = before.split("\n")
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        how = draw(st.sampled_from(["in", "out", "twice", "number"]))
        if how == "in":
            lines.insert(at, draw(st.sampled_from(LINES)))
        elif how == "out":
            del lines[at : at + draw(st.integers(1, 2))]
            lines = lines or [""]
        elif how == "twice":
            lines.insert(draw(st.integers(0, len(lines))), lines[at])
        else:
            lines[at] = lines[at].replace("1", "2", 1)
    return before, "\n".join(lines)


@settings(max_examples=60, deadline=None)
@given(edits())
def test_after_any_edit_a_draft_reads_as_from_nothing(both):
    before, after = both
    former = read_draft(before, file="a.toml")
    now = read_draft(after, file="a.toml", former=former)
    assert differences(now, read_draft(after, file="a.toml")) == []
    assert differences(read_draft(before, file="a.toml", former=now), former) == []


@settings(max_examples=60, deadline=None)
@given(edits())
def test_parts_make_up_the_text(both):
    for text in both:
        try:
            whole = tomllib.loads(text.replace("\r\n", "\n"))
        except tomllib.TOMLDecodeError:
            with pytest.raises(tomllib.TOMLDecodeError):
                values_of(text)
            continue
        assert values_of(text) == whole
        same_places(text)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples_are_read_in_parts(path):
    text = path.read_text(encoding="utf-8")
    parts = parts_of(text)
    assert parts
    assert len(parts.spans) == len(tomllib.loads(text)["span"])
    same_places(text)


def same_places(text):
    """Every key and value is found where a scan of the whole text finds it."""
    places, scan = Whereabouts(text), Scan(text)
    assert places.ways() == list(scan.values)
    assert places.headers == scan.headers
    assert places.names == scan.names
    assert {way: places.extent(*way) for way in scan.values} == scan.values
    assert {way: places.written(*way) for way in scan.keys} == scan.keys


def test_a_span_within_quotes_is_no_part():
    text = 'a = """\n[[span]]\n"""\n[[span]]\nheight = 3\n'
    assert parts_of(text) is None
    assert values_of(text) == tomllib.loads(text)


def test_what_an_edit_leaves_is_not_read_again():
    text = EXAMPLES[1].read_text(encoding="utf-8")
    former = read_draft(text)
    at = text.rindex("[[span]]")
    now = read_draft(text[:at] + text[at:].replace("height", 'name = "new"\nheight'), former=former)
    kept = [a is b for a, b in zip(former.spans, now.spans, strict=True)]
    assert kept == [True] * (len(kept) - 1) + [False]
