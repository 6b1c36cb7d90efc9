"""How does a scene become a PNG, with its own letters?"""

from __future__ import annotations

import math
from importlib.resources import as_file, files

from crossfell.drawings.scene import Scene
from crossfell.drawings.svg import number, svg

MM_PER_INCH = 25.4
MOST_PX = 24e6  # of a whole picture: what viewers open without trouble; common practice
LEAST_END_PX = 2.2  # neighbouring ends nearer than this are drawn as the colour they mix to


def png(scene: Scene, *, width_px: int) -> bytes:
    """The scene as a PNG, `width_px` wide, less if it were too many; the same bytes each time.

    Errors: an error of the rasteriser is our own fault and is raised.
    """
    import tempfile
    from pathlib import Path

    import typst

    width_px = min(width_px, int(math.sqrt(MOST_PX * scene.width_mm / scene.height_mm)))
    fine = scene.end_pitch_mm * width_px / scene.width_mm >= LEAST_END_PX
    page = (
        f"#set page(width: {number(scene.width_mm)}mm, height: {number(scene.height_mm)}mm, "
        'margin: 0pt)\n#set document(date: none)\n#image("scene.svg", width: 100%, height: 100%)\n'
    )
    with (
        as_file(files("crossfell.drawings") / "fonts") as fonts,
        tempfile.TemporaryDirectory() as t,
    ):
        drawn = svg(scene, fine=fine, letters=False)
        (Path(t) / "scene.svg").write_text(drawn, encoding="utf-8")
        (Path(t) / "page.typ").write_text(page, encoding="utf-8")
        made: bytes = typst.compile(
            str(Path(t) / "page.typ"),
            root=t,
            format="png",
            ppi=width_px * MM_PER_INCH / scene.width_mm,
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
        )
    return made
