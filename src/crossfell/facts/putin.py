"""Which values were put into a number, and on which lines of the draft do they stand?"""

from __future__ import annotations

from collections.abc import Callable

from crossfell.facts.given import Given
from crossfell.facts.given import join as _join
from crossfell.facts.given import of as _of
from crossfell.facts.putin_workroom import (
    HANGING,
    loom,
    mass,
    money,
    of_span,
    of_unit,
    winding,
    yarn_or_kind,
)
from crossfell.piece import Piece


def put_in(piece: Piece, way: str) -> Given:
    """Values and lines behind the number at a way of the facts."""
    parts = way.split(".")
    found = _BY_TOP.get(parts[0])
    return found(piece, parts) if found else ([], [])


def _piece(piece: Piece, parts: list[str]) -> Given:
    draft, paths = piece.draft, piece.paths
    if parts[1].startswith("mass"):
        return mass(piece)
    if parts[1] == "width":
        return _join(
            ([("places", str(draft.place_count))], []), _of(draft.warp, "pitch_mm", "order")
        )
    bands = float((paths.band_top_mm - paths.band_bottom_mm).sum())
    spans = sum(span.height_mm for span in draft.spans)
    lines = [span.given["height_mm"] for span in draft.spans if "height_mm" in span.given]
    values = [("bands", f"{len(draft.bands)}, together {bands:g} mm"),
              ("spans", f"{len(draft.spans)}, together {spans:g} mm")]  # fmt: skip
    return _join((values, []), _of(draft.bands[0], "picks", "rod"), ([], lines))


def _units(piece: Piece, parts: list[str]) -> Given:
    draft = piece.draft
    u = next(i for i, unit in enumerate(draft.units) if unit.name == parts[1])
    unit, kind = draft.units[u], draft.kinds[draft.units[u].kind]
    what = parts[-1]
    ends = _of(kind, "ends_text", "strip")
    if what == "winding_error":
        return _join(
            _of(draft.warp, "length_error", "spare"), _of(draft.bands[0], "takeup_error_mm")
        )
    if what in {"winding_length", "yarn_mass"}:
        wound = piece.amounts.windings[u]
        if what == "winding_length":
            values = [("path", f"{wound.path_mm:g} mm"), ("take-up", f"{wound.takeup_mm:g} mm")]
            spent = _of(draft.warp, "sample_mm", "finish_mm", "thrum_mm", "knots_mm", "spare")
            names = {"finish": "finish, twice"}  # one at each end
            lost = [(names.get(name, name), value) for name, value in spent[0]]
            return _join((values + lost, []), ([], spent[1]), ([], [kind.where]))
        masses = [
            (f"{count} ends of {name}", f"{draft.yarns[name].count.tex:g} tex, {mass:g} g")
            for name, count, mass in wound.by_yarn
        ]
        lines = [draft.yarns[name].given["count"] for name, _, _ in wound.by_yarn]
        return _join(([("winding length", f"{wound.total_mm:g} mm"), *masses], lines), ends)
    if what == "weight":
        count = [("ends", str(kind.end_count))]
        return _join((count, []), _of(draft.warp, "tension_n"), ends,
                     _of(draft.loom, "friction", "wrap_rad"))  # fmt: skip
    if what in HANGING:
        return of_unit(piece, u, what)
    if what == "path_length":
        spans = ", ".join(f"{x:.2f}" for x in piece.paths.length_mm[:, u])
        lines = [span.given["height_mm"] for span in draft.spans if "height_mm" in span.given]
        bands = float((piece.paths.band_top_mm - piece.paths.band_bottom_mm).sum())
        values = [("in the spans", f"{spans} mm"), ("in the bands", f"{bands:.2f} mm")]
        return values, [unit.where, *lines]
    moved = [
        move.where
        for k, span in enumerate(draft.spans)
        for m, move in enumerate(span.moves)
        if _moves(piece, k, m, u)
    ]
    values = [("first place", str(unit.place))]
    if what == "positions":
        return _join((values, [unit.where, *moved]), _of(draft.warp, "pitch_mm"))
    return values, [unit.where, *moved]


