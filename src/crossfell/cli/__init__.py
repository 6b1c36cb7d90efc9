"""What can be asked for from a terminal?"""

from __future__ import annotations

import gc
import os
import sys

# Our matrices are small: more threads only wait for each other, and are slow to start. It must be
# set before NumPy is imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import click

from crossfell.cli import (
    at_the_loom,
    billing,
    buying,
    figuring,
    hanging,
    making,
    ordering,
    proposing,
    sketching,
    varying,
    window,
)
from crossfell.cli.saying import Exit
from crossfell.cli.shell import main

__all__ = [
    "Exit",
    "at_the_loom",
    "billing",
    "buying",
    "figuring",
    "hanging",
    "main",
    "making",
    "ordering",
    "proposing",
    "run",
    "sketching",
    "varying",
    "window",
]


def run() -> None:
    """Run the command line; a fault of our own is told with how to report it."""
    gc.set_threshold(50_000, 20, 20)  # records are many and point down only: few are in a circle
    try:
        main()
    except Exception as fault:
        if os.environ.get("CROSSFELL_TRACEBACK"):
            raise
        click.echo(
            f"crossfell: our own fault: {type(fault).__name__}: {fault}\n"
            "Your draft is unchanged. Please send us the draft and this message;\n"
            "CROSSFELL_TRACEBACK=1 before the command shows where it happened.",
            err=True,
        )
        sys.exit(Exit.OUR_FAULT)
