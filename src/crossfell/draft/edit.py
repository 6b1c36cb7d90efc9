"""How is a draft changed without touching what its maker wrote around the change?

Every function here takes the text of a draft and gives the text after one edit: remarks, layout,
quotes and line ends stay. Spans, moves and what else is listed are numbered from 1, as in
messages; a repeat that is touched is written out first (`edit_repeats.py`). What cannot be done
raises `NotEditable` with a sentence for the maker. A text that comes back can always be read as
TOML; whether the draft makes sense, its reader says.
"""

from __future__ import annotations

from crossfell.draft import edit_keys, edit_moves, edit_runs, edit_spans
from crossfell.draft.edit_keys import add_table, add_yarn
from crossfell.draft.edit_moves import Site
from crossfell.draft.edit_names import rename
from crossfell.draft.edit_repeats import number_in_piece, of_piece, written_out
from crossfell.draft.script import NotEditable

__all__ = [
    "NotEditable",
    "Site",
    "add_move",
    "add_table",
    "add_yarn",
    "backwards",
    "change_move",
    "copy_span",
    "delete_span",
    "find_move",
    "insert_span",
    "make_figure",
    "mirror",
    "move_span",
    "moves_of",
    "remove_move",
    "rename",
    "reverse",
    "set_height",
    "set_key",
    "set_moves",
    "unset_key",
    "written_out",
]

add_move = of_piece(edit_moves.add_move)
backwards = of_piece(edit_runs.backwards)
change_move = of_piece(edit_moves.change_move)
copy_span = of_piece(edit_spans.copy_span)
delete_span = of_piece(edit_spans.delete_span)
insert_span = of_piece(edit_spans.insert_span)
make_figure = of_piece(edit_runs.make_figure)
mirror = of_piece(edit_runs.mirror)
move_span = of_piece(edit_spans.move_span)
moves_of = of_piece(edit_moves.moves_of)
remove_move = of_piece(edit_moves.remove_move)
reverse = of_piece(edit_runs.reverse)
set_height = of_piece(edit_keys.set_height)
set_key = of_piece(edit_keys.set_key)
set_moves = of_piece(edit_moves.set_moves)
unset_key = of_piece(edit_keys.unset_key)


def find_move(text: str, line: int, column: int) -> tuple[Site, int] | None:
    """Which move stands at a line and column (from 1): its span or figure, and its number."""
    found = edit_moves.find_move(text, line, column)
    if found is None or not isinstance(found[0], int):
        return found
    return number_in_piece(text, found[0]), found[1]
