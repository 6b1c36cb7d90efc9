"""Which values were put into the numbers of yarns, winding, loom and price?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from crossfell.facts.given import Given, join, of
from crossfell.loom.bobbins import free_length_mm
from crossfell.materials.tables import Fibre, fibre_of
from crossfell.materials.yarn import (
    SPUN_MODULUS,
    SPUN_TENACITY,
    breaking_n,
    diameter_mm,
    stiffness_n,
)
from crossfell.piece import Piece

HANGING = {
    "ends", "mass", "hung", "share", "fell_least", "fell_most", "left", "on_bobbin",
    "bobbin_volume", "runs_out",
}  # fmt: skip


def yarn_or_kind(piece: Piece, parts: list[str]) -> Given:
    """Count and fibre of a yarn, or ends and strip of a kind."""
    draft = piece.draft
    if parts[0] == "kinds":
        kind = draft.kinds[parts[1]]
        return join(of(kind, "ends_text"), of(draft.strips[kind.strip], "width_mm", "dents"))
    yarn = draft.yarns[parts[1]]
    fibre = fibre_of(yarn.fibre)
    values = [("linear density", f"{yarn.count.tex:g} tex")]
    key = next((key for key in _SOURCE if parts[2].startswith(key)), "")
    if key:
        field, value = _SOURCE[key]
        found = value(yarn.count.tex, yarn.fibre, getattr(yarn, field))
        values += [
            *_fibre_values(fibre if found.how == "computed" else None, key),
            ("source", found.source),
        ]
        return join((values, [yarn.given["count"]]), of(yarn, "fibre", field))
    if fibre:
        values += [("regain", f"{fibre.regain:g}"), ("source", fibre.source)]
    return join((values, [yarn.given["count"]]), of(yarn, "fibre"))


def _fibre_values(fibre: Fibre | None, key: str) -> list[tuple[str, str]]:
    """The numbers of the fibre that stand in a formula."""
    if fibre is None:
        return []
    if key == "diameter":
        least, most = fibre.packing
        return [("density ρ", f"{fibre.density:g} g/cm³"), ("packing φ", f"{least:g} to {most:g}")]
    share = {"stiffness": SPUN_MODULUS, "breaking": SPUN_TENACITY}[key]
    of_fibre = fibre.modulus if key == "stiffness" else fibre.tenacity
    middle = (share[0] + share[1]) / 2
    return [("of the fibre", f"{of_fibre:g} N/tex"),
            ("share", f"{middle:g} ({share[0]:g} to {share[1]:g})")]  # fmt: skip


_SOURCE = {
    "diameter": ("diameter_mm", diameter_mm),
    "stiffness": ("modulus_n_per_tex", stiffness_n),
    "breaking": ("tenacity_n_per_tex", breaking_n),
}


def of_unit(piece: Piece, u: int, what: str) -> Given:
    """What hangs on a unit and what is left on its bobbin."""
    draft, wound = piece.draft, piece.bobbins.windings[u]
    kind = draft.kinds[draft.units[u].kind]
    if what == "ends":
        turns = ", ".join(f"{k:g}" for k in piece.paths.half_turns[:, u])
        values = [("centre line", f"{piece.paths.total_mm[u]:.2f} mm"), ("half turns", turns)]
        return join((values, []), of(draft.strips[kind.strip], "width_mm"), of(kind, "ends_text"))
    if what == "mass":
        values = [("path", f"{wound.path_mm:g} mm"), ("take-up", f"{wound.takeup_mm:g} mm")]
        tex = [(name, f"{draft.yarns[name].count.tex:g} tex") for name, _, _ in wound.by_yarn]
        return join(([*values, *tex], []), of(kind, "ends_text"))
    if what in {"left", "on_bobbin", "bobbin_volume"}:
        values = [("wound", f"{wound.total_mm:g} mm"), ("ends", str(wound.ends))]
        values += [("fell to bobbin", f"{free_length_mm(draft.loom):g} mm")]
        spent = of(draft.warp, "sample_mm", "finish_mm", "knots_mm")
        return join((values, []), spent, of(kind, "ends_text"))
    if what == "runs_out":
        drawn = piece.loom.letoff.drawn_mm[:, u]
        return join(([("drawn by spans", ", ".join(f"{d:.0f}" for d in drawn))], []),
                    of(draft.loom, "drop_mm"))  # fmt: skip
    mass = piece.bobbins.mass_g[:, u]
    values = [
        ("asked for", f"{piece.loom.weight_g[u]:.1f} g"),
        ("weight", " + ".join(f"{each:g}" for each in piece.loom.handed.hung[u]) + " g"),
        ("bobbin and yarn, first to last", f"{mass[0]:.1f} to {mass[-1]:.1f} g"),
    ]
    beam = of(draft.loom, "friction", "wrap_rad", "howell_a", "howell_power", "weights", "bobbin_g")
    return join((values, []), of(draft.warp, "tension_n"), beam)


def of_span(piece: Piece, k: int, what: str) -> Given:
    """Pile and lean of a span."""
    span, spot = piece.draft.spans[k], piece.paths.pile_at[k]
    lines = [span.given.get("height_mm", span.where), *(move.where for move in span.moves)]
    if what == "pile":
        there = "nobody meets" if spot is None else f"{spot[0]} units at {spot[1]:.0f} mm"
        return [("there", there)], lines
    steep = piece.paths.steep_mm[k]
    u = int(np.argmax(steep))
    values = [("unit", piece.order.names[u]), ("steepest", f"{steep[u]:.2f} mm per height"),
              ("height", f"{span.height_mm:g} mm"),
              ("forces found to", f"{piece.paths.pressing.residual:.1e}")]  # fmt: skip
    return join((values, lines), of(piece.draft.loom, "lean_limit_rad"))


def mass(piece: Piece) -> Given:
    """Parts of the finished piece."""
    whole = piece.weighed
    values = [
        ("units", f"{whole.units_g.sum():.1f} g"), ("weft", f"{whole.weft_g:.1f} g"),
        ("rods", f"{whole.rods_g:.1f} g"), ("dry adhesive", f"{whole.adhesive_g:.1f} g"),
        ("from a dry room to a damp one", f"{whole.damp_g:.1f} g"),
    ]  # fmt: skip
    return join((values, []), of(piece.draft.adhesive, "solids", "density", "uptake"))


def winding(piece: Piece, parts: list[str]) -> Given:
    """Groups of bobbins and their order."""
    share = of(piece.draft.loom, "alike")
    if parts[1] != "groups":
        return join(([("kinds", str(len({u.kind for u in piece.draft.units})))], []), share)
    group = piece.winding.groups[int(parts[2]) - 1]
    lengths = [piece.bobbins.windings[u].total_mm for u in group.units]
    values = [("bobbins", str(len(lengths))), ("shortest", f"{min(lengths):.0f} mm"),
              ("longest", f"{max(lengths):.0f} mm")]  # fmt: skip
    return join((values, []), share, of(piece.draft.kinds[group.kind], "ends_text"))


def loom(piece: Piece, parts: list[str]) -> Given:
    """Shed, weights, the shared-weight limit, let-off."""
    table = piece.draft.loom
    if parts[1] == "letoff":
        return of(table, "drop_mm")
    if parts[1] in {"spread", "weights_short"}:
        return join(of(piece.draft.warp, "tension_n"), of(table, "weights", "bobbin_g"))
    if parts[1] == "friction_how":
        return of(table, "friction", "howell_a", "howell_power")
    where = of(table, "fell_to_heddle_mm", "heddle_to_back_mm", "rise_mm", "sink_mm")
    if parts[1] == "shared":
        kind = piece.draft.kinds[parts[2]]
        values = []
        for _, name in kind.ends:
            yarn = piece.draft.yarns[name]
            k = stiffness_n(yarn.count.tex, yarn.fibre, yarn.modulus_n_per_tex)
            values.append(
                (f"EA of {name}", f"{k.value:.0f} N ({k.low:.0f} to {k.high:.0f}), {k.how}")
            )
        units = [u for u, unit in enumerate(piece.draft.units) if unit.kind == parts[2]]
        free = of(table, "back_to_weight_mm")
        return join((values, []), _pull(piece, units), where, free)
    shed = piece.loom.shed
    values = [("ends in holes", str(shed.hole_ends)), ("batten", f"{shed.batten_n:.2f} N")]
    more = of(table, "shuttle_at_mm", "spring_n_per_mm", "batten_g")
    return join((values, []), where, more, _pull(piece, range(len(piece.draft.units))))


def _pull(piece: Piece, units: Sequence[int]) -> Given:
    """Tension of one end as the chosen weights give it, and what they were chosen for."""
    each = piece.loom.tension_n[list(units)]
    low, high = f"{each.min():.4g}", f"{each.max():.4g}"
    shown = f"{low} N" if low == high else f"{low} to {high} N"
    asked = of(piece.draft.warp, "tension_n")
    weights = of(piece.draft.loom, "weights", "bobbin_g")
    return join(([("an end under its weight", shown)], []), asked, weights)


def money(piece: Piece, parts: list[str]) -> Given:
    """Materials, hours and rates."""
    amounts, rates = piece.amounts, piece.draft.rates
    if parts[1] != "materials":
        low, likely, high = piece.quote().hours
        bought = "open" if amounts.price is None else f"{amounts.price:.2f}"
        values = [("hours", f"{likely:.2f} ({low:.2f} to {high:.2f})"), ("materials", bought)]
        work = of(rates, "hour", "learning", "overhead", "profit", "profit_on")
        rest = of(rates, "delivery", "installation", "tax", "deposit", "rounding", "minor")
        return join((values, []), work, rest, of(rates, "valid_days"))
    rows = [
        *((f"yarn {need.yarn}", need.price) for need in amounts.yarns),
        *((f"rod {need.rod.label}", need.price) for need in amounts.rods),
        *((f"heddle for {need.strip}", need.price) for need in amounts.strips),
        ("adhesive", amounts.adhesive.price),
    ]
    values = [(name, "open" if price is None else f"{price:.2f}") for name, price in rows]
    lines = [yarn.given["price"] for yarn in piece.draft.yarns.values() if "price" in yarn.given]
    return values, lines
