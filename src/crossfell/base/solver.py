"""How is a linear or integer program solved, alike on any machine and without a word?"""

from __future__ import annotations

from typing import Any


def quiet_solver(**options: float) -> Any:
    """A solver (HiGHS) on one thread, with a fixed seed; `options` are its own names."""
    import highspy

    class Quiet(highspy.Highs):
        """Its own start prints a line, which would stand in the middle of what we print."""

        def __init__(self) -> None:
            super(highspy.Highs, self).__init__()
            self.setOptionValue("output_flag", False)

    solver = Quiet()
    for name, value in {"threads": 1, "random_seed": 1, **options}.items():
        solver.setOptionValue(name, value)
    return solver
