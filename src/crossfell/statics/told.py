"""In which words are sway and what is neglected told? Every outlet takes them from here."""

from __future__ import annotations

from crossfell.statics.neglected import DAMP, Neglected
from crossfell.statics.sway import DRAUGHT_M_S, Sway
from crossfell.statics.verdict_told import little, percent


def sway_told(sway: Sway, measure: str) -> list[str]:
    """What a touch and a draught do, and both periods."""
    touched = (
        "finds no rest" if sway.touched_mm is None
        else f"moves it {little(sway.touched_mm, measure)}"
    )  # fmt: skip
    aside = f"{sway.aside_s:.1f} s in its plane" if sway.aside_s else "not at all in its plane"
    return [
        f"A touch of {sway.touch_n:.2g} N sideways at the lowest rod (a tenth of the weight) "
        f"{touched}.",
        f"A draught of {DRAUGHT_M_S:g} m/s (about {sway.draught_n:.2g} N) swings its foot "
        f"{little(sway.blown_mm, measure)} out of the plane.",
        f"It swings to and fro once in {sway.out_s:.1f} s out of the plane, {aside}.",
    ]


def neglected_told(left_out: Neglected, measure: str) -> str:
    """What is not computed, with its size, in one line."""
    friction = (
        f"friction at crossings may stop its foot {little(left_out.friction_mm, measure)} to "
        f"either side and change pulls by {percent(left_out.friction_share)}"
        if left_out.friction_mm < float("inf")
        else "friction at crossings alone may hold it"
    )
    damp = " and ".join(
        f"{percent(share)} lowers its foot by {little(mm, measure)}"
        for share, mm in zip(DAMP, left_out.damp_mm, strict=True)
    )
    return (
        f"Not computed: {friction}; yarn that lengthens with damp and time by {damp}, and lets "
        f"more units bow; winding round others takes up to {little(left_out.takeup_mm, measure)} "
        f"of a unit in a span; the yarn's own weight bows a leaning unit by up to "
        f"{little(left_out.sag_mm, measure)}."
    )
