"""What holds of yarns, paths, weights, cutting and handling: checked by plain sums of our own."""

import math
import re
from collections import Counter
from itertools import accumulate

import numpy as np

from crossfell.paths.thickness import section_of

LEA, COTTON = 496054.647857 / 300, 496054.647857 / 840  # tex of count 1, ASTM D2260
DEFINED = {"lea 16/2": LEA / 8, "tex 207": 207, "Nm 9.7/2": 2000 / 9.7, "Ne 8/2": COTTON / 4}


def tex(piece, index, value, put):
    label = put["count"].value
    known = DEFINED.get(label) or float(label.removeprefix("tex "))
    return math.isclose(value, known, rel_tol=1e-12)


def how(key):
    def check(piece, index, value, put):
        if put[key].value is not None:
            return value == "measured"
        return value == ("computed" if put["fibre"].value else "default")

    return check


def friction_how(piece, index, value, put):
    own = any(put["friction"].lines) or None not in (
        put["howell_a"].value,
        put["howell_power"].value,
    )
    return value == ("measured" if own else "default")


def ends(piece, index, value, put):
    spans, turns, width = (put[name].value for name in ("spans", "half_turns", "width"))
    count = len(value)
    for i, told in enumerate(value):
        r = ((i + 0.5) / count - 0.5) * width
        rows = zip(spans, turns, strict=True)
        ours = sum(math.sqrt(s * s + (k * math.pi * r) ** 2) for s, k in rows)
        if not math.isclose(told, ours + sum(put["bands"].value), rel_tol=1e-9):
            return False
    return True


def pile(piece, index, value, put):
    """No point of a grid has more over it; the thickest unit alone has not more either."""
    (k,) = index
    paths, section = piece.paths, section_of(piece.draft)
    thick = np.maximum(section.flat_mm, section.area_mm2 / paths.narrow_mm[k])
    at = np.linspace(0, 1, 41)[:, None, None]
    x = (1 - at) * paths.x_mm[k] + at * paths.x_mm[k + 1]
    across = np.linspace(x.min() - 1, x.max() + 1, 161)[None, :, None]
    slivers = 0.96 * paths.width_mm / 2  # what is thinner is left out
    most = ((np.abs(across - x) < slivers) * thick).sum(axis=2).max()
    return most <= value + 1e-9 and thick.max() <= value + 1e-9


def hung(piece, index, value, put):
    owned, together = dict(put["weights"].value), put["together"].value
    (u,) = index
    if piece.loom.handed.short or not owned:
        bobbin = piece.bobbins.mass_g[:, u].mean()
        return math.isclose(value, max(put["weight"].value - bobbin, 0), abs_tol=1e-9)
    everywhere = Counter(mass for parts in piece.loom.handed.hung for mass in parts)
    return math.isclose(value, sum(together)) and all(n <= owned[m] for m, n in everywhere.items())


def weights_short(piece, index, value, put):
    """Units that none of her weights could suit are among those that lack one."""
    owned = [mass for mass, _ in put["weights"].value]
    bobbin = piece.bobbins.mass_g.mean(axis=0)
    if not owned:
        return value == 0
    none_suits = [
        all(not 0.5 <= (mass + spool) / asked <= 2 for mass in owned)
        and (sum(owned) + spool) / asked < 0.5
        for asked, spool in zip(put["weight"].value, bobbin, strict=True)
    ]
    return sum(none_suits) <= value <= len(bobbin)


def weight_mass(piece, index, value, put):
    hangs = [round(mass) for parts in piece.loom.handed.hung for mass in parts]
    return value in hangs


def weight_count(piece, index, value, put):
    hangs = [round(mass) for parts in piece.loom.handed.hung for mass in parts]
    alike = list(dict.fromkeys(hangs))[index[0]]
    return value == hangs.count(alike)


def shared_limit(which):
    def check(piece, index, value, put):
        a, b = put["fell_to_heddle"].value, put["heddle_to_back"].value
        stretch = math.hypot(a, value) + math.hypot(b, value) - a - b
        known = put["tension"].value * put["free"].value / put["holes"].value / put[which].value
        return math.isclose(stretch, known, rel_tol=1e-6)

    return check


def let_off(piece, index, value, put):
    """No weight is ever drawn beyond its drop, let off as told (a span too long by itself apart)."""
    letoff, names = piece.loom.letoff, piece.order.names
    drop = put["drop"].value
    if letoff.too_long:
        return True
    for u in range(len(names)):
        drawn = letoff.drawn_mm[:, u].tolist()
        upto, low = list(accumulate(drawn)), 0.0
        for trip in letoff.trips:
            if u in trip.units:
                k = trip.span - 1
                here = upto[k] - drawn[k] + piece.draft.spans[k].height_mm
                if here - low > drop + 1e-6:
                    return False
                low = here
        if upto[-1] - low > drop + 1e-6:
            return False
    return all(name in names for name in value)


def winding_proved(piece, index, value, put):
    return value == (len(put["kinds"].value) <= 10)


