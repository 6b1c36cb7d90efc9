"""How does a scene become a PNG, with our own letters, the same bytes each time?"""

from __future__ import annotations

from importlib.resources import as_file, files

from crossfell.drawings.scene import Scene
from crossfell.drawings.svg import number, svg


def png(scene: Scene, *, width_px: int = 1600) -> bytes:
    """Render a scene, `width_px` wide."""
    import tempfile
    from pathlib import Path

    import typst

    with (
        as_file(files("crossfell.drawings") / "fonts") as fonts,
        tempfile.TemporaryDirectory() as t,
    ):
        root = Path(t)
        (root / "scene.svg").write_text(svg(scene), encoding="utf-8")
        width, height = number(scene.width_mm), number(scene.height_mm)
        (root / "page.typ").write_text(
            f"#set page(width: {width}mm, height: {height}mm, margin: 0mm)\n"
            f'#image("scene.svg", width: {width}mm, height: {height}mm)\n',
            encoding="utf-8",
        )
        picture: bytes = typst.compile(
            str(root / "page.typ"),
            root=str(root),
            format="png",
            ppi=width_px / (scene.width_mm / 25.4),
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
        )
    return picture
