"""What goes with the piece for its life: record, condition, care, value?"""

from __future__ import annotations

from crossfell.base.quantities import written_long
from crossfell.papers.done import Done, done_of
from crossfell.papers.measures import mass_text, money, pieces_text, size_text, weight_text
from crossfell.papers.model import (
    Blanks,
    Block,
    Break,
    Frames,
    Heading,
    Pairs,
    Paragraph,
    Sheet,
    Table,
)
from crossfell.papers.typeset import version_of
from crossfell.piece import Piece

BLANK_LINES = "\n\u00a0"  # room to write
PARTS_LOOKED_AT = (
    "upper third, left", "upper third, middle", "upper third, right",
    "middle third, left", "middle third, middle", "middle third, right",
    "lower third, left", "lower third, middle", "lower third, right",
    "bands and adhesive", "rods and caps", "cords and points", "back",
)  # fmt: skip


def record(piece: Piece) -> Sheet:
    """Materials with lots, hours, edition, title, signature, photographs."""
    draft, plan, done = piece.draft, piece.plan, done_of(piece.draft)
    about = draft.about
    rows = [
        ("Title", about.title),
        ("Maker", about.maker),
        ("Number or edition", about.number),
        ("Draft", version_of(draft)),
        ("Size", size_text(piece)),
        ("Weight", weight_text(piece)),
        ("Units, spans, bands", f"{len(draft.units)}, {len(draft.spans)}, {len(draft.bands)}"),
        ("Hours planned", f"{plan.minutes / 60:.1f}, without drying"),
        ("Yarn wound", mass_text(sum(n.warp_g for n in piece.amounts.yarns), draft.measure)),
    ]
    blocks: list[Block] = [
        Pairs(rows=tuple(row for row in rows if row[1])),
        Heading(text="Materials"),
        _materials(piece, done),
        Heading(text="Made"),
        *_made(done, len(plan.steps)),
        Blanks(labels=("Signature", "Place of the signature on the piece"), columns=1),
        Heading(text="Owners"),
        Table(name="owners", columns=("owner", "from", "place", "how it came"), align="llll",
              rows=((BLANK_LINES, "", "", ""),) * 4, widths=(2, 1, 1.5, 1.5)),
        *_hours(done),
        *_noted(done),
        Break(),
        Heading(text="Photographs"),
        *_photographs(done),
        Frames(height_mm=88, captions=(
            "whole, front, with grey card and scale", "back",
            "detail of the face", "hung in its room, lit as it stays",
        )),
    ]  # fmt: skip
    return Sheet(name="record", title="Record of the piece", blocks=tuple(blocks))


def _made(done: Done, steps: int) -> list[Block]:
    """When and in how many hours, as far as the record knows; lines to write on for the rest."""
    rows = [
        ("Begun", done.begun),
        ("Cut from the loom", done.cut_down),
        (
            "Steps done",
            f"{done.steps} of {steps}, on {_counted(done.days, 'day')}" if done.worked else "",
        ),
        ("Hours worked", _hours_text(done) if done.worked else ""),
    ]
    blanks = [name for name, said in rows if not said and name != "Steps done"]
    blocks: list[Block] = []
    if done.worked:
        blocks.append(Pairs(rows=tuple(row for row in rows if row[1])))
    if done.refused:
        blocks.append(Paragraph(text=f"Hours and lots are missing: {done.refused}."))
    return [*blocks, Blanks(labels=(*blanks, "Edition number", "Certificate number", "Made by"))]


def _hours_text(done: Done) -> str:
    text = f"{done.hours:.1f} h; these steps were planned with {done.hours_planned:.1f} h"
    if done.not_measured:
        text += f"; {done.not_measured} ticks are not measured: a pause or a burst fell in"
    return text


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _hours(done: Done) -> list[Block]:
    rows = tuple(
        (row.kind.replace("-", " "), str(row.steps), str(row.measured),
         f"{row.planned_min / 60:.2f}", f"{row.real_min / 60:.2f}")
        for row in done.kinds
    )  # fmt: skip
    if not rows:
        return []
    columns = ("kind of step", "done", "measured", "planned, h", "real, h")
    return [
        Heading(text="Hours by kind of step"),
        Table(name="hours", columns=columns, align="lrrrr", rows=rows, widths=(2, 1, 1, 1, 1)),
        Paragraph(text="Hours are those of the measured steps, from `crossfell loom`."),
    ]


def _noted(done: Done) -> list[Block]:
    rows = done.noted("note", "woven", "join", "broken-end", "weight", "used", "lot", "edition")
    if not rows:
        return []
    return [
        Heading(text="Noted at the loom"),
        Table(name="noted", columns=("day", "where", "what"), align="lll", rows=rows,
              widths=(1, 1, 5)),
    ]  # fmt: skip


