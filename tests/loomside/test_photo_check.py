"""A photograph never calls a wrong arrangement right; what it cannot read, it says."""

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

cv2 = pytest.importorskip("cv2")
pytest.importorskip("zxingcpp")

from scenes import VERSION, arrangement, batten, photographed, spoiled, text_of  # noqa: E402

from crossfell.loomside.photo_check import checked  # noqa: E402
from crossfell.loomside.photo_marks import Mark, NotReadable, marks_in  # noqa: E402

UNITS = {f"{kind}{i}" for kind in "ab" for i in range(1, 5)}
ROW = ["a1", "a2", "a3", "a4", "b1", "b2", "b3", "b4"]
UP = [1] * 8


def read(photo):
    return marks_in(
        photo,
        enough=lambda found: len({mark.text for mark in found}) >= len(UNITS),
        known={text_of(name, face) for name in UNITS for face in (1, -1)},
    )


def scene(seed, **how):
    """One random scene: whether it shows what the step says, and the verdict."""
    rng = np.random.default_rng(seed)
    row, faces = arrangement(rng, gaps=seed % 3 == 0)
    is_wrong = rng.random() < 0.5
    shown = spoiled(row, faces, rng) if is_wrong else (row, faces)
    photo = photographed(batten(*shown), rng, **how)
    return is_wrong, checked(read(photo), row, faces, {VERSION}, UNITS)


def test_in_random_scenes_no_wrong_arrangement_is_called_right_and_no_right_one_wrong():
    told = [scene(seed, width=1800) for seed in range(8)]
    assert not [v for is_wrong, v in told if is_wrong and v.right]
    assert not [v for is_wrong, v in told if not is_wrong and v.says == "wrong"]
    assert sum(v.right for _, v in told) >= 2


