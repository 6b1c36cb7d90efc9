"""Which bobbins are wound alike, in which order?"""

from __future__ import annotations

from crossfell.facts.declare import Answer, Inputs, Put, each, fact, level, of
from crossfell.piece import Piece
from crossfell.plan.winding import Group

level("winding", whom="loom", says="how the bobbins are wound with the least trouble")
level(
    "winding.groups",
    whom="loom",
    says="bobbins that are wound alike, in the order of winding",
    size=lambda p: len(p.winding.groups),
    label=lambda _, g: str(g + 1),
)


def _creels(piece: Piece, group: Group) -> Inputs:
    """Yarns on the creel for the group before, and for this one."""
    kinds = piece.draft.kinds
    creel = {
        name: [yarn for count, yarn in kind.ends for _ in range(count)]
        for name, kind in kinds.items()
    }
    before = [g.kind for g in piece.winding.groups if g.number == group.number - 1]
    line = (kinds[group.kind].given["ends_text"],)
    return {
        "creel_before": Put(creel[before[0]] if before else []),
        "creel_now": Put(creel[group.kind], lines=line),
    }


@fact("winding.changes", form="integer>=0", formula="sum(changes)",
      source="derived; least by dynamic programming")  # fmt: skip
def changes(piece: Piece) -> Answer:
    """Ends on the creel that get another yarn, over all bobbins."""
    return Answer(piece.winding.changes, lambda: each(piece, "winding.groups.*.changes"))


@fact("winding.proved", form="boolean", holds="all orders of up to 10 kinds were looked at",
      source="Held & Karp 1962")  # fmt: skip
def proved(piece: Piece) -> Answer:
    """Whether no order of kinds changes fewer."""
    kinds = sorted({unit.kind for unit in piece.draft.units})
    return Answer(piece.winding.proved, lambda: {"kinds": Put(kinds)})


def _group(piece: Piece, g: int) -> Group:
    return piece.winding.groups[g]


def _needs(piece: Piece, g: int) -> Inputs:
    """What each bobbin of a group needs."""
    need = each(piece, "units.*.winding_length", name="need", only=list(_group(piece, g).units))
    return need | of(piece.draft.loom, "alike")


@fact("winding.groups.*.number", form="integer>=0")
def group_number(piece: Piece, g: int) -> Answer:
    """Order of winding, from 1."""
    return Answer(_group(piece, g).number)


@fact("winding.groups.*.kind", form="string")
def group_kind(piece: Piece, g: int) -> Answer:
    """Kind of its units."""
    return Answer(_group(piece, g).kind)


@fact(
    "winding.groups.*.bobbins",
    form="[string]",
    holds="fewest groups of neighbours in length, one kind, within the waste allowed",
    source="derived; exact for neighbours, by dynamic programming",
)
def bobbins(piece: Piece, g: int) -> Answer:
    """Bobbins that are wound alike."""
    names = piece.order.names
    return Answer([names[u] for u in _group(piece, g).units], lambda: _needs(piece, g))


@fact(
    "winding.groups.*.length",
    "mm",
    whom="label list step",
    formula="max(need)",
    says="All {need.count} bobbins of group {name} are wound to {value}, which the longest needs: "
    "{need.most}.",
)
def group_length(piece: Piece, g: int) -> Answer:
    """Length of each end on every bobbin of the group: the longest need."""
    return Answer(_group(piece, g).length_mm, lambda: _needs(piece, g))


@fact("winding.groups.*.waste", form="number", formula="max(need) * count(need) / sum(need) - 1")
def waste(piece: Piece, g: int) -> Answer:
    """Yarn wound beyond the need, as a share of the need."""
    return Answer(_group(piece, g).waste, lambda: _needs(piece, g))


@fact(
    "winding.groups.*.changes",
    form="integer>=0",
    holds="places of the creel that get another yarn, or a first one; none before the first group",
)
def group_changes(piece: Piece, g: int) -> Answer:
    """Ends that get another yarn before this group."""
    return Answer(_group(piece, g).changes, lambda: _creels(piece, _group(piece, g)))
