"""No text makes the reader raise, and none keeps it long: the limits are stated in messages."""

from __future__ import annotations

import random
import re
import time
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from crossfell.base.notes import Severity, rendered
from crossfell.draft.files import read_file
from crossfell.draft.reader import MOST_LETTERS, read_draft
from crossfell.draft.start import STARTER

EXAMPLES = [path.read_text() for path in sorted(Path("examples").glob("*/*.toml"))]
WORKSHOP = Path("examples/workshop.toml").read_text()
SOON_S = 2.5  # of the processor, shared and slow: about a second of a machine of its own
QUICK = settings(
    max_examples=50, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate)
)
SIGNS = "\"'=[]{}#,.\\-*/\n\r\t 0123456789aeinmorstuv_✓é\u202e\x00\ufeff"
TOKENS = (
    "nan", "inf", "-1", "1e308", "0", "true", "1979-05-27", '""', "[]", "{}", '"""', "[[span]]", "[span]",
    "[band]", "over", "at", "999999999", "-", '"0"', '"1/0 in"', '"a*0"', '"a*999999999"', "'''", "\\",
    '"3, rod, rod"', '"steel 0"', '"lea 0/0"', '"tex 1e9"', "[[[[[]]]]]", "=", "\r\n",
)  # fmt: skip


def told(draft):
    """Every message of a draft, as it is printed."""
    return [rendered(note, draft.text_of(note.where.file)) for note in draft.notes]


def codes(draft):
    return [note.code for note in draft.notes]


@QUICK
@given(st.text(st.sampled_from(SIGNS), max_size=120) | st.text(max_size=120))
def test_any_text_at_all_is_read_or_noted(text):
    told(read_draft(text))


@settings(QUICK, max_examples=70)
@given(st.sampled_from([*EXAMPLES[:2], STARTER]), st.randoms(use_true_random=False))
def test_a_spoilt_draft_is_read_or_noted(text, chance):
    """Real drafts with parts cut out, doubled, exchanged or replaced by what does not belong."""
    for _ in range(chance.randint(1, 4)):
        start = chance.randint(0, len(text))
        end = min(len(text), start + chance.choice([0, 1, 1, 3, 20, 200]))
        new = chance.choice(
            [chance.choice(TOKENS), chance.choice(SIGNS), text[start:end] * 2, "", text[end:][:30]]
        )
        text = text[:start] + new + text[end:]
    draft = read_draft(text, file="draft.toml", workshop=WORKSHOP)
    assert all(told(draft))


@settings(QUICK, max_examples=70)
@given(st.sampled_from([*EXAMPLES[:2], STARTER]), st.randoms(use_true_random=False))
def test_any_value_in_any_key_is_read_or_noted(text, chance):
    values = [found.span(1) for found in re.finditer(r"(?m)^[\w]+ *= *(.*?)(?: *#.*)?$", text)]
    start, end = chance.choice(values)
    text = text[:start] + chance.choice(TOKENS) + text[end:]
    assert all(told(read_draft(text, file="draft.toml")))


@pytest.mark.soak
def test_a_night_of_spoilt_drafts():
    """Ten thousand drafts spoilt by chance (seeded)."""
    chance = random.Random(3)
    for _ in range(10_000):
        text = chance.choice([*EXAMPLES, STARTER])
        for _ in range(chance.randint(1, 6)):
            start = chance.randint(0, len(text))
            cut = chance.choice([0, 1, 5, 50, 500])
            text = text[:start] + chance.choice([*TOKENS, *SIGNS, ""]) + text[start + cut :]
        told(read_draft(text, file="draft.toml", workshop=WORKSHOP))


def soon(read):
    """What a reading gives, when it does not take too long."""
    started = time.process_time()
    draft = read()
    assert time.process_time() - started < SOON_S
    return draft


def spoilt(old, new):
    """The starter with one thing exchanged."""
    assert old in STARTER
    return STARTER.replace(old, new, 1)


def written(folder, raw):
    path = folder / "draft.toml"
    path.write_bytes(raw)
    return path


def test_ten_megabytes_are_refused_at_once(tmp_path):
    path = written(tmp_path, b"# \xc3\xbc\n" * 2_100_000)
    draft = soon(lambda: read_file(path))
    assert codes(draft) == ["too-large"]
    assert f"the most is {MOST_LETTERS:,}" in told(draft)[0]


