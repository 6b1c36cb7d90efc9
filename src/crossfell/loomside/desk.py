"""What can be done with a record away from the loom: read it, copy it, carry it, learn from it?"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Table

from crossfell.base.nearest import meant
from crossfell.base.quantities import read_quantity
from crossfell.draft.files import workshops_of
from crossfell.loomside.asked import adopt, answer_text, asked, go_back, leave_way
from crossfell.loomside.guide import Guide
from crossfell.loomside.leading import CannotLead, plan_of_file
from crossfell.loomside.photo_look import looked_at, verdict_text
from crossfell.record.clock import Clock, system_clock
from crossfell.record.edition import NothingToRepeat, edition_of
from crossfell.record.events import Event
from crossfell.record.exchange import exported
from crossfell.record.hours import hours_of
from crossfell.record.learned import learned_from
from crossfell.record.opening import NotSaved, RecordRefused
from crossfell.record.replace import replace_text
from crossfell.record.store import Record, read_record, record_path
from crossfell.record.telling import log_table, log_text, minutes_lines

__all__ = ["CannotLead", "NotSaved", "RecordRefused"]


def log_of(file: Path) -> tuple[str, dict[str, Any]]:
    """The log of a draft, to read and as a table. Errors: RecordRefused, CannotLead, OSError."""
    plan = plan_of_file(file)
    events: tuple[Event, ...] = ()
    if record_path(file).exists():
        events, _ = read_record(record_path(file))
    table = log_table(plan.steps, plan.piece.order.names, events)
    return log_text(plan.piece.draft.about.title, table), table


def as_json(table: dict[str, Any]) -> str:
    """A table for other programs."""
    return json.dumps(table, ensure_ascii=False, indent=1) + "\n"


def note_words(file: Path, kind: str, words: Sequence[str]) -> str:
    """Keep what she wrote on the command line. Errors: ValueError in a sentence, as `note_down`."""
    rest = " ".join(words)
    if kind in {"note", "woven"}:
        return note_down(file, kind, {"text": rest})
    if kind == "photo":
        return note_down(file, kind, {"path": rest})
    if kind in {"join", "broken-end"}:
        return note_down(file, kind, {"unit": _unit(file, words[0]), "text": " ".join(words[1:])})
    if kind == "drying":
        return note_down(file, kind, {"minutes": read_quantity(rest, "minutes")})
    if len(words) < 2:
        raise ValueError(f"{kind} needs two words: a name, and what it is now")
    if kind == "lot":
        return note_down(file, kind, {"yarn": _yarn(file, words[0]), "lot": " ".join(words[1:])})
    mass = read_quantity(" ".join(words[1:]), "mass")
    if kind == "used":
        return note_down(file, kind, {"yarn": _yarn(file, words[0]), "mass_g": mass})
    return note_down(file, kind, {"unit": _unit(file, words[0]), "mass_g": mass})


def _unit(file: Path, name: str) -> str:
    names = plan_of_file(file).piece.order.names
    if name not in names:
        raise ValueError(f"there is no unit {name}; {meant(name, names)}")
    return name


def _yarn(file: Path, name: str) -> str:
    yarns = plan_of_file(file).piece.draft.yarns
    if name not in yarns:
        raise ValueError(f"there is no yarn {name}; {meant(name, yarns)}")
    return name


def note_down(file: Path, kind: str, says: dict[str, Any], *, clock: Clock = system_clock) -> str:
    """Add something to the record at the step that she is at. Errors: NotSaved and others."""
    guide = Guide(file, clock=clock)
    try:
        now = guide.now()
        index = now.progress.at if now.step is not None else None
        guide.tell([guide.event(kind, index=index, says=says)])
        return f"kept at step {now.step.number}" if now.step else "kept"
    finally:
        guide.close()


def again(file: Path, new: Path, *, unfinished: bool = False) -> str:
    """Write the draft of the next edition; its number.

    Errors: ValueError while steps of the first are left, unless `unfinished`; RecordRefused,
    NotSaved, OSError.
    """
    draft = plan_of_file(file).piece.draft
    try:
        text, number = edition_of(draft, *read_record(record_path(file)))
    except NothingToRepeat as problem:
        raise RecordRefused(str(problem)) from problem
    done, steps = _how_far(file)
    if done < steps and not unfinished:
        raise ValueError(
            f"{file.name} is not finished: {done} of {steps} steps are done, and the record does "
            "not know the rest; `--unfinished` makes the next edition from it all the same"
        )
    with new.open("x", encoding="utf-8") as out:
        out.write(text)
    note_down(file, "edition", {"number": number, "file": new.name})
    return number


def _how_far(file: Path) -> tuple[int, int]:
    """Steps done, and steps in all."""
    guide = Guide(file)
    try:
        now = guide.now()
        return now.progress.at, len(now.plan.steps)
    finally:
        guide.close()


def look(file: Path, photo: Path) -> tuple[bool, str]:
    """Whether a photograph shows the arrangement of now, and what it shows. Errors: NotReadable."""
    guide = Guide(file)
    try:
        verdict = looked_at(guide, photo.read_bytes())
        return verdict.right, verdict_text(verdict)
    finally:
        guide.close()


def mistake(file: Path, says: Mapping[str, object], way: str = "") -> str:
    """What went wrong, in words as detours.py reads them; she may choose a way at once.

    `way`: "keep" writes the draft as woven, "walk" leads her back, "leave" ends a way back. Errors:
    NotShown and those of `Guide`.
    """
    guide = Guide(file)
    try:
        if way == "leave":
            return leave_way(guide)
        found = asked(guide, says)
        text = answer_text(found, guide.now().plan.piece.draft)
        if way == "walk":
            go_back(guide, says)
            now = guide.now()
            text += f"\n\nThe way back begins at step {now.progress.at + 1} of `crossfell loom`."
        if way == "keep":
            adopt(guide, found)
            text += f"\n\n{file.name} is written as woven; the text before is in the record."
        return text
    finally:
        guide.close()


def learn(file: Path) -> tuple[Path, dict[str, tuple[float, str]]]:
    """Write her own minutes into workshop.toml, remarks kept. Errors: RecordRefused, OSError."""
    events, _ = read_record(record_path(file))
    lines = minutes_lines(learned_from(hours_of(events)))
    beside, above = workshops_of(file)
    workshop = above if above.is_file() and not beside.is_file() else beside
    if not lines:
        return workshop, lines
    text = workshop.read_text(encoding="utf-8") if workshop.is_file() else ""
    try:
        replace_text(workshop, _with_minutes(text, lines))
    except TOMLKitError as problem:
        raise OSError(f"{workshop} cannot be read: {problem}") from problem
    return workshop, lines


def backup(file: Path, to: Path) -> None:
    """Copy the record, safe while it is in use. Errors: RecordRefused, NotSaved."""
    if not record_path(file).exists():
        raise RecordRefused(f"{record_path(file)} is not there: nothing was recorded yet")
    with Record(record_path(file)) as record:
        record.backup(to)


def export(file: Path) -> str:
    """The whole record as JSON. Errors: RecordRefused."""
    return exported(*read_record(record_path(file)))


def _with_minutes(text: str, lines: dict[str, tuple[float, str]]) -> str:
    document = tomlkit.parse(text)
    if "minutes" not in document:
        document["minutes"] = tomlkit.table()
    table = document["minutes"]
    if not isinstance(table, Table):
        raise OSError("`minutes` of the workshop is not a table")
    for kind, (value, remark) in lines.items():
        item = tomlkit.item(value)
        item.comment(remark)
        table[kind] = item
    return tomlkit.dumps(document)
