"""docs/facts.md and docs/facts.schema.json, from the declarations.

python tests/facts/facts_page.py     writes both anew; then read the diff
"""

from pathlib import Path

from facts_schema import written_schema

from crossfell.facts.declare import AS_WRITTEN, MONEY
from crossfell.facts.declared import FACTS, LEVELS
from crossfell.facts.formula import printed

DOCS = Path(__file__).parents[2] / "docs"
HEAD = """\
# The facts of a piece

Every number that the program computes, once: what it is, in which unit, by which formula, from which
source. This page is made from the declarations in `src/crossfell/facts`.

Ask for any of them by its way: the name of the list, the name or number of the thing, the name of the
fact. Names of your own stand as you wrote them, and no quotes are needed.

    crossfell facts FILE                        all of them, with their units
    crossfell why FILE units.a1.winding_length  how this one came about
    crossfell why FILE                          which can be asked for
    crossfell facts FILE --json                 for other programs

`why` answers twice: first one or two plain sentences; then the formula, its source, the values that
were put in (and whether they are yours or a default), and the lines of your draft that they stand on.
What was put in and is a fact itself shows the way to ask on: so a total leads down to its parts.
`--exact` shows all digits. In the studio every number below the picture opens the same answer.

A formula is written as by hand: Σ adds up a list, arithmetic with a list goes item by item. What was
searched for or solved has no formula that gives it; it *holds* a property instead, which the tests
check without the program's own way of finding it. Lengths are in mm, forces in N, masses in g, angles
in rad, money in the currency of the rates; the form of the JSON is
[facts.schema.json](facts.schema.json).
"""


def page():
    """The page, as Markdown."""
    parts = [HEAD]
    for path, level in LEVELS.items():
        mine = [fact for fact in FACTS.values() if fact.level.path == path]
        if mine:
            way = f"{path}.{'NAME.' if level.size else ''}…"
            parts.append(f"## {path}\n\n{level.says.capitalize()} (`{way}`; for: {level.whom}).\n")
            parts.append("| fact | unit | is | formula, or what holds | source |")
            parts.append("| --- | --- | --- | --- | --- |")
            parts += [_row(fact) for fact in mine]
            parts.append("")
    return "\n".join(parts)


def _row(fact):
    unit = "currency" if fact.unit == MONEY else fact.unit
    formulas = [
        f"{f'{case}: ' if case else ''}{text if text == AS_WRITTEN else f'`{printed(text)}`'}"
        for case, text in fact.formulas.items()
    ]
    how = "; ".join(formulas) or (f"*holds:* {fact.holds}" if fact.holds else "")
    source = fact.source if fact.asked else ""
    cells = (f"`{fact.name}`", unit, fact.rule, how, source)
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


def written():
    """Both files as they ought to be."""
    return {DOCS / "facts.md": page(), DOCS / "facts.schema.json": written_schema()}


if __name__ == "__main__":
    for path, text in written().items():
        path.write_text(text, encoding="utf-8")
