"""Which drafts lie in the folder, and how are they made, copied, renamed?

A draft is known by its way below the folder without its ending, as `02-tideline/tideline`. What
a browser asks for is only ever looked up among the drafts that are there: no way is built from it,
and nothing outside the folder is read or written, not even through a link.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from crossfell.draft.files import WORKSHOP, workshops_of
from crossfell.draft.reader import MOST_LETTERS
from crossfell.papers.make import write_whole

DEEPEST = 3  # folders within the folder that are looked through
MOST_DRAFTS = 500
_NAME = re.compile(r"[^\W_][\w '()+.-]{0,79}")


class Refused(ValueError):  # noqa: N818 -- it is what happened to what was asked
    """What was asked for cannot be done; the sentence says why, for the maker."""


class Folder:
    """A folder of drafts."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve(strict=True)

    def drafts(self) -> dict[str, Path]:
        """Every draft by its name, sorted."""
        found: dict[str, Path] = {}
        self._look(self.root, 0, found)
        return dict(sorted(found.items()))

    def path_of(self, piece: str) -> Path:
        """The file of a draft. Errors: Refused when there is none of that name."""
        path = self.drafts().get(piece)
        if path is None:
            raise Refused(f"there is no draft {piece} in this folder")
        return path

    def workshop_of(self, path: Path) -> Path | None:
        """The workshop.toml beside a draft or in the folder above, inside this folder."""
        for workshop in workshops_of(path):
            if self._inside(workshop) and workshop.is_file():
                return workshop
        return None

    def passed_over(self, path: Path) -> Path | None:
        """A workshop.toml that `crossfell check` would read for a draft, but that lies outside.

        Only whether it is there is looked at, never what it says.
        """
        _, above = workshops_of(path)
        outside = not self._inside(above) and above.is_file()
        return above if outside and self.workshop_of(path) is None else None

    def create(self, name: str, text: str, *, beside: Path | None = None) -> str:
        """Write a new draft; returns its name. Errors: Refused for a name that is taken or odd."""
        path = self._free((beside or self.root), name)
        with path.open("x", encoding="utf-8", newline="") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        return self._name(path)

    def rename(self, piece: str, name: str) -> str:
        """Give a draft's file another name, in the same folder; returns its new name."""
        old = self.path_of(piece)
        new = self._free(old.parent, name)
        os.link(old, new)  # refuses to write over a file that came meanwhile
        old.unlink()
        return self._name(new)

    def read(self, path: Path) -> bytes:
        """The bytes of a file of this folder, if it is not too large to be a draft."""
        if not self._inside(path):
            raise Refused(f"{path.name} lies outside this folder")
        if path.stat().st_size > 4 * MOST_LETTERS:
            raise Refused(f"{path.name} is too large to be a draft")
        return path.read_bytes()

    def save(self, path: Path, text: str) -> None:
        """Write a draft whole or not at all, so that it is there when power fails."""
        if not self._inside(path):
            raise Refused(f"{path.name} lies outside this folder")
        write_whole(path, text.encode("utf-8"))
        handle = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def _look(self, folder: Path, depth: int, found: dict[str, Path]) -> None:
        for entry in sorted(folder.iterdir()):
            if entry.name.startswith(".") or entry.name.endswith(".made"):
                continue
            if not self._inside(entry) or len(found) >= MOST_DRAFTS:
                continue
            if entry.is_dir() and depth < DEEPEST:
                self._look(entry, depth + 1, found)
            elif entry.suffix == ".toml" and entry.name != WORKSHOP and entry.is_file():
                found[self._name(entry)] = entry

    def _name(self, path: Path) -> str:
        return path.relative_to(self.root).with_suffix("").as_posix()

    def _inside(self, path: Path) -> bool:
        return path.resolve().is_relative_to(self.root)

    def _free(self, folder: Path, name: str) -> Path:
        clean = name.strip().removesuffix(".toml")
        if not _NAME.fullmatch(clean) or clean == "workshop":
            raise Refused("a draft's name is made of letters, numbers, blanks and - ( ) + .")
        path = folder / f"{clean}.toml"
        if path.exists() or not self._inside(path):
            raise Refused(f"there is a draft {clean} already")
        return path
