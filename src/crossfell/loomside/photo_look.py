"""Does a photograph show the batten as it should lie now?"""

from __future__ import annotations

from collections.abc import Sequence

from crossfell.draft.model import Draft
from crossfell.loomside.guide import Guide
from crossfell.loomside.photo_check import UNIT, PhotoVerdict, checked
from crossfell.loomside.photo_marks import Mark, marks_in
from crossfell.papers.typeset import version_of


def looked_at(guide: Guide, photo: bytes) -> PhotoVerdict:
    """The verdict on a photograph of the batten, taken from the front, before the step to do.

    At a step that only looks, that is also how it must lie. Errors: NotReadable.
    """
    now = guide.now()
    strips = now.plan.sights[now.progress.at].strips
    names = now.plan.piece.order.names
    row = [None if unit is None else names[unit] for unit in strips.now]
    faces = [1 if unit is None else strips.faces[unit] for unit in strips.now]
    texts = [text for text, _ in guide.record.drafts().values()]
    versions = {version_of(Draft(text=text)) for text in texts}
    versions.add(version_of(now.plan.piece.draft))

    def enough(found: Sequence[Mark]) -> bool:
        return len({mark.text for mark in found if UNIT.fullmatch(mark.text)}) >= len(names)

    known = {
        f"crossfell {version} unit {name} {side}"
        for version in versions
        for name in names
        for side in ("front", "back")
    }
    return checked(marks_in(photo, enough=enough, known=known), row, faces, versions, names)


HEADS = {
    "right": "RIGHT: every strip lies as planned.",
    "wrong": "WRONG:",
    "cannot tell": "CANNOT TELL:",
}


def head_of(verdict: PhotoVerdict) -> str:
    """The verdict in few words, as it is spoken."""
    return HEADS[verdict.says]


def verdict_text(verdict: PhotoVerdict) -> str:
    """The verdict in a few lines, the first of which is its head."""
    read = [f"read: {' '.join(verdict.read)}"] if verdict.read and not verdict.right else []
    return "\n".join([head_of(verdict), *(f"  {why}" for why in verdict.why), *read])
