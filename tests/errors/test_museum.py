"""Every code has a specimen, and every specimen its exact message."""

from __future__ import annotations

import museum
import pytest

from crossfell.base.prose import PROSE


def test_every_code_has_a_specimen():
    """Write tests/errors/<code>.txt (see museum.py) for each code that is missing here."""
    assert sorted(set(PROSE) - set(museum.codes())) == []


def test_every_specimen_is_of_a_code():
    assert sorted(set(museum.codes()) - set(PROSE)) == []


@pytest.mark.parametrize("code", museum.codes())
def test_the_message_is_exactly_this(code):
    """What is wrong, where, what is known and what would be right, letter by letter."""
    draft, message = museum.specimen(code)
    assert museum.said(code, draft)[0] == message


@pytest.mark.parametrize("code", museum.codes())
def test_a_message_points_at_its_line(code):
    """Each names a line of the draft; only what concerns the whole file does not."""
    message = museum.specimen(code)[1]
    if code not in {"no-spans", "no-warp", "too-large"}:
        assert "\n" in message
        assert " | " in message.split("\n = ")[0]
        assert "^" in message


def test_codes_are_sorted():
    assert list(PROSE) == sorted(PROSE)


def test_the_page_of_messages_is_up_to_date():
    """Run `python tests/errors/museum.py` after a change of words, and read what changed."""
    assert museum.PAGE.read_text(encoding="utf-8") == museum.page()