def _moves(piece: Piece, k: int, m: int, u: int) -> bool:
    span = piece.order.spans[k]
    crossed = (span.move == m) & ((span.over == u) | (span.under == u))
    turned = bool(span.half_turns[u]) and not (span.move == m).any()
    return bool(crossed.any()) or turned


def _bands(piece: Piece, parts: list[str]) -> Given:
    before = piece.draft.spans[: int(parts[1]) - 1]
    lines = [span.where for span in before[-1:]]
    if parts[-1] == "swings_to":
        swinging = [hold for hold in piece.holds if hold.drift_mm]
        spans = [(f"span {h.number}", f"{h.drift_mm:.1f} mm") for h in swinging]
        return spans, [piece.draft.spans[h.number - 1].where for h in swinging]
    return _join(_of(piece.draft.warp, "order"), ([("spans before", str(len(before)))], lines))


def _spans(piece: Piece, parts: list[str]) -> Given:
    k = int(parts[1]) - 1
    span, order = piece.draft.spans[k], piece.order.spans[k]
    moves = [move.where for move in span.moves]
    height = span.given.get("height_mm", span.where)
    what = parts[2]
    if what == "height":
        return _of(span, "height_mm")
    if what in {"pile", "lean_in_space", "least_height"}:
        return of_span(piece, k, what)
    if what == "max_lean":
        u = int(abs(piece.paths.lean_rad[k]).argmax())
        x = piece.paths.x_mm
        values = [("unit", piece.order.names[u]), ("sideways", f"{x[k + 1, u] - x[k, u]:g} mm"),
                  ("height", f"{span.height_mm:g} mm")]  # fmt: skip
        return values, [height, *moves]
    if what in {"holds", "margin", "side_force", "drift", "carried_by"}:
        hold = piece.holds[k]
        values = [("mass below", f"{hold.below_g:.1f} g"),
                  ("side force it can take", f"{hold.margin:.1%} of the weight below"),
                  ("height", f"{span.height_mm:g} mm"), ("it", hold.state)]  # fmt: skip
        return values, [height, *moves]
    values = [("crossings", str(len(order.word))), ("moves", str(len(span.moves)))]
    return values, [span.where, *moves]


def _pairs(piece: Piece, parts: list[str]) -> Given:
    numbers = {name: u for u, name in enumerate(piece.order.names)}
    one, other = (numbers[name] for name in parts[1].split("-"))
    values, lines = [], []
    for k, span in enumerate(piece.order.spans):
        here = ((span.over == one) & (span.under == other)) | (
            (span.over == other) & (span.under == one)
        )
        for i in here.nonzero()[0].tolist():
            sign = "+1" if span.word[i] > 0 else "−1"
            over, under = piece.order.names[span.over[i]], piece.order.names[span.under[i]]
            values.append((f"span {k + 1}", f"{over} over {under}: {sign}"))
            lines.append(piece.draft.spans[k].moves[int(span.move[i])].where)
    return values, lines


