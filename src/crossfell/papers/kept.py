"""Which files are still as they were made from this very draft, and need not be made again?

A small list beside the files remembers, for each part, from what it was made and what came out.
A file that was changed, or is gone, is made again.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import Any

from crossfell import __version__
from crossfell.draft.model import Draft

LIST = ".made.json"
BESIDE = {"__pycache__", "web"}  # folders that no paper is made from


def origin_of(draft: Draft) -> str:
    """Hash of everything that files are made from: draft, workshop, and this program itself."""
    text = "\0".join([__version__, draft.text, draft.workshop_text, *_program()])
    return hashlib.sha256(text.encode(errors="surrogatepass")).hexdigest()


def _program() -> Iterator[str]:
    """Each file of this program that makes something, with its date and size."""
    for folder, inner, names in os.walk(str(files("crossfell"))):
        inner[:] = sorted(name for name in inner if name not in BESIDE)
        for name in sorted(names):
            path = Path(folder, name)
            if path.suffix in {".py", ".toml", ".typ", ".ttf"}:
                seen = path.stat()
                yield f"{path} {seen.st_mtime_ns} {seen.st_size}"


@dataclass
class FolderList:
    """The list of a folder. `parts` has, for each part, its origin and its files in order."""

    folder: Path
    origin: str
    more: Mapping[str, str] = field(default_factory=dict)  # what else a part is made from
    parts: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def of(cls, folder: Path, origin: str, more: Mapping[str, str] | None = None) -> FolderList:
        """Read the list; one that cannot be read counts as empty, and all is made again."""
        try:
            read = json.loads((folder / LIST).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            read = {}
        return cls(folder, origin, more or {}, read if isinstance(read, dict) else {})

    def still(self, part: str) -> list[tuple[Path, str]] | None:
        """The files of a part with what they are, if all are as they were made; else None."""
        row = self.parts.get(part)
        if not isinstance(row, dict) or row.get("origin") != self._origin(part):
            return None
        found = []
        for name, (says, digest) in row.get("files", {}).items():
            path = self.folder / name
            if not path.is_file() or _digest(path.read_bytes()) != digest:
                return None
            found.append((path, str(says)))
        return found

    def remember(self, part: str, made: Mapping[str, tuple[str, bytes]]) -> None:
        """Note what a part was made of: name to what it is and its content."""
        rows = {name: [says, _digest(content)] for name, (says, content) in made.items()}
        self.parts[part] = {"origin": self._origin(part), "files": rows}

    def _origin(self, part: str) -> str:
        return self.origin + self.more.get(part, "")

    def text(self) -> bytes:
        """The list as it is written."""
        return json.dumps(self.parts, indent=1, ensure_ascii=False).encode()


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
