"""What does the record tell of hours, planned against real, and of what she noted?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crossfell.plan.model import Step
from crossfell.record.events import Event
from crossfell.record.hours import Worked, by_kind, hours_of
from crossfell.record.identity import keys_of
from crossfell.record.learned import Learned, learned_from, times_with
from crossfell.record.progress import done_steps, progress_of

NOTED = {
    "note": "note: {text}",
    "photo": "photograph: {path}",
    "lot": "yarn {yarn}: lot {lot}",
    "join": "join in {unit}",
    "broken-end": "broken end in {unit}",
    "weight": "weight of {unit} changed to {mass_g:g} g",
    "drying": "dries {minutes:g} min from here",
    "woven": "woven otherwise than drafted: {text}",
    "mistake": "a way back: {text}",
    "used": "yarn {yarn}: {mass_g:g} g used",
    "edition": "edition {number}",
}


@dataclass(frozen=True, kw_only=True)
class DayWorked:
    """One day at the loom, by the clock of the place where she was."""

    day: str  # 2026-11-25
    first: str  # 09:12
    last: str
    steps: int
    work_min: float
    pause_min: float


def days_worked(rows: Iterable[Worked]) -> tuple[DayWorked, ...]:
    """Days on which something was done, in order."""
    groups: dict[str, list[Worked]] = {}
    for row in rows:
        groups.setdefault(f"{row.at.local:%Y-%m-%d}", []).append(row)
    return tuple(_day(day, group) for day, group in sorted(groups.items()))


def log_table(
    steps: Sequence[Step], names: Sequence[str], events: Sequence[Event]
) -> dict[str, Any]:
    """The whole log as plain values; minutes everywhere."""
    rows = hours_of(events)
    learned = learned_from(rows)
    progress = progress_of(steps, keys_of(steps, names), done_steps(events))
    to_come = steps[progress.at :]
    left, own = times_with(to_come, learned)
    stop = next((i for i, step in enumerate(to_come) if step.may_stop), None)
    return {
        "done": progress.at,
        "steps": len(steps),
        "changed": progress.says,
        "work_min": round(sum(row.minutes for row in rows), 1),
        "not_measured": sum(not row.measured for row in rows),
        "left_min": [round(left.low, 1), round(left.likely, 1), round(left.high, 1)],
        "left_own": own,
        "stop": None
        if stop is None
        else {
            "step": to_come[stop].number,
            "minutes": round(times_with(to_come[: stop + 1], learned)[0].likely, 1),
        },
        "days": [_plain(day) for day in days_worked(rows)],
        "kinds": [
            {**_plain(kind), "one": _plain(learned[kind.kind]) if kind.kind in learned else None}
            for kind in by_kind(rows)
        ],
        "noted": [
            {"at": e.at.text, "step": e.step.number if e.step else None, "says": noted_text(e)}
            for e in events
            if e.kind in NOTED
        ],
        "clock_was_set": any(row.clock_was_set for row in rows),
    }


def noted_text(event: Event) -> str:
    """One thing that she noted, in a line."""
    return NOTED[event.kind].format_map(dict(event.says))


def log_text(title: str, table: Mapping[str, Any]) -> str:
    """The log for reading."""
    parts = [f"{title}: {table['done']} of {table['steps']} steps done", table["changed"]]
    parts += ["", *_days(table["days"])] if table["days"] else ["Nothing was done yet."]
    if table["kinds"]:
        parts += ["", *_kinds(table["kinds"])]
    low, likely, high = table["left_min"]
    if likely:
        own = f", {table['left_own']} steps by your own times" if table["left_own"] else ""
        parts += ["", f"Left: {_long(likely)} of work ({_long(low)} to {_long(high)}{own})"]
    if table["stop"]:
        stop = table["stop"]
        parts.append(
            f"Next good place to stop: after step {stop['step']}, {_long(stop['minutes'])} of work."
        )
    if table["not_measured"]:
        parts.append(
            f"{table['not_measured']} ticks are not measured: a pause or a burst of ticks fell in."
        )
    if table["clock_was_set"]:
        parts.append("The clock was set while you worked; times between steps are not affected.")
    noted = [_noted(row) for row in table["noted"]]
    parts += ["", "Noted:", *noted] if noted else []
    return "\n".join(part for i, part in enumerate(parts) if part or i > 1) + "\n"


def minutes_lines(learned: Mapping[str, Learned]) -> dict[str, tuple[float, str]]:
    """Minutes for [minutes] of workshop.toml: value, and the remark that says where it is from."""
    return {
        kind: (
            round(max(one.likely, 0.01), 2),
            f"measured: the middle of {one.steps} steps, half of them {one.low:.2f} to "
            f"{one.high:.2f}",
        )
        for kind, one in sorted(learned.items())
    }


def _day(day: str, rows: Sequence[Worked]) -> DayWorked:
    return DayWorked(
        day=day,
        first=f"{rows[0].at.local:%H:%M}",
        last=f"{rows[-1].at.local:%H:%M}",
        steps=sum(not row.undone for row in rows),
        work_min=sum(row.minutes for row in rows),
        pause_min=sum(row.pause_min for row in rows[1:]),
    )


def _plain(record: Any) -> dict[str, Any]:
    values = {name: getattr(record, name) for name in record.__dataclass_fields__}
    return {n: round(v, 3) if isinstance(v, float) else v for n, v in values.items()}


def _days(days: Sequence[Mapping[str, Any]]) -> list[str]:
    head = f"{'day':10}  {'from':>5}  {'to':>5}  {'steps':>5}  {'work':>10}  {'pauses':>10}"
    return [
        head,
        *(
            f"{d['day']:10}  {d['first']:>5}  {d['last']:>5}  {d['steps']:5d}  "
            f"{_long(d['work_min']):>10}  {_long(d['pause_min']):>10}"
            for d in days
        ),
    ]


def _kinds(kinds: Sequence[Mapping[str, Any]]) -> list[str]:
    names = f"{'kind of step':14}  {'done':>5}  {'measured':>8}"
    head = f"{names}  {'planned':>10}  {'real':>10}  one takes"
    return [head, *(_kind(kind) for kind in kinds)]


def _kind(kind: Mapping[str, Any]) -> str:
    one = kind["one"]
    takes = (
        f"{one['likely']:.2f} min ({one['low']:.2f} to {one['high']:.2f}, "
        f"from {one['steps']} steps)"
        if one
        else "as planned; too few measured"
    )
    return (
        f"{kind['kind']:14}  {kind['steps']:5d}  {kind['measured']:8d}  "
        f"{_long(kind['planned_min']):>10}  {_long(kind['real_min']):>10}  {takes}"
    )


def _noted(row: Mapping[str, Any]) -> str:
    step = f"step {row['step']}" if row["step"] else "        "
    return f"  {row['at'][:16].replace('T', ' ')}  {step:8}  {row['says']}"


def _long(minutes: float) -> str:
    if not minutes:
        return "-"
    if minutes < 0.5:
        return "< 1 min"
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"
