"""Why can this text not be read as TOML, and what did its maker probably mean?

The standard reader says in its own words where it stops. Here these become craft words, with a
guess at the usual slips: a length without quotes, a comma for a point, a quote left open.
"""

from __future__ import annotations

import re

from crossfell.base.notes import Note, Where, error

_AT = re.compile(r"\(at line (\d+), column (\d+)\)")
_PAIR = r"^\s*(?P<key>[\w.\"'-]+)\s*=\s*"
_UNITS = "mm|cm|m|in|ft|yd|kg|g|oz|lb|c?N|%|deg|min|h|tex"
_BARE_QUANTITY = re.compile(_PAIR + rf"(?P<bare>[\d./]+(?:\s+\d+/\d+)?\s*(?:{_UNITS}))\s*(?:#|$)")
_COMMA = re.compile(_PAIR + r"(?P<bare>\d+,\d+)\s*(?:#|$)")
_WORDS = re.compile(_PAIR + r"(?P<bare>[^\W\d][^#=\"'\[{]*?)\s*(?:#|$)")
_CURLY = re.compile("[“”„‟«»‘’‚]")
_VALUE = "Invalid value"
_MORE = "Expected newline or end of document after a statement"
_OPEN = "a quote is opened, but not closed"
_SAID = {
    _VALUE: "a value is text in quotes, a number, true or false, or a list in [ ]",
    _MORE: "nothing more can stand in this line: each key has a line of its own",
    "Expected '=' after a key in a key/value pair": "after a key stands `=` and its value",
    "Invalid initial character for a key part": "a line begins with a key, `[table]` or `#`",
    "Invalid statement": "a line begins with a key, `[table]` or `#`",
    "Unterminated string": _OPEN,
    "Expected \"'\"": _OPEN,
    "Illegal character '\\n'": "a quote is opened in this line, but not closed",
    "Unescaped '\\' in a string": "a backslash cannot stand alone in text",
    "Unclosed array": "between two values of a list stands a comma, after the last `]`",
    "Cannot overwrite a value": "this is written twice",
    "Unclosed inline table": "a table in braces stands on one line, with commas and `}`",
    "Expected ']' at the end of a table declaration": "a table's name stands in brackets: [name]; "
    'with a blank or an accent it needs quotes: [yarn."rosé"]',
    "Expected ']]' at the end of an array declaration": "[[span]] has two brackets on each side",
}  # fmt: skip
_TWICE = re.compile(
    r"Cannot declare \((?P<way>.*?),?\) twice|Duplicate inline table key '(?P<key>.*)'"
)


def not_toml(text: str, file: str, says: str) -> Note:
    """The note for a text that the standard reader refuses with these words."""
    lines = text.split("\n")
    found = _AT.search(says)
    line, column = (int(found[1]), int(found[2])) if found else (len(lines), len(lines[-1]) + 1)
    row = lines[line - 1].rstrip("\r") if line <= len(lines) else ""
    plain = _AT.sub("", says).replace("(at end of document)", "").strip()
    slip = _slip(row) if plain in {_VALUE, _MORE} else None
    if slip:
        start, length, known = slip
        return error("not-toml", Where(file, line, start + 1, length), says=known)
    if plain == "Cannot overwrite a value" and (pair := re.match(_PAIR, row)):
        where = Where(file, line, pair.start("key") + 1, len(pair["key"]))
        return error("not-toml", where, says=f"`{pair['key']}` is written twice in this table")
    if plain == "Unterminated string" and not found:
        line, column = _opened_at(text) or (line, column)
    return error("not-toml", Where(file, line, column, 1), says=_in_craft_words(plain, row))


def where_of(text: str, file: str, offset: int, length: int = 1) -> Where:
    """The place of a character (from 0) of a text."""
    line_start = text.rfind("\n", 0, offset) + 1
    return Where(file, text.count("\n", 0, offset) + 1, offset - line_start + 1, length)


def _slip(row: str) -> tuple[int, int, str] | None:
    """A usual slip in a line: where it is, how long, what would be right."""
    if found := _CURLY.search(row):
        return found.start(), 1, 'text stands in straight quotes: "…"'
    for slip, says in (
        (_BARE_QUANTITY, 'a number with its unit is text: "{bare}"'),
        (_COMMA, "decimals stand after a point: {point}"),
        (_WORDS, 'text stands in quotes: "{bare}"'),
    ):
        found = slip.search(row)
        if found and found["bare"] not in {"true", "false"}:
            bare = found["bare"]
            told = says.format(bare=bare, point=bare.replace(",", "."))
            return found.start("bare"), len(bare), told
    return None


def _opened_at(text: str) -> tuple[int, int] | None:
    """Line and column of the last triple quote: what is open at the end was opened there."""
    spot = max(text.rfind('"""'), text.rfind("'''"))
    if spot < 0:
        return None
    return text.count("\n", 0, spot) + 1, spot - text.rfind("\n", 0, spot)


def _in_craft_words(says: str, row: str) -> str:
    if ("'span'" in says and "twice" in says) or row.lstrip().startswith("[["):
        return "each span begins with `[[span]]`, two brackets on each side"
    if found := _TWICE.search(says):
        way = found["key"] or ".".join(re.findall(r"'([^']*)'", found["way"] or ""))
        return f"`{way}` is written twice"
    if says.startswith("Illegal character") and says not in _SAID:
        return "here stands a sign that cannot be seen"
    return _SAID.get(says, says)
