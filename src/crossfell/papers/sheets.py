"""Which papers does she take to the bench and the loom, and what stands on each?"""

from __future__ import annotations

from collections.abc import Iterator

from crossfell.base.quantities import written, written_long
from crossfell.draft.workshop import Adhesive
from crossfell.drawings.front import front_view, loom_view
from crossfell.drawings.scene import Scene
from crossfell.papers.loom_sheet import loom_sheet
from crossfell.papers.measures import pieces_text, weight_text
from crossfell.papers.model import (
    Bars,
    Block,
    Break,
    Caution,
    Heading,
    Pairs,
    Paragraph,
    Picture,
    Sheet,
    Table,
)
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS
from crossfell.plan.cutting import CutPlan
from crossfell.plan.model import Step
from crossfell.plan.phrasebook import teller_of
from crossfell.statics.verdict_told import in_words

FINEST_MM = 0.1  # distance of ends on paper; two dots and a half of a printer of 600 to the inch
TALLEST_MM = {"A4": 125.0, "Letter": 105.0}  # of the picture on the overview
WIDE_MM = 174.0  # of what is printed
BAR_MM, LETTER_MM = 130.0, 1.7  # length of a bar on the page, width of a letter in it
SIDES = {"bench": "bench", "front": "front", "back": "BACK"}


def first_papers(piece: Piece) -> tuple[Sheet, ...]:
    """Overview, winding list, setting of the loom, shopping and cutting list, step list."""
    return (*bench_papers(piece), steps(piece))


def bench_papers(piece: Piece) -> tuple[Sheet, ...]:
    """What is needed before the first step."""
    return (overview(piece), winding(piece), loom_sheet(piece), shopping(piece))


def overview(piece: Piece) -> Sheet:
    """The piece at a glance."""
    draft, paths, amounts, plan = piece.draft, piece.paths, piece.amounts, piece.plan
    measure = draft.measure
    below = sum(need.warp_g for need in amounts.yarns)
    rows = [
        ("Size", f"{written(paths.width_total_mm, measure)} wide, "
         f"{written(paths.height_total_mm, measure)} high"),
        ("Units", f"{len(draft.units)} in {draft.place_count} places"),
        ("Spans and bands", f"{len(draft.spans)} spans, {len(draft.bands)} bands"),
        ("Woven", f"from its {draft.about.woven_from}"),
        ("Warp as wound", f"{below:.0f} g"),
        ("Weight", weight_text(piece)),
        ("Strips lifted", f"{plan.handled} in {plan.hands} hands, over the whole piece"),
        ("Work", f"about {plan.minutes / 60:.0f} h, without drying (from usual minutes)"),
        ("Materials to buy", _money(piece, amounts.price)),
        ("Hung up, it", in_words(piece.verdict, measure)),
    ]  # fmt: skip
    tall = TALLEST_MM[draft.about.paper]
    picture = _picture(front_view(piece, printed=(WIDE_MM, tall)), tallest_mm=tall)
    notes = [
        Paragraph(text=f"{note.severity.value}, line {note.where.line}: {note.message}.")
        for note in piece.notes
    ]
    blocks: list[Block] = [Pairs(rows=tuple(rows)), picture]
    if notes:
        blocks += [Heading(text="Worth a second look"), *notes]
    blocks.append(Caution(text=CAUTIONS["overhead"]))
    return Sheet(name="overview", title=draft.about.title, called="Overview", blocks=tuple(blocks),
                 view="as it hangs, seen from the front")  # fmt: skip


