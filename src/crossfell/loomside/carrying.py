"""How does a whole record leave the program in one file, photographs and all, and come back?

A ZIP archive: `record.json` (every event, every text of the draft), the same events as a table in
`events.csv`, and the photographs under `photographs/`, where the record says that they lie. Coming
back, nothing that is there already is doubled or written over.
Source: the ZIP format (APPNOTE), RFC 4180. Checked: tests/loomside/test_carrying.py (zipfile, csv).
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from crossfell.loomside.photos import photo_folder
from crossfell.papers.lists import csv_of
from crossfell.papers.make import write_whole
from crossfell.record.clock import Clock, system_clock
from crossfell.record.events import Event
from crossfell.record.exchange import exported, import_into, read_export
from crossfell.record.opening import NotSaved, RecordRefused
from crossfell.record.store import Record, read_record, record_path

JSON, CSV, PHOTOS, ELSEWHERE = "record.json", "events.csv", "photographs/", "elsewhere/"
LARGEST = 200_000_000  # bytes of one photograph
_DATE = (1980, 1, 1, 0, 0, 0)  # the same record, the same bytes
_HEAD = ("when", "kind", "step", "span", "band", "side", "planned min", "text", "says")


@dataclass(frozen=True, kw_only=True)
class Carried:
    """What left, or came back."""

    events: int
    known: int = 0  # events that were there already
    photographs: int = 0
    not_there: tuple[str, ...] = ()  # paths of photographs that are not where the record says
    kept: tuple[str, ...] = ()  # paths where another file lies, which stays


def carry_out(file: Path, to: Path) -> Carried:
    """Write the record of a draft, with its photographs, into a new archive.

    Errors: RecordRefused, NotSaved.
    """
    if to.exists():
        raise NotSaved(f"{to} is already there; nothing was written")
    events, drafts = read_record(record_path(file))
    found, missing = dict[str, bytes](), list[str]()
    for path in _photographs(events):
        try:
            found[_name_of(path, file.parent)] = (file.parent / path).read_bytes()
        except OSError:
            missing.append(path)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        _put(archive, JSON, exported(events, drafts).encode("utf-8"))
        _put(archive, CSV, csv_of(_HEAD, [_row(event) for event in events]))
        for name, photo in sorted(found.items()):
            _put(archive, PHOTOS + name, photo, pack=False)
    try:
        write_whole(to, out.getvalue())
    except OSError as problem:
        raise NotSaved(f"{to} could not be written: {problem.strerror or problem}") from problem
    return Carried(events=len(events), photographs=len(found), not_there=tuple(missing))


def carry_in(file: Path, archive_file: Path, *, clock: Clock = system_clock) -> Carried:
    """Add an archive, or the JSON alone, to the record of a draft.

    All photographs are looked at before anything is written. Errors: RecordRefused, NotSaved.
    """
    photos = list[tuple[Path, bytes]]()
    if zipfile.is_zipfile(archive_file):
        try:
            with zipfile.ZipFile(archive_file) as archive:
                text = archive.read(JSON).decode("utf-8")
                photos = list(_photos_in(archive, file))
        except (KeyError, UnicodeDecodeError, zipfile.BadZipFile, OSError) as problem:
            raise RecordRefused(f"{archive_file} is no export of a record: {problem}") from problem
    else:
        text = read_export(archive_file)
    with Record(record_path(file)) as record:
        new, known = import_into(record, text, clock())
    written, kept = 0, list[str]()
    for path, photo in photos:
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, photo)
            written += 1
        elif path.read_bytes() != photo:
            kept.append(str(path.relative_to(file.parent)))
    return Carried(events=new, known=known, photographs=written, kept=tuple(kept))


def _photographs(events: Sequence[Event]) -> list[str]:
    """Paths of photographs as the record has them, each once."""
    return list(dict.fromkeys(str(e.says["path"]) for e in events if e.kind == "photo"))


def _name_of(path: str, folder: Path) -> str:
    """Where a photograph stands in the archive: its path from the draft, if it is below it."""
    whole = (folder / path).resolve()
    if whole.is_relative_to(folder.resolve()):
        return whole.relative_to(folder.resolve()).as_posix()
    return ELSEWHERE + whole.as_posix().strip("/").replace("/", "-").replace(":", "")


def _photos_in(archive: zipfile.ZipFile, file: Path) -> Iterator[tuple[Path, bytes]]:
    """Photographs and where they go: below the draft's folder, or not at all."""
    for info in archive.infolist():
        name = info.filename.removeprefix(PHOTOS)
        if name == info.filename or info.is_dir():
            continue
        parts = PurePosixPath(name).parts
        if not parts or ".." in parts or PurePosixPath(name).is_absolute() or "\\" in name:
            raise RecordRefused(f"a photograph of this export would lie outside: {name}")
        if info.file_size > LARGEST:
            raise RecordRefused(f"a photograph of this export is too large: {name}")
        folder = file.parent
        if name.startswith(ELSEWHERE):
            folder, parts = photo_folder(file), parts[1:]
        path = folder.joinpath(*parts)
        if not path.resolve().is_relative_to(file.parent.resolve()):
            raise RecordRefused(f"a photograph of this export would lie outside: {name}")
        if path.suffix.lower() not in {".jpg", ".jpeg", ".png", ".heic", ".webp", ".tif", ".tiff"}:
            raise RecordRefused(f"what this export calls a photograph is none: {name}")
        yield path, archive.read(info)


def _put(archive: zipfile.ZipFile, name: str, content: bytes, *, pack: bool = True) -> None:
    info = zipfile.ZipInfo(name, _DATE)
    info.compress_type = zipfile.ZIP_DEFLATED if pack else zipfile.ZIP_STORED
    info.external_attr = 0o644 << 16
    archive.writestr(info, content)


def _row(event: Event) -> tuple[str, ...]:
    step = event.step
    said = json.dumps(dict(event.says), ensure_ascii=False) if event.says else ""
    if step is None:
        return (event.at.text, event.kind, "", "", "", "", "", "", said)
    where = [str(n) if n is not None else "" for n in (step.number, step.span, step.band)]
    return (event.at.text, event.kind, *where, step.side, f"{step.minutes:g}", step.text, said)