def test_a_million_spans_are_refused_at_once():
    draft = soon(lambda: read_draft("[[span]]\nheight=1\n" * 1_000_000))
    assert codes(draft) == ["too-large"]


def test_as_many_spans_as_fit_in_a_file_are_refused_in_a_moment():
    draft = soon(lambda: read_draft("[[span]]\n" * 111_000))
    assert "too-many-spans" in codes(draft)


def test_a_text_that_is_not_utf8_is_shown_with_its_sign(tmp_path):
    draft = read_file(written(tmp_path, "# ü\n".encode() + "title = 'Größe'\n".encode("latin-1")))
    assert codes(draft) == ["not-utf8"]
    assert ":2:12" in told(draft)[0]
    assert "`ö`" in told(draft)[0]
    draft = read_file(written(tmp_path, STARTER.encode("utf-16")))
    assert "it seems to be UTF-16" in told(draft)[0]


def test_a_mark_at_the_start_and_line_ends_of_two_signs_are_fine():
    """Windows editors write both."""
    draft = read_draft("\ufeff" + STARTER.replace("\n", "\r\n"))
    assert draft.notes == ()
    assert draft.spans == pytest.approx(draft.spans)
    plain = read_draft(STARTER)
    assert [span.moves for span in draft.spans] == [span.moves for span in plain.spans]
    assert draft.warp.given == plain.warp.given


@pytest.mark.parametrize(
    "number", ["nan", "inf", "-inf", "1e308", "-1", "1e7000", "true", '"1e5 mm"']
)
@pytest.mark.parametrize("key", ["pitch = 28", "height = 150"])
def test_a_length_that_is_none_is_noted(number, key):
    draft = read_draft(spoilt(key, f"{key.split()[0]} = {number}"))
    assert codes(draft)[0] == "not-understood"
    assert draft.notes[0].where.line


@pytest.mark.parametrize(
    ("move", "code"),
    [
        ("0 over 1", "no-such-place"),
        ("12 over 13", "no-such-place"),
        ("turn 0 right", "no-such-place"),
        ("999999999 over 1", "no-such-place"),
        ("eye at 0", "figure-does-not-fit"),
        ("turn 1 right 0 times", "not-a-move"),
        ("turn 1 right 999999999 times", "not-a-move"),
        ("shift 1 right 0", "not-a-move"),
        ("shift 1 right 0 mm", "not-a-move"),
        ("shift 1 left 1/0 in", "not-a-move"),
        ("shift 1 left 99999999 m", "not-a-move"),
        ("plait 3", "not-a-move"),
        ("1 over 2 over 3", "not-a-move"),
        ("1-2-3 over 4", "not-a-move"),
        ("over", "not-a-move"),
        ("1\u00a0under\u00a03", "not-neighbours"),  # a blank that does not break is a blank
        ("1 over 2;", "not-a-move"),
        ("eye at 1 mirrored mirrored", "not-a-move"),
    ],
)
def test_a_move_that_is_none_is_noted(move, code):
    draft = read_draft(spoilt('moves  = "eye at 5"', f'moves = "{move}"'))
    assert codes(draft) == [code]
    assert draft.notes[0].where.line == STARTER[: STARTER.index('"eye at 5"')].count("\n") + 1


def test_figures_that_use_themselves_or_each_other_are_noted():
    ring = """\
[figure.a]
places = 4
spans  = ["b at 1"]
[figure.b]
places = 4
spans  = ["c at 1 mirrored"]
[figure.c]
places = 4
spans  = ["a at 1"]
[figure.d]
places = 4
spans  = ["1 over 2", "d at 1"]

[[span]]"""
    draft = soon(lambda: read_draft(spoilt("[[span]]", ring)))
    assert codes(draft) == ["figure-uses-itself"] * 2
    assert "a → b → c → a" in told(draft)[0]


def test_figures_that_grow_without_end_are_refused_soon():
    """Each figure lays the one before a hundred times."""
    ring = "[figure.f0]\nplaces = 4\nspans = ['1 over 2']\n" + "".join(
        f"[figure.f{k}]\nplaces = 4\nspans = ['{', '.join([f'f{k - 1} at 1'] * 100)}']\n"
        for k in range(1, 30)
    )
    draft = soon(lambda: read_draft(spoilt("[[span]]", ring + "[[span]]")))
    assert codes(draft) == ["too-many-moves"]


