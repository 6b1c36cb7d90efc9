"""Which tables of a draft could all pieces share, and how do they go into a workshop.toml?

They go as they are written, remarks and layout with them. A draft whose tables went over says the
same as before, with the workshop behind it.
"""

from __future__ import annotations

from collections.abc import Iterator

from crossfell.draft.edit_keys import lead, own_end
from crossfell.draft.script import Script, Splice, opened, spliced

SHARED = ("yarn", "strip", "loom", "adhesive", "stock", "rates", "week", "letterhead", "minutes")
OPENING = "# What the workshop owns. Every draft beside and below reads it; what a draft says wins."


def workshop_of(text: str) -> str:
    """A workshop's text from the tables of a draft that pieces can share.

    Errors: NotEditable when the draft cannot be read.
    """
    script = opened(text)
    measure, nl = script.at(("measure",)), script.newline
    blocks = [script.text[start:end].rstrip() for start, end in _blocks(script)]
    head = [OPENING, *([f'measure = "{measure}"'] if isinstance(measure, str) else [])]
    return (nl + nl).join((nl.join(head), *blocks)) + nl


def without_shared(text: str) -> str:
    """The draft without those tables. Errors: NotEditable when it cannot be read."""
    script = opened(text)
    splices: list[Splice] = []
    for start, end in _blocks(script):
        after = end
        while script.text[after : script.next_line(after)].strip() == "" and after < len(text):
            after = script.next_line(after)
        splices.append((start, after, ""))
    return spliced(script, splices)


def _blocks(script: Script) -> Iterator[tuple[int, int]]:
    """Start and end of each shared table that is written under its own heading."""
    headers = script.places.headers
    for k, (way, (start, _)) in enumerate(headers):
        if way[0] not in SHARED:
            continue
        more = k + 1 < len(headers)
        until = lead(script, headers[k + 1][1][0]) if more else len(script.text)
        yield lead(script, start), own_end(script, start, until)
