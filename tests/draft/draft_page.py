"""The generated parts of docs/draft.md: `python tests/draft/draft_page.py` writes them anew."""

from __future__ import annotations

import math
import re
from pathlib import Path

from crossfell.draft.expand import MOST_MOVES
from crossfell.draft.figures import PLACES_SAY, SPANS_SAY
from crossfell.draft.forms import SLOTS
from crossfell.draft.keys import REQUIRED, kind_of
from crossfell.draft.kinds import KINDS as MOVES
from crossfell.draft.reader import MOST_LETTERS, MOST_SPANS
from crossfell.draft.reference import TABLES, Key, keys_of
from crossfell.draft.warping import MOST_PLACES
from crossfell.materials.counts import ALSO, SYSTEMS

PAGE = Path(__file__).parents[2] / "docs" / "draft.md"
KINDS = {
    "text": "text", "number": "number", "count": "whole number", "yes": "true or false",
    "length": "length", "mass": "mass", "force": "force", "angle": "angle", "percent": "share",
    "money": "money", "money-per-kg": "money per kg", "minutes": "time", "yarn-count": "yarn count",
    "colour": "colour", "rod": "rod, its diameter in mm", "lengths": "list of lengths", "texts": "list of texts",
    "stock-rods": "list of texts", "reserved": "list of texts", "day": "day", "days": "list of days", "weekdays": "days of the week",
    "weights": "list of weights", "wall": "width and height",
}  # fmt: skip
UNITS = {"length": "mm", "mass": "g", "force": "N", "minutes": "min"}
MORE = {  # keys that no record declares
    "[[span]]": [
        Key("moves", "text", "what is crossed, turned, rolled and shifted (see Moves)", "", ""),
        Key("band", "text", 'the band woven after this span, as { picks = "2, rod, 2" }', "", ""),
        Key("woven", "text", "the moves as really made, where not as drafted", "", ""),
    ],
}  # fmt: skip
FIGURE = [
    Key("places", "count>0", PLACES_SAY, REQUIRED, ""),
    Key("spans", "texts", SPANS_SAY, REQUIRED, ""),
]
TOP = [Key("measure", "one-of:mm|cm|m|in", "what a bare number of length means", "mm", "")]


def parts():
    """Each generated part by its name."""
    return {"counts": counts(), "forms": forms(), "limits": limits(), "keys": all_keys()}


def forms():
    """How each kind of move is written, and what can stand in the slots."""
    rows = ["| move | form | what it does |", "| --- | --- | --- |"]
    rows += [f"| {kind.name} | `{shown(kind)}` | {kind.does} |" for kind in MOVES]
    rules = {name: SLOTS[name].grammar for kind in MOVES for name in slots(kind)}
    said = [f"    {name:10}{rule}" for name, rule in rules.items()]
    return "\n".join(
        [
            *rows,
            "",
            "What stands in braces (`?` at most once, `*` as often as you like):",
            "",
            *said,
        ]
    )


def shown(kind):
    """A form without the names of its slots."""
    return re.sub(r"\{\w+:(\w+)\}", r"{\1}", kind.form)


def slots(kind):
    """The slots of a form."""
    return re.findall(r"\{(\w+)\}", shown(kind))


def counts():
    """The count systems."""
    rows = ["| written | a single of count N is | where it comes from |", "| --- | --- | --- |"]
    for name, system in SYSTEMS.items():
        also = [
            word for word, known in ALSO.items() if known == name and word.lower() != name.lower()
        ]
        names = ", ".join(f"`{word}`" for word in [name, *also])
        rule = f"{system.factor:.6g} × N tex" if system.direct else f"{system.factor:.6g} / N tex"
        rows.append(f"| {names} | {rule} | {system.source} |")
    return "\n".join(rows)


def limits():
    """What a draft may hold."""
    return (
        f"{MOST_LETTERS} letters, {MOST_SPANS} spans, {MOST_PLACES} places and {MOST_MOVES} moves "
        "(figures and plaits written out)"
    )


def all_keys():
    """A table of keys for each table of the draft."""
    tables = {"before the first [table]": TOP}
    for entry in TABLES:
        tables[entry.heading] = [*keys_of(entry.record), *MORE.get(entry.heading, [])]
        if entry.heading == "[[span]]":
            tables["[figure.NAME]"] = FIGURE
    out = [f"### {heading}\n\n{keys(rows)}" for heading, rows in tables.items()]
    out.append(
        "### [minutes]\n\nYour own minutes for one of each kind of step; `plan/minutes.toml` in the "
        "program lists the kinds and the usual minutes."
    )
    return "\n\n".join(out)


def keys(rows):
    """One table of keys."""
    lines = [
        "| key | is | written as | default | source of the default |",
        "| --- | --- | --- | --- | --- |",
    ]
    lines += [
        f"| `{key.name}` | {key.says} | {kind(key)} | {default(key)} | {key.source} |"
        for key in rows
    ]
    return "\n".join(lines).replace("|  |", "| |")


def kind(key):
    """How a key is written, in words."""
    name, least, most, rest = kind_of(key.kind)
    if name == "one-of":
        return " or ".join(f'`"{option}"`' for option in rest.split("|"))
    if name == "length-or":
        return " or ".join([*(f'`"{option}"`' for option in rest.split("|")), "a length"])
    if name == "lengths-or":
        return f'list of lengths, or `"{rest}"`'
    unit = {"length": " mm", "angle": "°", "percent": " %"}.get(name, "")
    limits = "" if least is None else f" above {least:g}{unit}" if least else " above nothing"
    return KINDS[name] + limits + (f", at most {most:g}{unit}" if most < math.inf else "")


def default(key):
    """What stands when nothing is said, as it would be written."""
    value, name = key.default, kind_of(key.kind).plain
    if value is REQUIRED:
        return "must be there"
    if value is None or value in ("", ()):
        return "–"
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    if name == "weekdays":
        return '`"mon tue wed thu fri"`'
    if isinstance(value, str):
        return f'`"{value}"`'
    if name == "angle":
        return f"{math.degrees(value):.4g}°"
    if name == "percent":
        return f"{100 * value:.4g} %"
    return f"{value:g} {UNITS.get(name, '')}".strip()


def page(template):
    """A page with its generated parts written anew."""
    for name, text in parts().items():
        open_, close = f"<!-- {name} -->", f"<!-- /{name} -->"
        gap = "" if name == "limits" else "\n\n"
        new = f"{open_}{gap}{text}{gap}{close}"
        template = re.sub(
            rf"(?s){re.escape(open_)}.*?{re.escape(close)}", lambda _, new=new: new, template
        )
    return template


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