def winding(piece: Piece) -> Sheet:
    """Bobbin by bobbin in the order of winding: ends, length, strip, first dent, weight."""
    draft, measure, order = piece.draft, piece.draft.measure, piece.winding
    rows = []
    for group, u in ((part, u) for part in order.groups for u in part.units):
        unit, kind = draft.units[u], draft.kinds[group.kind]
        strip = draft.strips[kind.strip]
        grams = order.wound_g(u, piece.amounts.windings[u])
        rows.append(
            (
                str(group.number), unit.name, str(unit.place), kind.ends_text,
                written_long(group.length_mm, measure), f"{grams:.0f} g", kind.strip, strip.first,
                piece.loom.handed.said(u),
            )
        )  # fmt: skip
    columns = ("group", "unit", "place", "ends from the left", "length of each end", "yarn",
               "strip", "first dent", "weight")  # fmt: skip
    warp = draft.warp
    parts = (
        "Bobbins of a group are wound alike, to the longest of them; groups follow each other so "
        f"that {order.changes} ends change yarn on the creel. Each length is the longest end "
        "through all spans and bands, with take-up, "
        f"sampler ({written(warp.sample_mm, measure)}), finish at both ends "
        f"({written(2 * warp.finish_mm, measure)}), thrum ({written(warp.thrum_mm, measure)}), "
        f"knots and tail ({written(warp.knots_mm, measure)}), and {warp.spare:.0%} to spare. "
        f"The weight, hung beside the bobbin, is the nearest that evens out {warp.tension_n:g} N "
        "on each end; over the back beam "
        f"the fell feels {piece.loom.least_n.min():.1f} to {piece.loom.most_n.max():.1f} N a unit."
        if warp
        else ""
    )
    table = Table(name="winding", columns=columns, align="rlrlrrllr", rows=tuple(rows), tick=True,
                  widths=(0.8, 1, 0.8, 2.3, 1.6, 0.9, 1.1, 1.1, 1.1))  # fmt: skip
    return Sheet(name="winding", title="Winding and warping",
                 blocks=(Paragraph(text=parts), table, Caution(text=CAUTIONS["weights"])),
                 view="places from the weaver's left, face forward")  # fmt: skip


def shopping(piece: Piece) -> Sheet:
    """What to buy and how to cut it."""
    draft, amounts, measure = piece.draft, piece.amounts, piece.draft.measure
    rows = [
        (f"yarn {need.yarn}", f"{draft.yarns[need.yarn].count.label} "
         f"{draft.yarns[need.yarn].fibre}".strip(), f"{need.need_g:.0f} g",
         f"{need.in_stock_g:.0f} g",
         f"{need.put_ups} × {need.buy_g / need.put_ups:.0f} g" if need.put_ups
         else f"{need.buy_g:.0f} g", _money(piece, need.price))
        for need in amounts.yarns
    ]  # fmt: skip
    rows += [
        (f"rod {need.rod.label} mm", pieces_text(need.pieces, measure),
         f"{need.mass_g:.0f} g", _owned(need.plan), f"{need.plan.bought} × "
         f"{written(draft.stock.rod_length_mm, measure)}", _money(piece, need.price))
        for need in amounts.rods
    ]  # fmt: skip
    rows += [
        (f"heddle for strip {need.strip}", f"{need.count} of {written(need.width_mm, measure)}",
         "", _owned(need.plan), f"{need.plan.bought} × "
         f"{written(draft.stock.heddle_length_mm, measure)}", _money(piece, need.price))
        for need in amounts.strips
    ]  # fmt: skip
    glue = amounts.adhesive
    rows.append(
        (draft.adhesive.name, f"{draft.adhesive.parts:g} : {draft.adhesive.water:g} with water",
         f"{_volume(glue.liquid_cm3)} thinned", "", f"{_volume(glue.neat_cm3)} neat, "
         f"{_volume(glue.water_cm3)} water", _money(piece, glue.price))
    )  # fmt: skip
    table = Table(name="shopping", columns=("what", "of what", "needed", "in stock", "to buy",
                  "price"), align="llrrrr", rows=tuple(rows), tick=True,
                  widths=(1.6, 1.5, 1, 0.8, 1.5, 1.1))  # fmt: skip
    blocks: list[Block] = [
        Paragraph(text=f"Yarn with {draft.rates.waste:.0%} waste. Sum of what is to buy: "
              f"{_money(piece, amounts.price)}."),
        table,
        Heading(text="Cutting"),
        Paragraph(text=f"Every cut takes {written(draft.stock.kerf_mm, measure)}. Grey is a "
              "piece, white is left over."),
    ]  # fmt: skip
    for need in amounts.rods:
        blocks += _cuts(piece, f"rod {need.rod.label} mm", need.plan)
    for strip in amounts.strips:
        blocks += _cuts(piece, f"heddle for strip {strip.strip}", strip.plan)
    if any(band.adhesive for band in draft.bands):
        blocks.append(Paragraph(text=_dries(draft.adhesive)))
    blocks.append(Caution(text=CAUTIONS["rods"]))
    blocks.append(Caution(text=CAUTIONS["adhesive"]))
    return Sheet(name="shopping", title="Shopping and cutting", blocks=tuple(blocks))


