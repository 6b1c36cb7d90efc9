"""What does the piece look like: hung, at the loom, from behind, as a cartoon?"""

from __future__ import annotations

from dataclasses import replace

from crossfell.drawings.cloth import cloth_of
from crossfell.drawings.look import INK, WALL_LOW, WALL_TOP, look_of
from crossfell.drawings.margins import Margins, Printed, labels_of, margins_of, names_at_bands
from crossfell.drawings.scene import DrawnPath, Fade, Layer, Scene, rectangle
from crossfell.drawings.views import view_of
from crossfell.piece import Piece


def front_view(
    piece: Piece, *, style: str = "full", labels: bool = True, printed: Printed | None = None
) -> Scene:
    """The piece as it hangs, from the front. Styles: full, line, cartoon."""
    return picture(piece, "front", style=style, labels=labels, printed=printed)


def loom_view(
    piece: Piece, *, style: str = "full", labels: bool = True, printed: Printed | None = None
) -> Scene:
    """The piece as seen from the weaver's seat, its first band nearest to her."""
    return picture(piece, "loom", style=style, labels=labels, printed=printed)


def behind(piece: Piece, *, style: str = "full", labels: bool = True) -> Scene:
    """The hung piece from behind: left and right, over and under, faces are exchanged."""
    return picture(piece, "behind", style=style, labels=labels)


def cartoon(piece: Piece, *, labels: bool = True) -> Scene:
    """Outlines at true size, as it hangs: 1 mm of the scene is 1 mm of the piece.

    Its labels are for someone who stands before the paper: every unit is named, small, above and
    below each band.
    """
    scene = picture(piece, "front", style="cartoon", labels=False)
    if not labels:
        return scene
    names = names_at_bands(piece, view_of(piece, "front"), scene.at["x"], scene.at["y"])
    return replace(scene, layers=(*scene.layers, Layer("names", names)))


def picture(
    piece: Piece, view_name: str, *, style: str, labels: bool, printed: Printed | None = None
) -> Scene:
    """The whole piece in a view and a style. A draft without units or spans is an empty wall.

    Where it will be printed no larger than `printed`, its letters are large enough to be read.
    """
    view, look = view_of(piece, view_name), look_of(piece.draft, style)
    frame = margins_of(piece, view, labels=labels, printed=printed)
    cloth = cloth_of(piece, view, look, frame.x, frame.y)
    layers = [_wall(frame, style), *cloth.layers()]
    if labels:
        layers.append(Layer("letters", labels_of(piece, view, frame)))
    return Scene(
        width_mm=frame.width,
        height_mm=frame.height,
        title=piece.draft.about.title,
        says=f"{piece.draft.about.title}, {view.says}",
        layers=tuple(layers),
        symbols=tuple(cloth.symbols.values()),
        fades=(_light(frame), *cloth.fades.values()) if style == "full" else (),
        hatches=look.hatches,
        clips=tuple(cloth.clips),
        end_pitch_mm=_end_pitch(piece),
        at={"x": frame.x, "y": frame.y},
    )


def _wall(frame: Margins, style: str) -> Layer:
    fill = "url(#light)" if style == "full" else "#ffffff"
    return Layer("wall", (DrawnPath(rectangle(0, 0, frame.width, frame.height), fill=fill),))


def _light(frame: Margins) -> Fade:
    stops = ((0.0, WALL_TOP, 1.0), (1.0, WALL_LOW, 1.0))
    return Fade("light", (0, 0), (0.3 * frame.width, frame.height), stops)


def _end_pitch(piece: Piece) -> float:
    draft = piece.draft
    steps = [
        draft.strips[kind.strip].width_mm / max(1, kind.end_count) for kind in draft.kinds.values()
    ]
    return min(steps, default=1.0)


__all__ = ["INK", "behind", "cartoon", "front_view", "loom_view", "picture"]
