"""What is the command that all others belong to?"""

from __future__ import annotations

import click

from crossfell import __version__


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="""\b
A first evening:
  crossfell new low-water.toml       a commented draft to start from
  crossfell check low-water.toml     what is wrong or doubtful
  crossfell make low-water.toml      pictures, papers, facts, in low-water.made/
  crossfell why low-water.toml units.a1.winding_length

\b
Completion of commands: for bash, add this line to ~/.bashrc
  eval "$(_CROSSFELL_COMPLETE=bash_source crossfell)"
(zsh_source for zsh, fish_source for fish.)""",
)
@click.version_option(__version__, prog_name="crossfell")
def main() -> None:
    """Crossfell takes a wall hanging of many narrow crossing warps from a draft to the wall.

    A piece is one text file, the draft; what the workshop owns can stand in workshop.toml
    beside it, or in the folder above.
    """
