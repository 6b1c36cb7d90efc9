"""Which edits can be asked for by name, and what does each do to the text of a draft?

An edit comes from a browser as `{"do": name, …}`. Each becomes a change of the text by
`draft.edit`, and a few words for the list of what was done. Sides are those of the view that she
looks at: from behind, or where a piece hangs with its first band uppermost, her right may be the
weaver's left; here they become the weaver's.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from crossfell.base.frame import Frame
from crossfell.draft import edit
from crossfell.draft.edit_repeats import has_repeats, repeat_count
from crossfell.draft.edit_yarns import next_name, yarn_like, yarn_of_units
from crossfell.draft.forms import MODIFIERS, Amount, Block, Every
from crossfell.draft.kinds import CROSSING, FIGURE, KINDS
from crossfell.draft.moves import Unread, parsed
from crossfell.drawings.views import View, view_of
from crossfell.piece import Piece
from crossfell.studio.folder import Refused
from crossfell.studio.tables import written_change
from crossfell.studio.wording import stepped, written_exactly

Asked = Mapping[str, Any]
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
MOST_LETTERS = 400  # of any word in what is asked


@dataclass(frozen=True, slots=True)
class Edit:
    """A change of the text, and what it is called."""

    change: Callable[[str], str]
    what: str


def edit_of(asked: Asked, piece: Piece) -> Edit:
    """The edit that is asked for. Errors: Refused when it makes no sense."""
    name = str(asked.get("do", ""))
    maker = EDITS.get(name)
    if maker is None:
        raise Refused(f"there is no edit called {name[:40]}")
    return _told_of_repeats(maker(asked, piece), piece.draft.text)


def _told_of_repeats(found: Edit, text: str) -> Edit:
    """The edit; where it writes a repeat out, it says so."""
    if not has_repeats(text):
        return found
    try:
        after = found.change(text)
    except edit.NotEditable:
        return found  # it is refused when it is made
    fewer = repeat_count(after) < repeat_count(text)
    return replace(found, what=f"{found.what}; its repeat is written out") if fewer else found


def _made(asked: Asked, piece: Piece) -> Edit:
    """A move of any kind that is made of chosen places, towards a side of the view."""
    kind = TOOLS[str(asked["do"])]
    chosen, frame = Block(*_places(asked)), _view(asked, piece).frame
    if chosen.last - chosen.first < kind.least - 1:
        raise Refused(f"a {kind.name} needs two places or more")
    fills: dict[str, Callable[[], Any]] = {
        "block": lambda: chosen,
        "turning": lambda: _sign(asked),  # a turn twists the same way from every side
        "side": lambda: frame.side(_sign(asked)),
        "times": lambda: 1,
        "amount": lambda: _amount(_word(asked, "by", "1")),
        "over": lambda: _over(asked, frame),
        "way": lambda: _over(asked, frame),
        "other": lambda: _beside(chosen, frame.side(_by(asked)), piece),
    }
    move = kind.said(*(fills[slot]() for slot in kind.parts.names))
    return _move(_number(asked, "span"), move.text())


def _places(asked: Asked) -> tuple[int, int]:
    return _number(asked, "first"), _number(asked, "last")


def _by(asked: Asked) -> int:
    """How many neighbours, to the right of the view or (less than 0) to its left."""
    return _number(asked, "by", 1) * (_sign(asked) if "side" in asked else 1)


def _over(asked: Asked, frame: Frame) -> bool:
    return frame.over(1 if asked.get("over", True) else -1) > 0


def _beside(chosen: Block, by: int, piece: Piece) -> Block:
    """The neighbours of the chosen places, as many as there are of those asked for."""
    last = min(chosen.last + by, piece.draft.place_count)
    low, high = (chosen.last + 1, last) if by > 0 else (max(chosen.first + by, 1), chosen.first - 1)
    if by == 0 or low > high:
        raise Refused("there is no place on that side")
    return Block(low, high)


def _amount(by: str) -> Amount:
    """How far, as she wrote it; a number alone is places here."""
    said = parsed(f"shift 1 right {by}")
    if isinstance(said, Unread) or len(said) != 1 or said[0].amount is None:
        raise Refused("a shift goes by places, as `1`, or by a length, as `12 mm`")
    return said[0].amount


def _lay_figure(asked: Asked, piece: Piece) -> Edit:
    del piece
    words = tuple(word for word in MODIFIERS if asked.get(word))
    every = Every(_number(asked, "every"), _number(asked, "to")) if "every" in asked else None
    move = FIGURE.said(_word(asked, "name"), _number(asked, "first"), every, words)
    return _move(_number(asked, "span"), move.text())


def _free_move(asked: Asked, piece: Piece) -> Edit:
    del piece
    return _move(_number(asked, "span"), _word(asked, "move"))


def _move(span: int, move: str) -> Edit:
    return Edit(lambda text: edit.add_move(text, span, move), f"{move} in span {span}")


def _change_move(asked: Asked, piece: Piece) -> Edit:
    del piece
    span, number, move = _number(asked, "span"), _number(asked, "number"), _word(asked, "move")
    return Edit(lambda text: edit.change_move(text, span, number, move), f"{move} in span {span}")


def _remove_move(asked: Asked, piece: Piece) -> Edit:
    del piece
    span, number = _number(asked, "span"), _number(asked, "number")
    return Edit(
        lambda text: edit.remove_move(text, span, number), f"a move of span {span} taken out"
    )


def _height(asked: Asked, piece: Piece) -> Edit:
    """A height as she wrote it; in the draft's own measure it is a bare number there."""
    span, height = _number(asked, "span"), _word(asked, "height").strip()
    bare = re.fullmatch(rf"(\d+(?:\.\d+)?)\s*(?:{piece.draft.measure})?", height)
    value: float | str = height
    if bare:
        value = float(bare[1]) if "." in bare[1] else int(bare[1])
    return Edit(lambda text: edit.set_height(text, span, value), f"span {span} {height} high")


