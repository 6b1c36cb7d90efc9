"""Which pixels does an SVG have? A program of its own: standard input to standard output.

A drawing from outside may be made to take all the memory and time there is: this process takes a
bounded share of both, and whoever started it ends it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

WIDTH_PX = 1200
MOST_MEMORY = 3_000_000_000
MOST_SECONDS = 15


def main() -> None:
    """Draw what comes in."""
    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
    except ImportError:  # no such limits on this system: the starter's clock stands
        pass
    import typst

    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "drawing.svg").write_bytes(sys.stdin.buffer.read())
        (Path(folder) / "page.typ").write_text(
            "#set page(width: 300pt, height: auto, margin: 0pt, fill: none)\n"
            '#image("drawing.svg", width: 100%)\n'
        )
        made = typst.compile(
            str(Path(folder) / "page.typ"), root=folder, format="png", ppi=72 * WIDTH_PX / 300,
            ignore_system_fonts=True,
        )  # fmt: skip
    sys.stdout.buffer.write(made if isinstance(made, bytes) else made[0])


if __name__ == "__main__":
    main()
