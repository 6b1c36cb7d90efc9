"""How does the flat picture of the hung piece reach the browser, and when is there none?

Working out how a piece comes to rest takes longer than drawing it: it is asked for first, in
words, and the picture after that. A picture has the key of all that it depends on.
"""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from crossfell.drawings.hung import hung_alone
from crossfell.drawings.svg import svg
from crossfell.studio.desk import Desk, OpenDraft
from crossfell.studio.folder import Refused
from crossfell.studio.pictures import svg_answer
from crossfell.studio.shelf import digest_of
from crossfell.studio.showing import is_large

SHAPES = ("hung", "both")
SIDES = ("front", "behind")
TIMES = {"1": 1.0, "5": 5.0, "20": 20.0}  # movements and bows so many times as large


def hung_told(draft: OpenDraft) -> dict[str, Any]:
    """The key of the hung pictures, once the rest is worked out; Refused where there is none."""
    _at_rest(draft)
    return {"revision": draft.state.revision, "key": digest_of(draft)}


def hung_answer(desk: Desk, request: Request) -> Response:
    """The hung piece alone, or over the drawn one, from the front or from behind."""
    shape, side = request.path_params["shape"], request.query_params.get("view", "front")
    times = request.query_params.get("times", "1")
    if shape not in SHAPES or side not in SIDES or times not in TIMES:
        raise Refused("there is no such picture")
    draft = desk.open(request.query_params.get("piece", ""))
    _at_rest(draft)
    piece, key = draft.piece, digest_of(draft)
    keep = request.query_params.get("v") == key

    def drawn() -> str:
        scene = hung_alone(
            piece, over_drawn=shape == "both", behind=side == "behind", times=TIMES[times]
        )
        return svg(scene, fine=False, letters=True)

    return svg_answer(request, f"hung-{shape}-{side}-{times}-{key}", keep, drawn)


def _at_rest(draft: OpenDraft) -> None:
    piece = draft.piece
    if not piece.computable:
        raise Refused("the draft has errors; set them right first")
    if is_large(piece):
        raise Refused("the piece is so large that this is left to `crossfell make`")
    if not piece.hung.converged:
        raise Refused("the computation does not come to rest; the findings say more")