def _height_step(asked: Asked, piece: Piece) -> Edit:
    """Some steps higher or lower: a centimetre, or half an inch, each."""
    span, steps = _span(asked, piece), _number(asked, "steps")
    inches = piece.draft.measure == "in"
    old = piece.draft.spans[span - 1].height_mm
    new = stepped(old + steps * (12.7 if inches else 10.0), piece.draft.measure)
    return _height({"span": span, "height": written_exactly(new, piece.draft.measure)}, piece)


def _recolour(asked: Asked, piece: Piece) -> Edit:
    yarn, colour = _word(asked, "yarn"), _word(asked, "colour")
    if not _COLOUR.fullmatch(colour):
        raise Refused("a colour is written as #4a5560")
    if yarn not in piece.draft.yarns:
        raise Refused(f"there is no yarn {yarn}")
    return Edit(
        lambda text: edit.set_key(text, f"yarn.{_quoted(yarn)}.colour", colour),
        f"{yarn} in {colour}",
    )


def _recolour_units(asked: Asked, piece: Piece) -> Edit:
    """The chosen units in another yarn of the draft, or in a new one of another colour."""
    if not piece.computable:
        raise Refused("the draft has errors; set them right first")
    row = piece.order.by_place(_span(asked, piece), piece.draft.place_count)
    chosen = row[max(0, _number(asked, "first") - 1) : _number(asked, "last")]
    units = {piece.order.names[u] for u in chosen if u is not None}
    was, yarn, colour = (_word(asked, key, "") for key in ("was", "yarn", "colour"))
    behind, name = piece.draft.workshop_text, _word(asked, "name", "").strip()
    if not colour:
        if yarn not in piece.draft.yarns:
            raise Refused(f"there is no yarn {yarn}")
        change = partial(yarn_of_units, units=units, old=was, new=yarn, workshop=behind)
        return Edit(change, f"{len(units)} units in {yarn} for {was}")
    if not _COLOUR.fullmatch(colour):
        raise Refused("a colour is written as #4a5560")
    new = name or next_name(piece.draft.yarns, was)

    def dyed(text: str) -> str:
        text = yarn_like(text, was, colour, new, workshop=behind)
        return yarn_of_units(text, units, was, new, workshop=behind)

    return Edit(dyed, f"{len(units)} units in {new}, {colour}")


def _insert_span(asked: Asked, piece: Piece) -> Edit:
    at, height = _number(asked, "at"), _word(asked, "height", "")
    if not height:
        if not piece.draft.spans:
            raise Refused("say how high the first span is")
        near = piece.draft.spans[min(max(at - 2, 0), len(piece.draft.spans) - 1)]
        height = f"{near.height_mm:g} mm"
    return Edit(lambda text: edit.insert_span(text, at, height), f"a new span {at}")


def _copy_span(asked: Asked, piece: Piece) -> Edit:
    del piece
    span, last = _span_range(asked)

    def change(text: str) -> str:
        for k in range(last - span + 1):
            text = edit.copy_span(text, span + k, last + 1 + k)
        return text

    return Edit(change, f"{_spans(span, last)} copied")


def _delete_span(asked: Asked, piece: Piece) -> Edit:
    del piece
    span, last = _span_range(asked)

    def change(text: str) -> str:
        for k in range(last, span - 1, -1):
            text = edit.delete_span(text, k)
        return text

    return Edit(change, f"{_spans(span, last)} taken out")


def _move_span(asked: Asked, piece: Piece) -> Edit:
    del piece
    span, to = _number(asked, "span"), _number(asked, "to")
    return Edit(lambda text: edit.move_span(text, span, to), f"span {span} becomes span {to}")


def _make_figure(asked: Asked, piece: Piece) -> Edit:
    del piece
    name, (span, last) = _word(asked, "name"), _span_range(asked)
    first, end = _number(asked, "first"), _number(asked, "last")
    return Edit(
        lambda text: edit.make_figure(text, name, span, last, (first, end)),
        f"figure {name} made of {_spans(span, last)}",
    )


