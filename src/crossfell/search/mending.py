"""How are remedies told, with their effect and their cost?"""

from __future__ import annotations

from collections.abc import Mapping

from crossfell.base.quantities import written
from crossfell.piece import Piece
from crossfell.search.fittings import SAGS_MM
from crossfell.search.remedies import Mended, Remedy
from crossfell.search.standing import Standing, standing_of


def told(piece: Piece, found: Mended) -> list[str]:
    """How the piece stands, whether only crossings can help, every remedy, and what was tried."""
    remedies = found.remedies
    now = standing_of(piece)
    lines = [f"As drafted: {standing_told(piece, now)}."]
    if now.swings:
        lines.append(
            "What swings can be held by nothing but its crossings: neither weight, tension, "
            "height nor rods change the directions in which units pull."
        )
    if not remedies:
        lines.append("No remedy was found that helps." if _wants(now) else "Nothing needs mending.")
        return lines + _looked_at(found)
    for number, remedy in enumerate(remedies, 1):
        lines += [
            "",
            f"{number:3}  {remedy.says}   [{remedy.name}]",
            f"     then {standing_told(piece, remedy.after)}",
            f"     {order_told(remedy)}",
            f"     costs {cost_told(remedy)}",
        ]
    lines += ["", "`crossfell mend FILE --apply NAME` writes one into the draft, NAME in brackets."]
    return lines + _looked_at(found)


def order_told(remedy: Remedy) -> str:
    """Whether the picture changes: which unit lies where."""
    if not remedy.reorders:
        return "keeps the order of units at every band"
    bands = "1 band" if remedy.reorders == 1 else f"{remedy.reorders} bands"
    return f"changes the picture: units lie in another order at {bands}"


def _looked_at(found: Mended) -> list[str]:
    lines = [f"Tried: {_kinds(found.tried)}."] if found.tried else []
    if found.left:
        lines.append(f"Not tried, beyond the count: {_kinds(found.left)}; more with --most.")
    return lines


def _kinds(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{kind} {count}" for kind, count in counts.items())


def _wants(now: Standing) -> bool:
    return bool(now.swings or now.bowed or now.top_sag_mm > SAGS_MM)


def standing_told(piece: Piece, now: Standing) -> str:
    """How the piece stands, in one line."""
    measure = piece.draft.measure
    if now.swings:
        spans = ", ".join(map(str, now.swings))
        first = f"{'spans' if len(now.swings) > 1 else 'span'} {spans} {'swing' if len(now.swings) > 1 else 'swings'}"  # noqa: E501
    else:
        first = "every span is carried"
    barely = f" ({len(now.barely)} barely)" if now.barely else ""
    return (
        f"{first}{barely}; rods drift by up to {written(now.drift_mm, measure)}; "
        f"{now.bowed} units bow; the top rod bends by {written(now.top_sag_mm, measure)}; "
        f"a push of 1 N at the lowest rod moves it "
        f"{written(now.loosest_mm_per_n, measure)}; it {shrinks(now.shrinkage_mm, measure)}"
    )


def shrinks(by_mm: float, measure: str) -> str:
    """How the whole height changes on cutting down; a piece that swings can get longer."""
    return f"{'shrinks' if by_mm >= 0 else 'lengthens'} by {written(abs(by_mm), measure)}"


def cost_told(remedy: Remedy) -> str:
    """What a remedy costs, in one line."""
    parts = []
    if remedy.more_lifted:
        parts.append(f"{remedy.more_lifted:+d} strips lifted")
    if abs(remedy.more_yarn_g) >= 0.5:
        parts.append(f"{remedy.more_yarn_g:+.0f} g of yarn")
    rods = remedy.after.rods_g - remedy.before.rods_g
    if abs(rods) >= 0.5:
        parts.append(f"{rods:+.0f} g of rods")
    return ", ".join(parts) or "no handling and no yarn"
