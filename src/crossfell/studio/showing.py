"""What is shown of an open draft: its numbers, findings, spans and pictures, as plain JSON?

Quick numbers come with every answer; those that need the whole plan (hours, price) are asked for
afterwards, so that a drag never waits for them.
"""

from __future__ import annotations

from typing import Any

from crossfell.base.notes import Note, most_serious_first
from crossfell.base.quantities import written, written_long
from crossfell.draft.kinds import KINDS
from crossfell.draft.script import NotEditable, opened
from crossfell.drawings.look import WALL_LOW, WALL_TOP
from crossfell.drawings.slices import Slice, end_pitch_mm
from crossfell.drawings.views import SAYS, view_of
from crossfell.facts.build import value_of
from crossfell.papers.make import PARTS
from crossfell.piece import Piece
from crossfell.statics.quick import hold_notes
from crossfell.statics.verdict import MOVES, NO_REST, TURNS_OVER
from crossfell.statics.verdict_told import in_words
from crossfell.studio.desk import OpenDraft
from crossfell.studio.remedies import remedy_of

Told = dict[str, Any]
MOST_NOTES = 300
MOST_AT_ONCE = 20_000  # units times spans; ten times the largest example
FINE_PX = 1.1  # single ends are drawn from this distance between them on the screen


def state_of(draft: OpenDraft, *, view: str, style: str, has: int) -> Told:
    """Everything that the screen of a piece shows at once; it has the text of state `has`."""
    piece = draft.piece
    told: Told = {
        "piece": draft.name,
        "revision": draft.state.revision,
        "what": draft.state.what,
        **draft.text_told(has),
        "fault": draft.fault,
        "title": piece.draft.about.title,
        "notes": notes_of(piece, quick_notes(piece)),
        "computable": piece.computable,
        "parts": list(PARTS),
        "warp": _warp(piece),
    }
    if piece.computable:
        told |= {
            "numbers": quick_numbers(piece),
            "spans": _spans(piece),
            "picture": picture_of(draft, view, style),
        }
    return told


def notes_of(piece: Piece, notes: tuple[Note, ...]) -> list[Told]:
    """Findings of a piece as they are shown."""
    return [_note(note, piece) for note in notes[:MOST_NOTES]]


def is_large(piece: Piece) -> bool:
    """Whether plan and hung shape would take minutes: they are left to `crossfell make` then."""
    return len(piece.draft.units) * len(piece.draft.spans) > MOST_AT_ONCE


def quick_notes(piece: Piece) -> tuple[Note, ...]:
    """Findings that are known at once; the rest of `piece.notes` comes with the later numbers."""
    if not piece.computable:
        return piece.notes
    return most_serious_first(
        (
            *piece.draft.notes,
            *piece.order.notes,
            *piece.paths.notes,
            *hold_notes(piece.draft, piece.holds),
        )
    )


def _note(note: Note, piece: Piece) -> Told:
    where = note.where
    elsewhere = bool(where.file) and where.file == piece.draft.workshop_file
    return {
        "code": note.code,
        "severity": note.severity.value,
        "line": where.line,
        "column": where.column,
        "length": where.length,
        "file": where.file if elsewhere else "",
        "span": _span_of(note),
        "says": note.says,
        "known": note.known,
        "instead": note.instead,
        "remedy": remedy_of(note, piece.draft),
    }


def _span_of(note: Note) -> int | None:
    span = note.facts.get("span")
    return span if isinstance(span, int) else None


def _warp(piece: Piece) -> Told:
    draft = piece.draft
    return {
        "places": draft.place_count,
        "measure": draft.measure,
        "yarns": [{"name": y.name, "colour": y.colour} for y in draft.yarns.values()],
        "figures": _figures(draft.text),
        "tools": [
            {
                "name": kind.name,
                "key": kind.key,
                "goes": kind.goes,
                "least": kind.least,
                "says": kind.does,
            }
            for kind in KINDS
            if kind.key
        ],
        "kinds": [{"name": k.name, "ends": k.ends_text} for k in draft.kinds.values()],
    }


def _figures(text: str) -> list[Told]:
    """Figures of the text as it stands; none while it cannot be read."""
    try:
        tables = opened(text).at(("figure",)) or {}
    except NotEditable:
        return []
    return [
        {"name": name, "places": table.get("places"), "spans": len(table.get("spans", []))}
        for name, table in tables.items()
        if isinstance(table, dict)
    ]


def _spans(piece: Piece) -> list[Told]:
    measure = piece.draft.measure
    return [
        {
            "number": span.number,
            "name": span.name,
            "line": span.where.line,
            "height": written(span.height_mm, measure),
            "layable": order.layable,
            "lifted": order.lifted,
            "crossings": len(order.word),
            "turns": int(abs(order.half_turns).sum()),
            "hold": hold.state,
            "lean": round(float(lean) * 57.29577951308232),
        }
        for span, order, hold, lean in zip(
            piece.draft.spans,
            piece.order.spans,
            piece.holds,
            piece.paths.max_lean_rad.tolist(),
            strict=True,
        )
    ]