def _stock(piece: Piece, parts: list[str]) -> Given:
    draft, what = piece.draft, parts[1]
    if what == "yarn":
        yarn = draft.yarns[parts[2]]
        need = next(need for need in piece.amounts.yarns if need.yarn == parts[2])
        values = [("warp", f"{need.warp_g:g} g"), ("weft", f"{need.weft_g:g} g"),
                  ("linear density", f"{yarn.count.tex:g} tex")]  # fmt: skip
        keys = _of(yarn, "price", "put_up_g", "in_stock_g", "count_error")
        return _join((values, [yarn.given["count"]]), keys, _of(draft.rates, "waste"))
    if what == "rods":
        label = ".".join(parts[2:-1])
        rods = next(rod for rod in piece.amounts.rods if rod.rod.label == label)
        values = [("pieces", str(len(rods.pieces))), ("each", f"{rods.pieces[0]:g} mm")]
        lines = [b.given["rod"] for b in draft.bands if b.rod == rods.rod and "rod" in b.given]
        stock = _of(draft.stock, "rod_length_mm", "kerf_mm", "overhang_mm", "rods", "rod_price")
        return _join((values, lines), stock)
    if what == "strips":
        stock = _of(draft.stock, "heddle_length_mm", "kerf_mm", "heddles", "heddle_price")
        return _join(_of(draft.strips[parts[2]], "width_mm"), stock)
    if what == "weights":
        return _join(_of(draft.warp, "tension_n"), _of(draft.loom, "weights", "bobbin_g"))
    glue = _of(draft.adhesive, "parts", "water", "uptake", "density", "price")
    values = [("yarn in the bands", f"{piece.amounts.adhesive.yarn_g:g} g")]
    return _join((values, []), glue, _of(draft.rates, "waste"))


def _plan(piece: Piece, parts: list[str]) -> Given:
    counts: dict[str, int] = {}
    minutes: dict[str, float] = {}
    for step in piece.plan.steps:
        counts[step.kind] = counts.get(step.kind, 0) + step.count
        minutes[step.kind] = minutes.get(step.kind, 0.0) + step.minutes
    if parts[1] == "handling":
        return _handling(piece, int(parts[2]))
    if parts[1] in {"handled", "hands", "windows"}:
        name = "lifted" if parts[1] == "handled" else parts[1]
        spans = [(f"span {span.span}", str(getattr(span, name))) for span in piece.plan.handling]
        return _join((spans, []), _of(piece.draft.loom, "hand"))
    if parts[1] == "minutes":
        return [(kind, f"{n} × → {minutes[kind]:g} min") for kind, n in counts.items()], []
    return [(kind, str(n)) for kind, n in counts.items()], []


def _handling(piece: Piece, number: int) -> Given:
    span = next(span for span in piece.plan.handling if span.span == number)
    values = [
        ("passes", f"{span.passes}, no fewer than {span.passes_least}"),
        ("strips lifted", f"{span.lifted}, no fewer than {span.lifted_least}"),
        ("hands", f"{span.hands}, no fewer than {span.hands_least}"),
        ("weight windows", f"{span.windows}, no fewer than {span.windows_least}"),
        ("strips to a hand", str(piece.draft.loom.hand)),
    ]
    moves = [move.where for move in piece.draft.spans[number - 1].moves]
    return _join((values, moves), _of(piece.draft.loom, "hand", "lay_aside"))


def _hung(piece: Piece, parts: list[str]) -> Given:
    draft, hung = piece.draft, piece.hung
    values = [("weight", f"{hung.weight_n:.3f} N"), ("spans", str(len(draft.spans))),
              ("left over", f"{hung.residual:.1e} of the weight")]  # fmt: skip
    if parts[1] == "rods":
        swinging = [str(hold.number) for hold in piece.holds if not hold.holds]
        values.append(("spans that swing", ", ".join(swinging) or "none"))
    heights = [span.given["height_mm"] for span in draft.spans if "height_mm" in span.given]
    hang = _of(draft.hang, "cords", "points", "cord_length_mm", "cord_stiffness_n", "rail",
               "as_drawn_mm", "moves_mm", "turns_over_rad")  # fmt: skip
    return _join((values, heights), _of(draft.warp, "tension_n", "length_error", "error_of"), hang)


_BY_TOP: dict[str, Callable[[Piece, list[str]], Given]] = {
    "piece": _piece,
    "units": _units,
    "bands": _bands,
    "spans": _spans,
    "pairs": _pairs,
    "hung": _hung,
    "stock": _stock,
    "plan": _plan,
    "price": money,
    "yarns": yarn_or_kind,
    "kinds": yarn_or_kind,
    "winding": winding,
    "loom": loom,
}
