"""What if a span, a colour or a height were another?

A change is a key and its value as in the draft, `span.3.height = 200`, or `without span 3`. The
changed draft is read again from its text; the file is left as it is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from crossfell.draft.edit import NotEditable, delete_span, set_key
from crossfell.draft.model import Draft
from crossfell.draft.reader import read_draft
from crossfell.plan.quote import Quote

_SET = re.compile(r"\s*(?P<path>[\w.\- ]+?)\s*=\s*(?P<value>.+?)\s*", re.DOTALL)
_WITHOUT = re.compile(r"\s*without\s+span\s+(?P<span>\d+)\s*")


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One line of two quotes (minor units of the likely price), or hours in hundredths."""

    name: str
    before: int
    after: int

    @property
    def change(self) -> int:
        """After less before."""
        return self.after - self.before


def with_changes(draft: Draft, changes: tuple[str, ...]) -> Draft:
    """The draft as it would be after some changes. Errors: NotEditable with a sentence."""
    text = draft.text
    for change in changes:
        if found := _WITHOUT.fullmatch(change):
            text = delete_span(text, int(found["span"]))
        elif found := _SET.fullmatch(change):
            text = set_key(text, found["path"], _value(found["value"]))
        else:
            raise NotEditable(
                f"`{change}` is no change: write `span.3.height = 200` or `without span 3`"
            )
    return read_draft(
        text,
        file=draft.file,
        workshop=draft.workshop_text or None,
        workshop_file=draft.workshop_file,
    )


def _value(written: str) -> object:
    """A number, yes or no, or text with or without its quotes."""
    if written in {"true", "false"}:
        return written == "true"
    try:
        return int(written) if re.fullmatch(r"[+-]?\d+", written) else float(written)
    except ValueError:
        pass
    quoted = len(written) > 1 and written[0] == written[-1] and written[0] in "\"'"
    return written[1:-1] if quoted else written


def differences(before: Quote, after: Quote) -> tuple[Difference, ...]:
    """Line by line, with the hours first."""
    rows = [
        Difference(
            name="Hours", before=round(100 * before.hours[1]), after=round(100 * after.hours[1])
        )
    ]
    old = {line.name: line.likely for line in before.lines}
    new = {line.name: line.likely for line in after.lines}
    rows += [
        Difference(name=name, before=old.get(name, 0), after=new.get(name, 0))
        for name in dict.fromkeys((*old, *new))
    ]
    return tuple(rows)
