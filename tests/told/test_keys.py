"""A key of the language that nothing reads would be a promise that nobody keeps."""

import dataclasses
import re
from pathlib import Path

import pytest
from pieces_told import EXAMPLES, piece_of

from crossfell.draft import model, workshop
from crossfell.papers.model import Paragraph
from crossfell.papers.sheets import shopping

SOURCE = Path(model.__file__).parents[1]
TEXT = "\n".join(path.read_text(encoding="utf-8") for path in SOURCE.rglob("*.py"))
KEYS = sorted(
    {
        field.name
        for module in (model, workshop)
        for table in vars(module).values()
        if dataclasses.is_dataclass(table)
        for field in dataclasses.fields(table)
        if "kind" in field.metadata
    }
)


@pytest.mark.parametrize("name", KEYS)
def test_every_key_is_read_somewhere(name):
    assert re.search(rf"\.{name}\b", TEXT)


def test_the_shopping_list_says_how_long_a_brushed_band_dries():
    words = [b.text for b in shopping(piece_of(EXAMPLES[0])).blocks if isinstance(b, Paragraph)]
    assert any("touch dry after 40 min" in text for text in words)