def bobbins(piece, index, value, put):
    """The groups of a kind waste no more than allowed, and one fewer would."""
    kind, share = piece.winding.groups[index[0]].kind, put["alike"].value
    mine = [g for g in piece.winding.groups if g.kind == kind]
    need = {u: piece.amounts.windings[u].total_mm for g in mine for u in g.units}
    fits = [max(need[u] for u in g.units) * len(g.units) <= sum(need[u] for u in g.units) * (1 + share)
            + 1e-6 for g in mine]  # fmt: skip
    return all(fits) and len(mine) == _fewest(sorted(need.values(), reverse=True), share)


def _fewest(lengths, share):
    best = [0]
    for end in range(1, len(lengths) + 1):
        starts = (s for s in range(end) if lengths[s] * (end - s) <= sum(lengths[s:end]) * (1 + share)
                  + 1e-6)  # fmt: skip
        best.append(min(best[s] + 1 for s in starts))
    return best[-1]


def creel_changes(piece, index, value, put):
    before, now = put["creel_before"].value, put["creel_now"].value
    if not before or index[0] == 0:
        return value == 0
    return value == sum(i >= len(before) or before[i] != yarn for i, yarn in enumerate(now))


def rod_pieces(piece, index, value, put):
    label = piece.amounts.rods[index[0]].rod.label
    bands = [b.rod_count for b in piece.draft.bands if b.rod and b.rod.label == label]
    rods = sum(bands) + put["spare_rods"].value
    return len(value) == rods and min(value) > 2 * put["overhang"].value


def _cuts(need, pieces, stock):
    """Every bar holds its pieces and kerfs; bars together give just the pieces."""
    kerf = stock.kerf_mm
    for bar in need.plan.bars:
        if sum(p + kerf for p in bar.pieces) > bar.stock_mm + kerf + 1e-4:
            return False
    cut = Counter(round(p, 4) for bar in need.plan.bars for p in bar.pieces * bar.times)
    bought = sum(bar.times for bar in need.plan.bars if not bar.in_stock)
    wanted = Counter(round(p, 4) for p in pieces)
    return need.plan.bought == bought and (bool(need.plan.too_long) or cut == wanted)


def _rod(piece, r):
    need = piece.amounts.rods[r]
    return need, list(need.pieces), piece.draft.stock.rod_length_mm


def _strip(piece, s):
    need = piece.amounts.strips[s]
    pieces = [need.width_mm] * (need.count + piece.draft.stock.spare_units)
    return need, pieces, piece.draft.stock.heddle_length_mm


def cut_from(found):
    def check(piece, index, value, put):
        need, pieces, _ = found(piece, *index)
        return value == need.plan.bought and _cuts(need, pieces, piece.draft.stock)

    return check


def floor_of(found):
    def check(piece, index, value, put):
        need, pieces, long = found(piece, *index)
        bars = [bar for bar in need.plan.bars if bar.in_stock]
        owned = sum(p + piece.draft.stock.kerf_mm for bar in bars for p in bar.pieces * bar.times)
        rest = sum(p + piece.draft.stock.kerf_mm for p in pieces) - owned
        whole = math.ceil(rest / (long + piece.draft.stock.kerf_mm) - 1e-9)
        return value <= need.plan.bought and (bool(bars) or value >= whole)

    return check


def proved(found):
    def check(piece, index, value, put):
        need, _, _ = found(piece, *index)
        return not value or need.plan.bought == need.plan.bound

    return check


RODS, STRIPS = _rod, _strip


HANDS = frozenset({"lay", "cross", "carry"})


def model(piece, index, value, put):
    return value == ("laid aside" if put["lay_aside"].value else "carried")


def not_below(name):
    def check(piece, index, value, put):
        return value >= put[f"{name}_least"].value

    return check


def handling_lifted(piece, index, value, put):
    span = piece.plan.handling[index[0]].span
    hands = [s for s in piece.plan.steps if s.span == span and s.kind in HANDS]
    return value == sum(len(s.units) for s in hands) >= put["lifted_least"].value


def handling_hands(piece, index, value, put):
    span = piece.plan.handling[index[0]].span
    return value == sum(s.span == span and s.kind in HANDS for s in piece.plan.steps)


def handling_loose(piece, index, value, put):
    """Counted on the steps: who hangs aside, and who is in a hand."""
    span, aside, most = piece.plan.handling[index[0]].span, 0, 0
    for step in piece.plan.steps:
        if step.span == span and step.kind in HANDS | {"lift", "roll"}:
            many = len(step.units)
            most = max(most, aside + many * (step.kind != "lay"))
            aside += {"lift": many, "lay": -many}.get(step.kind, 0)
    return value == most


def handling_says(piece, index, value, put):
    """Its numbers, in their order; floors are never said higher than they are."""
    span = piece.plan.handling[index[0]]
    said = [int(number) for number in re.findall(r"\d+", value)]
    floor = put["minutes_least"].value
    told = [span.lifted, span.hands, span.loose, span.windows]
    return said[:4] == told and (floor >= span.minutes or said[6] <= floor)


def handling_proved(piece, index, value, put):
    span = piece.plan.handling[index[0]]
    return value == (span.lifted == put["lifted_least"].value and span.loose_proved)


def walks_least(piece, index, value, put):
    return 0 <= value <= put["walks"].value


def rehearsed(piece, index, value, put):
    return value is not None and value >= sum(put["drafted"].value)


def iterations(piece, index, value, put):
    return isinstance(value, int) and value >= 0
