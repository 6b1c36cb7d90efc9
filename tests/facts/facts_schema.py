"""Which form do the facts of a piece have, for programs that read them?

A JSON Schema from the declarations. `form` of a fact says how its value stands there:
`number>=0`, `integer`, `boolean`, `string`, `one of a|b`, `[number]` for a list, `{integer}` for a
table by names; a `?` behind it says that it may be null.
"""

import json

from crossfell.facts.declared import FACTS, LEVELS

SAYS = (
    "Every computed number of one draft. Lengths in mm, forces in N, masses in g, angles in rad. "
    "Bands and spans count from 1 in weaving order; places from 1 at the weaver's left."
)


def schema():
    """The schema of all facts."""
    root = _table("")
    for level in LEVELS.values():
        _put(root, level)
    for fact in FACTS.values():
        table = _at(root, fact.level)
        table["properties"][fact.name] = _of_fact(fact)
        table["required"].append(fact.name)
    root["properties"] = {
        "facts": {"const": 1, "description": "version of this form"}, **root["properties"]
    }  # fmt: skip
    root["required"] = ["facts", "notes"]
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Facts of a piece"}
    return {**head, **root, "description": SAYS}


def written_schema():
    """The schema as it is kept in docs/."""
    return json.dumps(schema(), ensure_ascii=False, indent=1) + "\n"


def _table(says):
    empty = {"description": says} if says else {}
    return {**empty, "type": "object", "properties": {}, "required": [],
            "additionalProperties": False}  # fmt: skip


def _put(root, level):
    """Make room for the facts of a level."""
    *outer, name = level.path.split(".")
    table = root
    for part in outer:
        table = table["properties"].setdefault(part, _table(""))
    rows = {"description": level.says, "type": "array", "items": _table("")}
    table["properties"][name] = rows if level.size else _table(level.says)
    table["required"].append(name)


def _at(root, level):
    table = root
    for part in level.path.split("."):
        table = table["properties"][part]
    return table["items"] if level.size else table


def _of_fact(fact):
    says = f"{fact.rule} ({fact.unit})" if fact.unit else fact.rule
    return {**form(fact.form), "description": says}


def form(text):
    """The schema of a form."""
    if text.endswith("?"):
        inner = form(text[:-1])
        if "enum" in inner:
            return {"enum": [*inner["enum"], None]}
        return {**inner, "type": [inner["type"], "null"]}
    if text[0] == "[":
        return {"type": "array", "items": form(text[1:-1])}
    if text[0] == "{":
        return {"type": "object", "additionalProperties": form(text[1:-1])}
    if text.startswith("one of "):
        words = text.removeprefix("one of ").split("|")
        return {"enum": [int(word) if word.lstrip("-").isdigit() else word for word in words]}
    kind, _, least = text.partition(">=")
    return {"type": kind, "minimum": int(least)} if least else {"type": kind}