def test_a_long_chain_of_figures_is_no_harm():
    chain = "".join(f"[figure.f{k}]\nplaces = 4\nspans = ['f{k + 1} at 1']\n" for k in range(300))
    draft = soon(lambda: read_draft(spoilt("[[span]]", chain + "[[span]]")))
    assert "figure-uses-itself" in codes(draft)


def test_deep_brackets_are_refused():
    for text in ("a = " + "[" * 100_000, "a = " + "{a=" * 50_000, "[" + "a." * 50_000 + "a]"):
        assert soon(lambda text=text: read_draft(text)).notes


def test_much_nonsense_is_told_in_a_moment():
    lines = "\n".join(f"{k} ovre {k + 1}" for k in range(20_000))
    text = spoilt('moves  = "eye at 5"', f'moves = """\n{lines}\n"""')
    draft = soon(lambda: read_draft(text))
    assert codes(draft) == ["not-a-move"] * 100 + ["too-much-wrong"]


def test_much_that_is_wrong_on_each_line_is_told_in_a_moment():
    """Several notes of one line do not step over the limit."""
    line = ", ".join(["0 over 1"] * 7)
    text = spoilt('moves  = "eye at 5"', 'moves = """\n' + f"{line}\n" * 2_000 + '"""')
    draft = soon(lambda: read_draft(text))
    assert codes(draft)[-1] == "too-much-wrong"
    assert len(draft.notes) < 110


def test_nothing_outside_its_folder_is_ever_read(tmp_path):
    """There is no include: a path in a draft is a text like any other."""
    secret = tmp_path / "secret.toml"
    secret.write_text("[yarn.hidden]\ncount = 'lea 16/2'\n")
    folder = tmp_path / "a" / "b" / "piece"
    folder.mkdir(parents=True)
    for line in ('include = "../../../secret.toml"', '[include]\nfile = "/etc/passwd"'):
        (folder / "draft.toml").write_text(
            f"{line}\n{STARTER}" if "[" not in line else STARTER + line
        )
        draft = read_file(folder / "draft.toml")
        assert codes(draft) == ["unknown-key"]
        assert "hidden" not in draft.yarns
        assert "root:" not in "".join(told(draft))


def test_a_workshop_that_is_broken_is_told_of_with_its_own_line(tmp_path):
    (tmp_path / "draft.toml").write_text(STARTER)
    (tmp_path / "workshop.toml").write_text("[loom]\nhand = four\n")
    draft = read_file(tmp_path / "draft.toml")
    assert codes(draft) == ["not-toml"]
    assert draft.notes[0].where.file.endswith("workshop.toml")
    assert "hand = four" in told(draft)[0]
    (tmp_path / "workshop.toml").write_bytes(b"[loom]\nhand = \xff\n")
    draft = read_file(tmp_path / "draft.toml")
    assert codes(draft) == ["not-utf8"]
    assert "hand =" in told(draft)[0]


@pytest.mark.parametrize("text", ["", "\n", "# nothing", "a", "[", "\x00", "\ufeff", "span = 3", "[span]",
                                  "span = []", "warp = 1", "yarn = 2", "yarn.a = 3", "unit = []",
                                  "figure = 1", "figure.a = 1", "band = 1", "piece = 1", "stock = []",
                                  "[[warp]]", "[[yarn]]", "minutes = 3", "measure = 3", "measure = []",
                                  "[minutes]\nlay = []", "[figure]\na = {}", "[[span]]\nband = 3",
                                  "[[span]]\nmoves = []", "span = [1]"])  # fmt: skip
def test_a_draft_that_is_hardly_one_is_noted(text):
    draft = read_draft(text, file="draft.toml")
    assert any(note.severity is Severity.ERROR for note in draft.notes)
    assert all(told(draft))


@pytest.mark.parametrize(
    ("lines", "key"),
    [("loom = 1", "loom"), ("yarn.moss = 3", "yarn.moss"), ("rates = []", "rates"), ("figure.f = 1", "figure.f")]
)  # fmt: skip
def test_a_value_where_a_table_should_be_is_told(lines, key):
    draft = read_draft(f"{lines}\n{STARTER}")
    assert "not-understood" in codes(draft)
    assert f"`[{key}]`" in "".join(told(draft))


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [("height = 120", "height = 120\nband = 3", "`{ … }`"), ("[hang]", "first = 2\n[hang]", "`[band.first]`")],
)  # fmt: skip
def test_a_single_band_that_is_no_table_is_told(old, new, says):
    draft = read_draft(spoilt(old, new))
    assert codes(draft) == ["not-understood"]
    assert says in told(draft)[0]


