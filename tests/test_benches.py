"""Every bench runs from nothing: at toy size, each in a process of its own."""

import subprocess
import sys
from pathlib import Path

import pytest

BENCHES = sorted((Path(__file__).parents[1] / "bench").glob("*.py"))


@pytest.mark.parametrize("bench", BENCHES, ids=lambda path: path.stem)
def test_a_bench_runs_at_toy_size(bench):
    done = subprocess.run(
        [sys.executable, str(bench), "--toy"], check=False, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()
