"""Merging against git's.

| what | source | licence | tolerance |
| --- | --- | --- | --- |
| where two changes can both be had, the text | git merge-file, where it is installed | GPL-2.0, not shipped | exact where both merge; ours may refuse more: it counts changes of touching lines as one place |
"""

import random
import shutil
import subprocess

import pytest

from crossfell.studio.merge import merged

GIT = shutil.which("git")


def by_git(folder, base, mine, theirs):
    names = []
    for name, text in (("mine", mine), ("base", base), ("theirs", theirs)):
        (folder / name).write_text(text)
        names.append(str(folder / name))
    done = subprocess.run(
        [GIT, "merge-file", "-p", *names], capture_output=True, text=True, check=False
    )
    return done.stdout if done.returncode == 0 else None


def changed(rng, lines):
    """One edit of a text: a line taken out, put in, or written anew."""
    at = rng.randrange(len(lines))
    new = f"new {rng.randrange(1000)}\n"
    return rng.choice(
        [
            [*lines[:at], *lines[at + 1 :]],
            [*lines[:at], new, *lines[at:]],
            [*lines[:at], new, *lines[at + 1 :]],
        ]
    )


@pytest.mark.skipif(GIT is None, reason="needs git")
def test_where_both_can_merge_the_text_is_the_same(tmp_path):
    """All lines differ, so that there is one way only to see what was changed."""
    rng = random.Random(8)
    both = 0
    for _ in range(60):
        base = [f"line {k}\n" for k in range(rng.randrange(6, 16))]
        mine, theirs = changed(rng, changed(rng, base)), changed(rng, base)
        git = by_git(tmp_path, "".join(base), "".join(mine), "".join(theirs))
        ours = merged("".join(base), "".join(mine), "".join(theirs))
        if git is not None and ours.agreed:
            both += 1
            assert ours.text == git
        if git is None:
            assert not ours.agreed
    assert both > 30
