"""What was searched for or solved holds what it promises, checked without the kernels."""

import checks_hung as h
import checks_order as o
import checks_workroom as w
import pytest
from pieces import example_pieces, numbers, random_pieces

from crossfell.facts.declared import FACTS

CHECKS = {
    "yarns.*.tex": w.tex,
    "yarns.*.diameter_how": w.how("diameter"),
    "yarns.*.stiffness_how": w.how("modulus"),
    "yarns.*.breaking_how": w.how("tenacity"),
    "units.*.places": o.places,
    "units.*.ends": w.ends,
    "units.*.hung": w.hung,
    "bands.*.order": o.order_at_band,
    "spans.*.word": o.word,
    "spans.*.half_turns": o.half_turns,
    "spans.*.layable": o.layable,
    "spans.*.cycle": o.cycle,
    "spans.*.layers": o.layers,
    "spans.*.lifted": o.lifted,
    "spans.*.passes": o.passes,
    "spans.*.twice": o.twice,
    "spans.*.pile": w.pile,
    "spans.*.margin": h.margin,
    "spans.*.drift": h.drift,
    "spans.*.carried_by": h.carried_by,
    "pairs.*.undone": o.undone,
    "winding.proved": w.winding_proved,
    "winding.groups.*.bobbins": w.bobbins,
    "winding.groups.*.changes": w.creel_changes,
    "loom.friction_how": w.friction_how,
    "loom.weights_short": w.weights_short,
    "loom.shared.*.limit": w.shared_limit("stiffness"),
    "loom.shared.*.low": w.shared_limit("stiffest"),
    "loom.shared.*.high": w.shared_limit("softest"),
    "loom.letoff.*.bobbins": w.let_off,
    "hung.verdict": h.verdict,
    "hung.agrees": h.agrees,
    "hung.touch": h.not_below_nothing,
    "hung.draught": h.not_below_nothing,
    "hung.period": h.not_below_nothing,
    "hung.period_out": h.period_out,
    "hung.friction": h.not_below_nothing,
    "hung.damp": h.damp,
    "hung.residual": h.residual,
    "hung.iterations": w.iterations,
    "hung.rods.*.x": h.at_rest,
    "hung.rods.*.y": h.at_rest,
    "hung.rods.*.tilt": h.at_rest,
    "hung.tensions": h.tensions,
    "hung.slack": h.slack,
    "hung.cords": h.cords,
    "hung.loosest": h.loosest,
    "hung.softest": h.softest,
    "stock.rods.*.pieces": w.rod_pieces,
    "stock.rods.*.buy": w.cut_from(w.RODS),
    "stock.rods.*.least": w.floor_of(w.RODS),
    "stock.rods.*.proved": w.proved(w.RODS),
    "stock.strips.*.buy": w.cut_from(w.STRIPS),
    "stock.strips.*.least": w.floor_of(w.STRIPS),
    "stock.strips.*.proved": w.proved(w.STRIPS),
    "stock.weights.*.mass": w.weight_mass,
    "stock.weights.*.count": w.weight_count,
    "plan.walks_least": w.walks_least,
    "plan.rehearsed": w.rehearsed,
    "plan.handling.*.model": w.model,
    "plan.handling.*.lifted": w.handling_lifted,
    "plan.handling.*.hands": w.handling_hands,
    "plan.handling.*.loose": w.handling_loose,
    "plan.handling.*.windows": w.not_below("windows"),
    "plan.handling.*.proved": w.handling_proved,
    "plan.handling.*.says": w.handling_says,
}  # fmt: skip

SLOW = {"hung.verdict", "hung.agrees"}  # each piece is hung twenty times over


def test_whatever_is_said_to_hold_is_checked():
    assert {kind for kind, fact in FACTS.items() if fact.holds} == set(CHECKS)


@pytest.mark.parametrize("kind", CHECKS)
def test_what_is_promised_holds(kind):
    fact, failed = FACTS[kind], []
    many = 40 if kind not in SLOW else 12
    for piece, index, answer in numbers([*example_pieces()[:2], *random_pieces()[:many]], kind):
        if not CHECKS[kind](piece, index, answer.value, answer.put_in()):
            failed.append((fact.way(piece, *index), answer.value))
    assert failed == []
