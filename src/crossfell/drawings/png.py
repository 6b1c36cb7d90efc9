"""How does a scene become a PNG, without a browser and with its own letters?"""

from __future__ import annotations

from importlib.resources import as_file, files

from crossfell.drawings.scene import Scene
from crossfell.drawings.svg import number, svg

MM_PER_POINT = 25.4 / 72
LEAST_END_PX = 2.2  # neighbouring ends nearer than this are drawn as the colour they mix to


def png(scene: Scene, *, width_px: int) -> bytes:
    """The scene as a PNG, `width_px` wide; the same bytes each time.

    Errors: an error of the rasteriser is our own fault and is raised.
    """
    import tempfile
    from pathlib import Path

    import typst

    px_per_mm = width_px / scene.width_mm
    drawn = svg(scene, fine=scene.end_pitch_mm * px_per_mm >= LEAST_END_PX, letters=False)
    page = (
        f"#set page(width: {number(scene.width_mm)}mm, height: {number(scene.height_mm)}mm, "
        'margin: 0pt)\n#image("scene.svg", width: 100%, height: 100%)\n'
    )
    with (
        as_file(files("crossfell.drawings") / "fonts") as fonts,
        tempfile.TemporaryDirectory() as t,
    ):
        (Path(t) / "scene.svg").write_text(drawn, encoding="utf-8")
        (Path(t) / "page.typ").write_text(page, encoding="utf-8")
        image: bytes = typst.compile(
            str(Path(t) / "page.typ"),
            root=t,
            format="png",
            ppi=72 * width_px * MM_PER_POINT / scene.width_mm,
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
        )
    return image