def _mirror(asked: Asked, piece: Piece) -> Edit:
    del piece
    span, last = _span_range(asked)
    first, end = _number(asked, "first"), _number(asked, "last")
    reverse = asked.get("do") == "reverse"
    change = edit.reverse if reverse else edit.mirror
    return Edit(
        lambda text: change(text, span, last, (first, end)),
        f"{_spans(span, last)} {'reversed' if reverse else 'mirrored'}",
    )


def _set(asked: Asked, piece: Piece) -> Edit:
    del piece
    path, value = _word(asked, "path"), asked.get("value")
    if not isinstance(value, (str, int, float, bool)):
        raise Refused("a value is a text, a number, or yes or no")
    return Edit(lambda text: edit.set_key(text, path, value), f"{path} set")


def _write(asked: Asked, piece: Piece) -> Edit:
    """A key set to what she wrote in a table; nothing takes the key out."""
    del piece
    path, text = _word(asked, "path"), _word(asked, "text")
    return Edit(lambda old: written_change(old, path, text), f"{path} {text or 'taken out'}")


def _add_table(asked: Asked, piece: Piece) -> Edit:
    """A new yarn, strip or unit, made of what the draft has."""
    family, name = _word(asked, "family"), _word(asked, "name").strip()
    strip, yarn = next(iter(piece.draft.strips), "inch"), next(iter(piece.draft.yarns), "slate")
    dents = piece.draft.strips[strip].dents if strip in piece.draft.strips else 18
    keys: dict[str, dict[str, object]] = {
        "yarn": {"count": "lea 16/2", "fibre": "linen", "colour": "#8a8172"},
        "strip": {"width": "1 in", "dents": 18},
        "unit": {"strip": strip, "ends": f"{dents} {yarn}"},
    }
    if family not in keys:
        raise Refused("a new table is a yarn, a strip or a unit")
    new = keys[family]
    return Edit(lambda old: edit.add_table(old, family, name, new), f"{family} {name}")


def _replace(asked: Asked, piece: Piece) -> Edit:
    """A remedy: other words at one place of the text."""
    del piece
    line, column, length = (_number(asked, key) for key in ("line", "column", "length"))
    new = _word(asked, "text")

    def change(text: str) -> str:
        rows = text.split("\n")
        if not 1 <= line <= len(rows):
            raise Refused("that line is not there any more")
        row = rows[line - 1]
        old = row[column - 1 : column - 1 + length]
        quote = old[:1] if old[:1] in {'"', "'"} and old[-1:] == old[:1] else ""
        rows[line - 1] = row[: column - 1] + quote + new + quote + row[column - 1 + length :]
        return "\n".join(rows)

    return Edit(change, f"{new} in line {line}")


TOOLS = {"cross": CROSSING} | {kind.name: kind for kind in KINDS if kind.key}
EDITS: dict[str, Callable[[Asked, Piece], Edit]] = dict.fromkeys(TOOLS, _made) | {
    "add-table": _add_table,
    "change-move": _change_move,
    "copy-span": _copy_span,
    "delete-span": _delete_span,
    "figure": _lay_figure,
    "height": _height,
    "height-step": _height_step,
    "insert-span": _insert_span,
    "make-figure": _make_figure,
    "mirror": _mirror,
    "move": _free_move,
    "move-span": _move_span,
    "recolour": _recolour,
    "recolour-units": _recolour_units,
    "remove-move": _remove_move,
    "replace": _replace,
    "reverse": _mirror,
    "set": _set,
    "write": _write,
}


def _number(asked: Asked, key: str, default: int | None = None) -> int:
    value = asked.get(key, default)
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > 100_000:
        raise Refused(f"`{key}` is a whole number")
    return value


def _word(asked: Asked, key: str, default: str | None = None) -> str:
    value = asked.get(key, default)
    value = str(value) if isinstance(value, (int, float)) else value
    if not isinstance(value, str) or len(value) > MOST_LETTERS or "\n" in value:
        raise Refused(f"`{key}` is a short text")
    return value


def _sign(asked: Asked) -> int:
    if asked.get("side") not in {"left", "right"}:
        raise Refused("a side is left or right")
    return 1 if asked["side"] == "right" else -1


def _span(asked: Asked, piece: Piece) -> int:
    span = _number(asked, "span")
    if not 1 <= span <= len(piece.draft.spans):
        raise Refused(f"there is no span {span}")
    return span


def _span_range(asked: Asked) -> tuple[int, int]:
    span = _number(asked, "span")
    last = _number(asked, "span_to", span)
    return min(span, last), max(span, last)


def _spans(first: int, last: int) -> str:
    return f"span {first}" if first == last else f"spans {first}-{last}"


def _view(asked: Asked, piece: Piece) -> View:
    try:
        return view_of(piece, str(asked.get("view", "front")))
    except ValueError as problem:
        raise Refused(str(problem)) from None


def _quoted(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else f'"{name}"'