def _photographs(done: Done) -> list[Block]:
    shown = done.photographs
    if not shown:
        return []
    return [Table(name="photographs", columns=("day", "where", "file"), align="lll", rows=shown,
                  widths=(1, 1, 5))]  # fmt: skip


def _materials(piece: Piece, done: Done) -> Table:
    draft = piece.draft
    rows = [
        (f"yarn {need.yarn}", f"{draft.yarns[need.yarn].count.label} "
         f"{draft.yarns[need.yarn].fibre}".strip(), f"{need.warp_g + need.weft_g:.0f} g",
         "" if (used := done.used_g(need.yarn)) is None else f"{used:.0f} g",
         ", ".join(dict.fromkeys(filter(None, (draft.yarns[need.yarn].lot,
                                               *done.lots(need.yarn))))))
        for need in piece.amounts.yarns
    ]  # fmt: skip
    rows += [
        (f"rod {need.rod.label}", pieces_text(need.pieces, draft.measure),
         f"{need.mass_g:.0f} g", "", "")
        for need in piece.amounts.rods
    ]  # fmt: skip
    glue = piece.amounts.adhesive
    recipe = f"{draft.adhesive.parts:g} : {draft.adhesive.water:g} with water"
    rows.append((draft.adhesive.name, recipe, f"{glue.neat_cm3:.0f} cm³ neat", "", ""))
    longest = max(piece.amounts.windings, key=lambda winding: winding.total_mm)
    rows.append(("longest end wound", "", written_long(longest.total_mm, draft.measure), "", ""))
    columns = ("what", "of what", "planned", "used", "lot or batch")
    return Table(name="materials", columns=columns,
                 align="llrrl", rows=tuple(rows), widths=(1.4, 1.5, 1, 0.8, 1.2))  # fmt: skip


def condition(piece: Piece) -> Sheet:
    """Condition report for dispatch, arrival and return, place by place."""
    rows = tuple((part + BLANK_LINES, "", "", "") for part in PARTS_LOOKED_AT)
    blocks: list[Block] = [
        Pairs(rows=(("Piece", piece.draft.about.title), ("Size", size_text(piece)),
                    ("Draft", version_of(piece.draft)))),
        Paragraph(text="At each hand-over: look at every part in good light, from the front and "
              "from behind, and write what is not as new: stain, pull, break, fading, rust, "
              "insect, slack unit, bent rod. Photograph it with a scale and write the "
              "number beside it."),
        Table(name="condition", columns=("part", "at dispatch", "on arrival", "on return"),
              align="llll", rows=rows, widths=(1.6, 2, 2, 2)),
        Blanks(labels=("Dispatch: date", "name", "signature", "Arrival: date", "name", "signature",
                       "Return: date", "name", "signature"), columns=3),
    ]  # fmt: skip
    return Sheet(name="condition", title="Condition report", blocks=tuple(blocks),
                 view="left and right as seen from the front")  # fmt: skip


def care(piece: Piece) -> Sheet:
    """Care sheet and insurance value."""
    quote = piece.quote()
    value = money(piece, quote.total.likely) if quote.complete else "open"
    blocks: list[Block] = [
        Pairs(rows=(
            ("Light", "50 lux at most, little ultraviolet (75 µW/lm or less); no direct sun"),
            ("Dust", "soft brush, from above downwards, twice a year; a vacuum cleaner only "
             "through gauze and without touching"),
            ("Washing", "none: water swells the adhesive of the bands and moves the dye"),
            ("Touching", "by its rods only, with clean cotton gloves"),
            ("Air", "30 to 60 % relative humidity without quick changes; fibre grows and shrinks "
             "with it, and tension changes a little"),
            ("Insects", "look behind it twice a year, where there is wool above all"),
            ("Cords and points", "look at them once a year; replace cords that fray"),
            ("Fire", "fibre and dried adhesive burn; classes and certificates are a matter of the "
             "local code"),
            ("Repair", "by the maker, or by a textile conservator; spare yarn is supplied"),
            ("Moving it", "as the packing sheet says; the adhesive is to be treated as permanent"),
        )),
        Paragraph(text="Light and dust after published conservation notes (Canadian Conservation "
              "Institute, Notes 13); the rest is common practice."),
        Blanks(labels=("Maker's telephone or address", "Spare yarn supplied"), columns=1),
        Heading(text="Insurance"),
        Pairs(rows=(("Cost of making it again today", value),)),
        Blanks(labels=("Agreed value", "Date", "Policy", "Cover in transit from, to")),
    ]  # fmt: skip
    return Sheet(name="care", title="Care and insurance", blocks=tuple(blocks))
