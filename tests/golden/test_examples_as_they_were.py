"""Are the numbers of the examples what they were when they were last looked at?

Renew with `python tests/golden/test_examples_as_they_were.py`, look at the difference, and tell the
person at the bench in CHANGELOG.md under Numbers.
"""

import json
from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.facts.build import facts_of, leaves
from crossfell.piece import Piece

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
NAMES = ("01-first-sampler", "02-tideline")
# hung.rig is held by tests/outside; how a solver got there may differ from machine to machine; where it got to may not
ON_THE_WAY = ("hung.residual", "hung.iterations", "hung.rig")


def facts_now(name):
    """Every fact by its way, lists flattened to single values."""
    draft = next(p for p in (EXAMPLES / name).glob("*.toml") if p.name != "workshop.toml")
    found = {}
    for way, value in leaves(facts_of(Piece(read_file(draft)))):
        if not way.startswith(ON_THE_WAY):
            flatten(way, value, found)
    return found


def flatten(way, value, found):
    if isinstance(value, list):
        found[f"{way}.count"] = len(value)
        for index, part in enumerate(value):
            flatten(f"{way}.{index}", part, found)
    else:
        found[way] = value


def differences(one, other):
    """Ways whose values differ; numbers may differ in the sixth digit."""
    different = [way for way in {*one, *other} if (way in one) != (way in other)]
    for way in {*one} & {*other}:
        a, b = one[way], other[way]
        numbers = all(isinstance(x, float) for x in (a, b))
        same = a == pytest.approx(b, rel=1e-5, abs=2e-5) if numbers else a == b
        if not same:
            different.append(way)
    return sorted(different)


def kept(name):
    return json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", NAMES)
def test_no_number_of_an_example_changes_unseen(name):
    assert differences(kept(name), facts_now(name)) == []


def test_the_comparison_can_fail():
    facts = kept(NAMES[0])
    way = next(way for way, value in facts.items() if isinstance(value, float) and value > 1)
    assert differences(facts, {**facts, way: facts[way] * 1.0001}) == [way]
    assert differences(facts, {w: v for w, v in facts.items() if w != way}) == [way]


if __name__ == "__main__":
    for name in NAMES:
        text = json.dumps(facts_now(name), ensure_ascii=False, indent=0)
        (HERE / f"{name}.json").write_text(text + "\n", encoding="utf-8")