def steps(piece: Piece) -> Sheet:
    """Every step in order, span by span."""
    blocks: list[Block] = [
        Paragraph(text=f"{len(piece.plan.steps)} steps; {piece.plan.walks} walks between front and "
              "back. BACK: you stand behind the loom and count places from your own left there. "
              "A name with ′ lies face to the back."),
        _picture(loom_view(piece, printed=(WIDE_MM, 190.0)), tallest_mm=190.0,
                 caption="on the loom, as seen from the weaver's seat"),
        Break(),
        Caution(text=CAUTIONS["springs"]),
        Caution(text=CAUTIONS["weights"]),
    ]  # fmt: skip
    tell = teller_of(piece.draft)
    for heading, name, group in _grouped(piece.plan.steps):
        rows = tuple(
            (
                str(step.number),
                SIDES[step.side],
                tell.sentence(step),
                "stop?" if step.may_stop else "",
            )
            for step in group
        )
        blocks += [
            Heading(text=heading),
            Table(name=name, columns=("step", "stand", "do", "stop?"), align="rlll", rows=rows,
                  tick=True, kind="steps"),
        ]  # fmt: skip
    return Sheet(name="steps", title="Step by step", blocks=tuple(blocks),
                 view="FRONT as seen from the weaver's seat, BACK from behind")  # fmt: skip


def _grouped(all_steps: tuple[Step, ...]) -> Iterator[tuple[str, str, list[Step]]]:
    group: list[Step] = []
    for step in all_steps:
        if group and (step.span, step.band) != (group[-1].span, group[-1].band):
            yield *_called(group[0]), group
            group = []
        group.append(step)
    if group:
        yield *_called(group[0]), group


def _called(step: Step) -> tuple[str, str]:
    if step.span:
        return f"Span {step.span}", f"span-{step.span}"
    if step.band:
        return f"Band {step.band}", f"band-{step.band}"
    return ("After the last band", "after") if step.kind == "cut-down" else (
        "Before the first band", "before")  # fmt: skip


def _cuts(piece: Piece, title: str, plan: CutPlan) -> list[Block]:
    if not plan.bars:
        return []
    measure = piece.draft.measure
    longest = max(bar.stock_mm for bar in plan.bars)
    bars = tuple(
        (
            bar.times,
            bar.stock_mm,
            tuple((length, _in_bar(length, longest, measure)) for length in bar.pieces),
            f"{written(bar.rest_mm, measure)} left" + (", in stock" if bar.in_stock else ""),
        )
        for bar in plan.bars
    )
    proved = "the fewest that can be" if plan.proved else f"at least {plan.bound} are needed"
    lengths = dict.fromkeys(length for bar in plan.bars for length in bar.pieces)
    pieces = ", ".join(written(length, measure) for length in lengths)
    says = f"{title}, pieces of {pieces}: {plan.bought} to buy ({proved})"
    return [Paragraph(text=says, strong=True), Bars(length_mm=longest, bars=bars)]


def _in_bar(length_mm: float, longest_mm: float, measure: str) -> str:
    """What is written on a piece, if there is room for it."""
    text = _short(length_mm, measure)
    return text if length_mm / longest_mm * BAR_MM > LETTER_MM * (len(text) + 1) else ""


def _dries(glue: Adhesive) -> str:
    """How long she waits for a brushed band."""
    return (
        f"A brushed band is touch dry after {glue.touch_dry_min:.0f} min, may be handled and "
        f"unclamped after {glue.handle_min / 60:.1f} h, and has its full strength after "
        f"{glue.full_min / 60:.0f} h; a sampler in your room tells better."
    )


def _volume(cm3: float) -> str:
    return f"{cm3:.0f} cm³" if cm3 >= 10 else f"{cm3:.1f} cm³"


def _short(value_mm: float, measure: str) -> str:
    return written(value_mm, measure).removesuffix(" mm").removesuffix(" in")


def _owned(plan: CutPlan) -> str:
    owned = sum(bar.times for bar in plan.bars if bar.in_stock)
    return f"{owned} used" if owned else "0"


def _money(piece: Piece, amount: float | None) -> str:
    if amount is None:
        return "open"
    rates = piece.draft.rates
    return f"{amount:.{rates.minor}f} {rates.currency}"


def _picture(scene: Scene, *, tallest_mm: float, caption: str = "") -> Picture:
    """A drawing whose single ends are drawn where they can be told apart as printed."""
    end_mm = scene.end_pitch_mm * min(1.0, tallest_mm / scene.height_mm)
    return Picture(scene=scene, tallest_mm=tallest_mm, caption=caption, fine=end_mm > FINEST_MM)
