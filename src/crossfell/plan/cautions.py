"""What can hurt her, or somebody under the piece? One text each, for every paper that needs it."""

from __future__ import annotations

CAUTIONS = {
    "weights": (
        "Hanging weights fall. Tether each one, hang them low over a tray, keep hands and feet "
        "from under them, and take them off before anything is crossed."
    ),
    "springs": (
        "The batten is carried on springs under load. Chain it level before you reach between the "
        "strips, wear eye protection, and never release a loaded hook by hand."
    ),
    "rods": (
        "Cut rods have sharp ends and whip. Clamp them for cutting, wear eye protection, deburr "
        "and cap the ends."
    ),
    "adhesive": (
        "Ventilate, keep adhesive off skin and eyes, and read the safety data sheet of your "
        "product. Bare mild steel rusts under water-based adhesive and stains linen."
    ),
    "overhead": (
        "A heavy object over people can hurt. The loads here are computed from the assumptions "
        "named beside them; they approve nothing. Fixings, wall and ceiling are to be judged "
        "under the local code, and over people by a licensed rigger or engineer."
    ),
}