def quick_numbers(piece: Piece) -> list[Told]:
    """Numbers that change while she drags: each with its words and the way that `why` takes."""
    interlaced, swings = (value_of(piece, f"piece.{name}") for name in ("interlaced", "swinging"))
    width, height = (written(mm, piece.draft.measure) for mm in value_of(piece, "piece.size"))
    lifted, grams = value_of(piece, "piece.lifted"), value_of(piece, "piece.yarn")
    wound = written_long(value_of(piece, "piece.wound"), piece.draft.measure)
    laying = _listed("interlaced", interlaced) if interlaced else "every span layable"
    carrying = _listed("swings", swings) if swings else "every span carried"
    layable, holds = "mind" if interlaced else "good", "bad" if swings else "good"
    return [
        _number("size", "Size", f"{width} × {height}", "piece.size"),
        _number("layable", "Laying", laying, "piece.interlaced", tone=layable),
        _number("holds", "Carrying", carrying, "piece.swinging", tone=holds),
        _number("lifted", "Lifted", f"{lifted} units", "piece.lifted"),
        _number("bobbins", "Wound", wound, "piece.wound"),
        _number("yarn", "Yarn", f"{grams:.0f} g", "piece.yarn"),
    ]


def later_numbers(piece: Piece) -> list[Told]:
    """Hours and price, which need the whole plan."""
    total, materials = (value_of(piece, f"price.{name}") for name in ("total", "materials"))
    amount, way = (materials, "materials") if total is None else (total, "total")
    label = "Materials" if total is None else "Price"
    currency = piece.draft.rates.currency
    said = "open" if amount is None else f"{amount:,.2f} {currency}".replace(",", "\u202f")
    return [
        _hangs(piece),
        _number("hours", "Work", hours(value_of(piece, "plan.minutes")), "plan.minutes"),
        _number("price", label, said, f"price.{way}"),
    ]


def _hangs(piece: Piece) -> Told:
    """How it will hang, from the solved shape: the quick test is only what she drags by."""
    verdict = piece.verdict
    bad = verdict.says in {MOVES, TURNS_OVER, NO_REST}
    return _number("hangs", "Hanging", in_words(verdict, piece.draft.measure), "hung.verdict",
                   tone="good" if verdict.good else "bad" if bad else "mind")  # fmt: skip


def hours(minutes: float) -> str:
    """Minutes as hours and minutes, as she reads them."""
    whole, rest = divmod(round(minutes), 60)
    return f"{whole} h {rest:02d} min" if whole else f"{rest} min"


def picture_of(draft: OpenDraft, view_name: str, style: str) -> Told:
    """Where the slices of a view lie, and where its bands and spans are (mm, y down)."""
    piece = draft.piece
    view, paths = view_of(piece, view_name), piece.paths
    bands = []
    for bottom, top in zip(paths.band_bottom_mm.tolist(), paths.band_top_mm.tolist(), strict=True):
        ys = sorted((view.y(bottom), view.y(top)))
        bands.append([round(y, 2) for y in ys])
    return {
        "view": view_name,
        "style": style,
        "says": SAYS[view_name],
        "width": round(view.width, 2),
        "height": round(view.height, 2),
        "wall": [WALL_TOP, WALL_LOW] if style == "full" else ["#ffffff", "#ffffff"],
        "fine_from": round(FINE_PX / end_pitch_mm(piece), 3),
        "places": [
            round(view.x((place + 0.5) * piece.draft.pitch_mm), 2)
            for place in range(piece.draft.place_count)
        ],
        "across": view.frame.across,
        "up": view.frame.up,
        "bands": bands,
        "slices": slices_told(draft.slices(view_name, style)),
    }


def slices_told(slices: tuple[Slice, ...]) -> list[Told]:
    """Where slices lie (mm, y down), from above, and their keys."""
    return [
        {"left": round(part.left, 2), "top": round(part.top, 2), "width": round(part.width, 2),
         "height": round(part.height, 2), "key": part.key}
        for part in slices
    ]  # fmt: skip


def _listed(word: str, numbers: list[int]) -> str:
    if len(numbers) == 1:
        return f"span {numbers[0]} {word}" if word == "swings" else f"span {numbers[0]} is {word}"
    shown = ", ".join(map(str, numbers[:4])) + ("…" if len(numbers) > 4 else "")
    verb = "swing" if word == "swings" else f"are {word}"
    return f"{len(numbers)} spans {verb}: {shown}"


def _number(key: str, label: str, value: str, why: str, *, tone: str = "plain") -> Told:
    return {"key": key, "label": label, "value": value, "why": why, "tone": tone}
