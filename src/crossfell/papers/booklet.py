"""What is in the booklet, in which order, so that one file holds all that the piece needs?"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from crossfell.drawings.album import Album
from crossfell.papers.cartoon import tiled
from crossfell.papers.handover import for_the_client, handover
from crossfell.papers.labels import labels
from crossfell.papers.loom_cards import cards
from crossfell.papers.quote_sheet import invoice, quotation
from crossfell.papers.sheets import bench_papers
from crossfell.papers.typeset import bound, chapter
from crossfell.piece import Piece


def booklet_pdf(piece: Piece) -> bytes:
    """Everything on paper, in the order of its use, with one run of pages.

    The steps stand on the cards, so their plain list is left out. What is printed on stock of its
    own comes last: labels, and the cartoon at true size. The client's picture takes longest and is
    computed beside the rest. It is for print: the single files have tags for reading aloud.
    """
    album = Album()
    with ThreadPoolExecutor(max_workers=1) as aside:  # arrays: they leave Python to others
        client = aside.submit(for_the_client, piece)
        rest = [
            chapter("At the bench", bench_papers(piece), album),
            cards(piece, album, title="At the loom"),
            chapter("On the wall", (*handover(piece), invoice(piece)), album),
            labels(piece, album, title="Labels"),
            tiled(piece, album, title="Cartoon at true size"),
        ]
        sheets = (*client.result(), quotation(piece))
    first = chapter("For the client", sheets, album)
    return bound(piece.draft, [first, *rest], album, tags=False, contents=True)
