"""How is a draft changed without touching what its maker wrote around the change?

Every function here takes the text of a draft and gives the text after one edit: remarks, layout,
quotes and line ends stay. Spans, moves and what else is listed are numbered from 1, as in
messages. What cannot be done raises `NotEditable` with a sentence for the maker. A text that
comes back can always be read as TOML; whether the draft makes sense, its reader says.
"""

from __future__ import annotations

from crossfell.draft.edit_keys import add_table, add_yarn, set_height, set_key, unset_key
from crossfell.draft.edit_moves import (
    Site,
    add_move,
    change_move,
    find_move,
    moves_of,
    remove_move,
    set_moves,
)
from crossfell.draft.edit_names import rename
from crossfell.draft.edit_runs import backwards, make_figure, mirror, reverse
from crossfell.draft.edit_spans import copy_span, delete_span, insert_span, move_span
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
]
