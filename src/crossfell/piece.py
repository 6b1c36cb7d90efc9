"""The one pipeline: from a draft to everything that can be known about the piece.

Each stage is computed once, when first asked for.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crossfell.draft.model import Draft
    from crossfell.order.model import Order
    from crossfell.paths.model import Paths


class Piece:
    """A computed piece: the craft's table of contents."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft

    @cached_property
    def order(self) -> Order:
        """Who lies where, and who passes over whom."""
        from crossfell.order.stage import order_of

        return order_of(self.draft)

    @cached_property
    def paths(self) -> Paths:
        """Where every unit runs."""
        from crossfell.paths.stage import paths_of

        return paths_of(self.draft, self.order)
