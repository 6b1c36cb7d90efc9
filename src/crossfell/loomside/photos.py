"""Where do photographs taken at a step lie? In a folder beside the draft, named after the step."""

from __future__ import annotations

import os
import uuid
from pathlib import Path

from crossfell.loomside.guide import Guide

SUFFIX = ".photos"
_BEGINS = {b"\xff\xd8\xff": "jpg", b"\x89PNG\r\n\x1a\n": "png"}


class NotAPhoto(ValueError):  # noqa: N818 - it is a sentence for who sent it
    """What was sent is no photograph that can be kept."""


def photo_folder(draft_file: Path) -> Path:
    """The folder of a draft's photographs."""
    return draft_file.with_suffix(SUFFIX)


def keep_photo(guide: Guide, picture: bytes) -> str:
    """Keep a photograph at the step to do; its path from the draft's folder.

    Errors: NotAPhoto, NotSaved, OSError. The file is on the disk before the record names it.
    """
    kind = next((kind for begin, kind in _BEGINS.items() if picture.startswith(begin)), None)
    if kind is None:
        raise NotAPhoto("photographs are JPEG or PNG")
    now = guide.now()
    number = now.progress.at + 1
    folder = photo_folder(guide.file)
    folder.mkdir(exist_ok=True)
    path = folder / f"step-{number:04d}-{uuid.uuid4().hex[:8]}.{kind}"
    part = path.with_suffix(".part")
    with part.open("xb") as out:
        out.write(picture)
        out.flush()
        os.fsync(out.fileno())
    part.replace(path)
    says = {"path": f"{folder.name}/{path.name}"}
    index = now.progress.at if now.step is not None else None
    guide.tell([guide.event("photo", index=index, says=says)])
    return str(says["path"])
