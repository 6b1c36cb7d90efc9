"""Every sentence that Crossfell says about a draft: one entry per code, in one place.

`says` is what is wrong; `known` the numbers, units and limits behind it; `instead` what would be
right. Words in braces are facts of the note. Craft words, no blame, no internals.
Keep the entries sorted by code. Every code has a specimen in tests/errors/.
"""

from __future__ import annotations

from typing import NamedTuple


class Sentence(NamedTuple):
    """The wording of one code."""

    says: str
    known: str = ""
    instead: str = ""


PROSE: dict[str, Sentence] = {
    "passes-a-unit": Sentence(
        "unit {unit} stands in the way of this shift",
        "unit {unit} lies in place {place}",
        "say which passes in front: `{mover} over {place}` or `{mover} under {place}`",
    ),
}
