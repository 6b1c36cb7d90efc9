"""Does the package carry the client of the studio that its sources make?

The built client is kept beside its sources, so that a machine without node can install. When it
was built from other sources than those that are there, it is built anew; without node that is an
error, for an old client with a new server would be worse.
See docs/decisions/0008-the-built-client-is-kept.md.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

STUDIO = Path("src/crossfell/studio")
FILES = ("index.html", "package.json", "package-lock.json", "tsconfig.json", "vite.config.js")


class ClientHook(BuildHookInterface):  # type: ignore[type-arg]
    """Build the client when it is not the one of its sources."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Run before a wheel is packed, or an editable one is made."""
        del version, build_data
        studio = Path(self.root) / STUDIO
        web, built = studio / "web", studio / "static" / "built-from.txt"
        if not web.is_dir() or (built.is_file() and built.read_text().strip() == digest(web)):
            return
        npm = shutil.which("npm")
        if npm is None:
            raise RuntimeError(
                "the studio's client was changed but not built, and there is no node to build it "
                "with; install node 20.19 or later, then run `make client`"
            )
        subprocess.run([npm, "ci", "--ignore-scripts"], cwd=web, check=True)
        subprocess.run([npm, "run", "build"], cwd=web, check=True)


def digest(web: Path) -> str:
    """SHA-256 of everything that the client is built from, as the build itself reckons it."""
    inside = [path for path in (web / "src").rglob("*") if path.is_file()]
    paths = sorted(
        path.relative_to(web).as_posix() for path in [*(web / f for f in FILES), *inside]
    )
    made = hashlib.sha256()
    for name in paths:
        made.update(name.encode() + b"\0" + (web / name).read_bytes() + b"\0")
    return made.hexdigest()