def test_a_mark_half_covered_is_known_among_those_that_can_be_there():
    """What covers it speaks for no mark; a mark of none of these strips is known as none."""
    flat = batten(ROW, UP)
    side = flat.shape[0] // 2
    flat[side // 2 : side, round(3 * side * 1.25) + side // 2 :][:, : round(side * 0.5)] = 90
    photo = cv2.imencode(".png", flat)[1].tobytes()
    texts = {text_of(name, face) for name in UNITS for face in (1, -1)}
    never = {"enough": lambda _: False}
    assert "a4" not in {mark.text.split()[3] for mark in marks_in(photo, **never)}
    assert {m.text for m in marks_in(photo, **never, known=texts)} == {text_of(n, 1) for n in ROW}
    others = {text.replace("a4", "c4") for text in texts}
    assert len(marks_in(photo, **never, known=others)) == 7


PARTS, IN_PART = 20, 500


@pytest.mark.soak
@pytest.mark.parametrize("part", range(PARTS))
def test_in_ten_thousand_random_scenes_no_wrong_arrangement_is_called_right(part):
    """In parts, so that it can be gone on with: `pytest -m soak -k "scenes and 7"`."""
    count = {}
    for seed in range(part * IN_PART, (part + 1) * IN_PART):
        is_wrong, verdict = scene(seed, width=1300)
        assert not (is_wrong and verdict.right), seed
        assert not (not is_wrong and verdict.says == "wrong"), seed
        count[is_wrong, verdict.says] = count.get((is_wrong, verdict.says), 0) + 1
    print(part, count)
    assert count[False, "right"] > 2 * count.get((False, "cannot tell"), 0), count  # seen: 3 to 3.5


def marks(row, faces, *, skip=(), step=100.0, version=VERSION):
    return [
        Mark(
            text=text_of(n, f).replace(VERSION, version),
            x=step * i,
            y=3.0,
            along=(1.0, 0.0),
            size=70.0,
        )
        for i, (n, f) in enumerate(zip(row, faces, strict=True))
        if n is not None and n not in skip
    ]


def verdict(shown, row=ROW, faces=UP, units=frozenset(UNITS)):
    return checked(shown, row, faces, {VERSION}, units)


def test_all_read_and_all_as_planned_is_right():
    assert verdict(marks(ROW, UP)).right


def test_an_exchange_names_a_strip_and_where_it_belongs():
    row = ["a1", "a3", "a2", *ROW[3:]]
    told = verdict(marks(row, UP))
    assert told.says == "wrong"
    assert len(told.why) == 1
    assert "belongs in place" in told.why[0]


def test_a_face_that_is_not_up_is_named_with_what_to_do():
    told = verdict(marks(ROW, [1, 1, -1, 1, 1, 1, 1, 1]))
    assert told.why == ("a3 shows the other side: turn its face up",)


@pytest.mark.parametrize(
    ("shown", "why"),
    [
        (marks(ROW, UP, skip={"b2"}), "not read: b2"),
        ([], "no label"),
        (marks(ROW, UP, version="ffff0000"), "no label"),
        ([*marks(ROW[:7], UP[:7]), *marks(["b4"], [1], version="ffff0000")], "another version"),
        (
            [*marks(ROW, UP), Mark(text=text_of("a1", 1), x=900, y=3, along=(1, 0), size=70)],
            "two places",
        ),
        (
            [
                Mark(text=m.text, x=m.x, y=m.y, along=(-1.0 if i % 2 else 1.0, 0.0), size=70)
                for i, m in enumerate(marks(ROW, UP))
            ],
            "one line",
        ),
    ],
)
def test_what_it_cannot_tell_it_says(shown, why):
    told = verdict(shown)
    assert told.says == "cannot tell"
    assert why in told.why[0]


def test_a_photograph_held_upside_down_is_read_by_the_labels():
    turned = [Mark(text=m.text, x=-m.x, y=-m.y, along=(-1.0, 0.0), size=70) for m in marks(ROW, UP)]
    assert verdict(turned).right


def test_while_strips_are_lifted_nothing_is_called_right():
    row = [None, *ROW[1:7], "b4"]
    told = checked(marks(row, UP), row, UP, {VERSION}, UNITS)
    assert told.says == "cannot tell"
    told = checked(marks(ROW, UP), row, UP, {VERSION}, UNITS)
    assert told.why == ("a1 lies in the batten; it should be lifted out",)


@given(
    st.permutations(ROW),
    st.lists(st.sampled_from([1, -1]), min_size=8, max_size=8),
    st.integers(1, 8),
)
@settings(max_examples=60, deadline=None)
def test_only_the_planned_arrangement_is_called_right(row, faces, gap):
    planned, up = [*ROW[:3], None, *ROW[3:]], [1] * 9
    shown, turned = list(row), list(faces)
    shown.insert(gap if gap < 8 else 3, None)
    turned.insert(gap if gap < 8 else 3, 1)
    told = checked(marks(shown, turned), planned, up, {VERSION}, UNITS)
    assert told.right == (shown == planned and turned == up)


@pytest.mark.parametrize(
    "junk", [b"", b"\xff\xd8\xff", b"GIF89a", b"\x89PNG\r\n\x1a\n" + b"0" * 99]
)
def test_what_is_no_photograph_is_said(junk):
    with pytest.raises(NotReadable):
        read(junk)


def test_the_labels_that_are_printed_are_read_again():
    """The sheet of labels of the first example, rasterised at 200 dots to the inch."""
    from pathlib import Path

    import pypdfium2

    from crossfell.draft.files import read_file
    from crossfell.papers.labels import labels_of, labels_pdf
    from crossfell.piece import Piece

    file = Path(__file__).parents[2] / "examples/01-first-sampler/first-sampler.toml"
    piece = Piece(read_file(file))
    texts = set()
    for page in pypdfium2.PdfDocument(labels_pdf(piece)):
        out = io.BytesIO()
        page.render(scale=200 / 72).to_pil().convert("L").save(out, "PNG")
        texts |= {mark.text for mark in marks_in(out.getvalue(), enough=lambda _: False)}
    assert texts == {label.mark for label in labels_of(piece)}
