"""Every computed number of a piece as plain lists and tables.

Lengths in mm, forces in N, masses in g, angles in rad; the form is published in schema.json.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from crossfell.facts import workroom
from crossfell.facts.numbers import rounded
from crossfell.statics.verdict_told import in_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from crossfell.piece import Piece

Facts = dict[str, Any]


def facts_of(piece: Piece) -> Facts:
    """Build the facts of a piece; a stage that an error stands in the way of is null."""
    facts: Facts = {"facts": 1, "notes": _notes(piece)}
    if not piece.computable:
        return facts
    facts |= {
        "piece": _about(piece),
        "yarns": workroom.yarns(piece),
        "kinds": workroom.kinds(piece),
        "units": _units(piece),
        "bands": _bands(piece),
        "spans": _spans(piece),
        "pairs": _pairs(piece),
        "winding": workroom.winding(piece),
        "loom": workroom.loom(piece),
        "hung": _hung(piece),
        "stock": _stock(piece),
        "plan": _plan(piece),
        "price": workroom.price(piece),
    }
    return facts


def written(facts: Facts) -> str:
    """Write facts as JSON: the same bytes for the same draft."""
    return json.dumps(facts, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def as_text(facts: Facts) -> str:
    """Write facts for reading: one line per number, the way that `why` takes it."""
    return "\n".join(f"{path} = {_shown(value)}" for path, value in leaves(facts))


def leaves(facts: Any, path: str = "") -> Iterable[tuple[str, Any]]:
    """Walk every single value with its way from the top; list items go by name or number."""
    if isinstance(facts, dict):
        for name, value in facts.items():
            yield from leaves(value, f"{path}.{name}" if path else name)
    elif isinstance(facts, list) and facts and isinstance(facts[0], dict):
        for index, item in enumerate(facts, 1):
            yield from leaves(item, f"{path}.{label_of(item, index)}")
    else:
        yield path, facts


def label_of(item: Facts, index: int) -> str:
    """How an item of a list is called in a way: by name, number, pair or position."""
    if "name" in item:
        return str(item["name"])
    if "units" in item and isinstance(item["units"], list):
        return "-".join(map(str, item["units"]))
    return str(item.get("number", item.get("band", index)))


def _shown(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _about(piece: Piece) -> Facts:
    return {
        "title": piece.draft.about.title,
        "width": rounded(piece.paths.width_total_mm),
        "height": rounded(piece.paths.height_total_mm),
        "woven_from": piece.draft.about.woven_from,
        **workroom.mass(piece),
    }


def _units(piece: Piece) -> list[Facts]:
    order, paths = piece.order, piece.paths
    turns = sum((span.half_turns for span in order.spans), start=0 * order.place[0])
    windings = piece.amounts.windings
    return [
        {
            "name": unit.name,
            "kind": unit.kind,
            "places": order.place[:, u].tolist(),
            "faces": order.face[:, u].tolist(),
            "positions": [rounded(x) for x in paths.x_mm[:, u]],
            "path_length": rounded(paths.total_mm[u]),
            "winding_length": rounded(windings[u].total_mm),
            "winding_error": rounded(piece.sure.winding_mm[u]),
            "yarn_mass": rounded(windings[u].mass_g),
            "half_turns": int(turns[u]),
            "weight": rounded(piece.loom.weight_g[u]),
            **workroom.of_unit(piece, u),
        }
        for u, unit in enumerate(piece.draft.units)
    ]


def _bands(piece: Piece) -> list[Facts]:
    names, count = piece.order.names, piece.draft.place_count
    return [
        {
            "number": band + 1,
            "order": [None if u is None else names[u] for u in piece.order.by_place(band, count)],
            "swings_to": aside,
        }
        for band, aside in enumerate(workroom.swung(piece))
    ]


def _spans(piece: Piece) -> list[Facts]:
    names = piece.order.names
    spans, carried = [], workroom.carried(piece)
    for k, span in enumerate(piece.order.spans):
        turned = {names[u]: int(t) for u, t in enumerate(span.half_turns) if t}
        layers = span.layers
        spans.append(
            {
                "number": span.number,
                "height": rounded(piece.draft.spans[k].height_mm),
                "word": list(span.word),
                "half_turns": turned,
                "layable": span.layable,
                "cycle": None if span.cycle is None else [names[u] for u in span.cycle],
                "layers": None if layers is None else [[names[u] for u in row] for row in layers],
                "lifted": span.lifted,
                "passes": len(span.passes),
                "twice": [names[u] for u in span.twice],
                "holds": piece.holds[k].holds,
                "max_lean": rounded(piece.paths.max_lean_rad[k]),
                **workroom.of_span(piece, k),
                **carried[k],
            }
        )
    return spans


def _pairs(piece: Piece) -> list[Facts]:
    """Pairs that cross, over the piece; `undone`: spans of each two crossings that could go."""
    names = piece.order.names
    return [
        {
            "units": [names[unit] for unit in pair.units],
            "crossings": pair.crossings,
            "signed": pair.signed,
            "wraps": pair.wraps,
            "linking": pair.linking,
            "undone": [[first.span, second.span] for first, second in pair.undone],
        }
        for pair in piece.pairs
    ]


def _hung(piece: Piece) -> Facts:
    """Where everything comes to rest: mm from the drawn place on the wall, right and up, rad."""
    hung, verdict = piece.hung, piece.verdict
    return {
        "verdict": in_words(verdict, piece.draft.measure),
        "moved": rounded(verdict.moved_mm),
        "agrees": rounded(verdict.shares.get(verdict.word, 0.0)) if verdict.runs else None,
        "converged": hung.converged,
        "residual": float(f"{hung.residual:.1e}"),
        "iterations": hung.iterations,
        "rods": [
            {"band": band, "x": rounded(x), "y": rounded(y), "tilt": rounded(tilt, 9)}
            for band, (x, y, tilt) in enumerate(hung.rods.tolist(), 1)
        ],
        "tensions": [[rounded(n) for n in row] for row in hung.tension_n.tolist()],
        "slack": [[rounded(mm) for mm in row] for row in hung.slack_mm.tolist()],
        "cords": [rounded(n) for n in hung.cords_n.tolist()],
        "loosest": rounded(hung.loosest_mm_per_n),
        "softest": rounded(hung.softest_n_per_mm, 9),
        "shrinkage": rounded(hung.shrinkage_mm),
        "weight": rounded(hung.weight_n),
    }


def _stock(piece: Piece) -> Facts:
    amounts = piece.amounts
    glue = amounts.adhesive
    return {
        "yarn": [
            {
                "name": need.yarn,
                "warp": rounded(need.warp_g),
                "weft": rounded(need.weft_g),
                "need": rounded(need.need_g),
                "need_error": rounded(piece.sure.yarn_g[need.yarn]),
                "in_stock": rounded(need.in_stock_g),
                "buy": rounded(need.buy_g),
                "put_ups": need.put_ups,
                "price": rounded(need.price),
            }
            for need in amounts.yarns
        ],
        "rods": [
            {
                "name": need.rod.label,
                "pieces": [rounded(piece_mm) for piece_mm in need.pieces],
                "mass": rounded(need.mass_g),
                "buy": need.plan.bought,
                "least": need.plan.bound,
                "proved": need.plan.proved,
                "price": rounded(need.price),
            }
            for need in amounts.rods
        ],
        "strips": [
            {
                "name": need.strip,
                "count": need.count,
                "width": rounded(need.width_mm),
                "buy": need.plan.bought,
                "least": need.plan.bound,
                "proved": need.plan.proved,
                "price": rounded(need.price),
            }
            for need in amounts.strips
        ],
        "weights": _weights(piece),
        "adhesive": {
            "yarn": rounded(glue.yarn_g),
            "liquid": rounded(glue.liquid_cm3),
            "neat": rounded(glue.neat_cm3),
            "water": rounded(glue.water_cm3),
            "price": rounded(glue.price),
        },
    }


def _weights(piece: Piece) -> list[Facts]:
    counts: dict[float, int] = {}
    for weight in (mass for parts in piece.loom.handed.hung for mass in parts):
        mass = round(weight, 0)
        counts[mass] = counts.get(mass, 0) + 1
    return [{"number": i, "mass": m, "count": n} for i, (m, n) in enumerate(counts.items(), 1)]


def _plan(piece: Piece) -> Facts:
    plan = piece.plan
    return {
        "steps": len(plan.steps),
        "handled": plan.handled,
        "hands": plan.hands,
        "windows": plan.windows,
        "minutes": rounded(plan.minutes),
        "walks": plan.walks,
        "handling": [
            {
                "number": span.span,
                "model": span.model,
                "lifted": span.lifted,
                "hands": span.hands,
                "windows": span.windows,
                "proved": span.proved,
                "says": span.says,
            }
            for span in plan.handling
        ],
    }


def _notes(piece: Piece) -> list[Facts]:
    return [
        {
            "code": note.code,
            "severity": note.severity.value,
            "line": note.where.line,
            "column": note.where.column,
            "message": note.message,
        }
        for note in piece.notes
    ]
