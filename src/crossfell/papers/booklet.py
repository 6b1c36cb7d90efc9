"""What is in the booklet, in which order, so that one file holds all that the piece needs?"""

from __future__ import annotations

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
    own comes last: labels, and the cartoon at true size.
    """
    album = Album()
    chapters = [
        chapter("For the client", (*for_the_client(piece), quotation(piece)), album),
        chapter("At the bench", bench_papers(piece), album),
        cards(piece, album, title="At the loom"),
        chapter("On the wall", (*handover(piece), invoice(piece)), album),
        labels(piece, album, title="Labels"),
        tiled(piece, album, title="Cartoon at true size"),
    ]
    return bound(piece.draft, chapters, album, contents=True)
