"""What she reads of the log, to the letter."""

from crossfell.record.telling import log_text

DAY = {"day": "2026-03-02", "first": "09:05", "last": "12:40", "steps": 14,
       "work_min": 125.0, "pause_min": 0.0}  # fmt: skip
KIND = {"kind": "lay", "steps": 9, "measured": 7, "planned_min": 45.0, "real_min": 0.4}
ONE = {"likely": 1.25, "low": 1.0, "high": 1.5, "steps": 7}
EMPTY = {"done": 0, "steps": 30, "changed": "", "days": [], "kinds": [], "left_min": [0, 0, 0],
         "left_own": 0, "stop": None, "not_measured": 0, "clock_was_set": False,
         "noted": []}  # fmt: skip
FULL = {
    **EMPTY, "done": 14, "changed": "The draft was changed.", "days": [DAY],
    "kinds": [{**KIND, "one": ONE}, {**KIND, "kind": "press", "one": None}],
    "left_min": [100.0, 121.0, 150.0], "left_own": 3, "stop": {"step": 17, "minutes": 1.2},
    "not_measured": 2, "clock_was_set": True,
    "noted": [{"at": "2026-03-02T10:11:12+01:00", "step": 5, "says": "note: knot"},
              {"at": "2026-03-02T10:12:12+01:00", "step": None, "says": "edition 2"}],
}  # fmt: skip


def test_a_log_of_nothing_is_two_lines():
    assert log_text("Fog", EMPTY) == "Fog: 0 of 30 steps done\nNothing was done yet.\n"


def test_a_full_log_tells_days_kinds_what_is_left_and_what_she_noted():
    assert log_text("Fog", FULL).splitlines() == [
        "Fog: 14 of 30 steps done",
        "The draft was changed.",
        "",
        "day          from     to  steps        work      pauses",
        "2026-03-02  09:05  12:40     14  2 h 05 min           -",
        "",
        "kind of step     done  measured     planned        real  one takes",
        "lay                 9         7      45 min     < 1 min  1.25 min (1.00 to 1.50, from 7 steps)",
        "press               9         7      45 min     < 1 min  as planned; too few measured",
        "",
        "Left: 2 h 01 min of work (1 h 40 min to 2 h 30 min, 3 steps by your own times)",
        "Next good place to stop: after step 17, 1 min of work.",
        "2 ticks are not measured: a pause or a burst of ticks fell in.",
        "The clock was set while you worked; times between steps are not affected.",
        "",
        "Noted:",
        "  2026-03-02 10:11  step 5    note: knot",
        "  2026-03-02 10:12            edition 2",
    ]