@pytest.mark.parametrize(
    ("table", "line", "says"),
    [
        ("loom", "lean_limit = 0", "more than nothing"), ("loom", "lean_limit = 90", "the most is 85 deg"),
        ("loom", "friction = 10000000", "the most is 2"), ("loom", "wrap = 1e5", "the most is 1080 deg"),
        ("warp", "tension = 0", "more than nothing"), ("hang", "cord_stiffness = 0", "more than nothing"),
        ("stock", "rod_length = 1e-9", "more than 1 mm"), ("stock", "heddle_length = 0", "more than 1 mm"),
        ("yarn.slate", "modulus = 0", "more than nothing"),
    ],
)  # fmt: skip
def test_a_value_that_no_loom_can_have_is_told_its_limit(table, line, says):
    head = f"[{table}]"
    text = (
        STARTER.replace(head, f"{head}\n{line}")
        if head in STARTER
        else f"{STARTER}{head}\n{line}\n"
    )
    draft = read_draft(text)
    assert codes(draft) == ["not-understood"]
    assert says in told(draft)[0]


def test_a_place_that_a_figure_lacks_is_one_of_the_figure():
    draft = read_draft(spoilt('"1-2 over 3-4", "2 under 3"', '"1-2 over 4-5", "2 under 3"'))
    (note,) = draft.notes
    assert note.code == "no-such-place"
    assert "figure eye has places 1 to 4" in note.message
    assert "`places` in [figure.eye]" in note.message


def test_a_misspelt_family_of_tables_is_shown_where_it_stands():
    text = spoilt("[yarn.chalk]", "[yarns.chalk]")
    note = next(note for note in read_draft(text).notes if note.code == "unknown-key")
    assert text.splitlines()[note.where.line - 1].startswith("[yarns.chalk]")
    assert "did you mean `yarn`?" in note.message


def test_a_span_is_called_by_its_number():
    draft = read_draft(spoilt("height = 120", 'hight = 120\nband = { pikcs = "2" }'))
    said = " ".join(note.message for note in draft.notes)
    assert "span 3 does not say `height`" in said
    assert "the band of span 3 has no `pikcs`" in said


def test_the_spans_of_a_figure_as_one_text_are_told_how_they_are_written():
    draft = read_draft(spoilt('["1-2 over 3-4", "2 under 3"]', '"1-2 over 3-4"'))
    note = next(note for note in draft.notes if note.code == "not-understood")
    assert 'as `spans = ["1-2 over 3-4", "2 under 3"]`' in note.message


def test_a_wrong_unit_of_time_and_a_name_with_an_accent_are_told():
    (time,) = read_draft(STARTER + "[minutes]\nlay = '4 cm'\n").notes
    assert "`cm` is no unit of time" in time.message
    (name,) = read_draft(spoilt("[yarn.chalk]", "[yarn.rosé]")).notes
    assert "needs quotes" in name.message


@pytest.mark.parametrize("profit", ["100 %", "150 %"])
def test_profit_on_the_price_is_less_than_the_price(profit):
    """A margin of the whole price would be a price without end; a markup may be any."""
    rates = f'\n[rates]\nprofit = "{profit}"\n'
    assert codes(read_draft(STARTER + rates + 'profit_on = "price"\n')) == ["not-understood"]
    assert codes(read_draft(STARTER + rates)) == []


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('rods = ["steel 3: 2000 * 99999999999"]', "no workshop has more than 10000"),
        ('rods = ["steel 3: -3 * 4"]', "longer than nothing"),
    ],
)
def test_rods_in_stock_that_no_workshop_has_are_told_with_their_line(line, says):
    draft = read_draft(f"[stock]\n{line}\n")
    note = next(note for note in draft.notes if says in note.message + str(note.facts))
    assert note.where.line == 2


def test_a_number_of_thousands_of_digits_is_no_number():
    draft = read_draft(f"[warp]\npitch = {'9' * 5000}\n")
    assert [note.code for note in draft.notes] == ["not-toml"]
