"""Which command opens the studio?"""

from __future__ import annotations

from pathlib import Path

import click

from crossfell.cli.saying import Exit, stop
from crossfell.cli.shell import main


@main.command(short_help="Open the studio in the browser.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default=".")
@click.option("--port", type=click.IntRange(0, 65535), help="Another port than the first free one.")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@click.option("--share", is_flag=True, help="Also for a tablet on this network, paired by a code.")
def studio(folder: Path, port: int | None, *, no_browser: bool, share: bool) -> None:
    """Open the studio in the browser, on the drafts of FOLDER (or of this one)."""
    from crossfell.studio.serve import run_studio

    try:
        run_studio(folder, said=click.echo, port=port, open_browser=not no_browser, share=share)
    except OSError as problem:
        says = problem.strerror or problem
        stop(Exit.FILE, f"the studio of {folder} could not be opened: {says}")
