"""How is a text file replaced, so that at every instant the old one or the new one is there?"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def replace_text(path: Path, text: str) -> None:
    """Write a whole text in place of a file; its rights stay. Errors: OSError, and nothing changed.

    Source: POSIX rename(2) is atomic; the data reach the disk before the name does.
    """
    path = path.resolve()
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    made = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        made.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        made.replace(path)
    except BaseException:
        made.unlink(missing_ok=True)
        raise
