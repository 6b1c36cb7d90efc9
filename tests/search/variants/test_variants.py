"""What else could a draft be, and do its variants keep what they promise?

Heights: the largest remainders, as in textbooks of apportionment (Hamilton's method).
"""

import json

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from crossfell.cli import Exit, main
from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.variants.comparing import HEADS, Job, differing, numbers_of, told
from crossfell.search.variants.harmony import harmony
from crossfell.search.variants.rhythms import heights, rhythms
from crossfell.search.variants.ways import variants_of
from crossfell.search.workers import NoWorkersError, done_by, version, workers
from small_piece import small_draft

SMALL = small_draft("1 over 2, 4 over 3", "2 under 3", "1 over 2, 4 over 3", order="a b b a")


@given(st.lists(st.tuples(st.floats(0.1, 5), st.floats(1, 60)), min_size=1, max_size=20),
       st.integers(1, 3000))  # fmt: skip
def test_heights_keep_the_total_and_fall_below_nothing(spans, total):
    weights, least = zip(*spans, strict=True)
    found = heights(weights, least, total)
    assert all(high >= low for high, low in zip(found, least, strict=True))
    if sum(np.ceil(least)) <= total:
        assert sum(found) == total


def test_heights_follow_their_rhythm_and_largest_remainders_get_what_is_left():
    assert heights([1, 2, 1], [10, 10, 10], 400) == [100, 200, 100]
    assert heights([1, 1, 1], [1, 1, 1], 100) == [34, 33, 33]
    assert heights([1, 1, 8], [50, 1, 1], 150) == [50, 11, 89]
    golden = rhythms(5)["heights golden"]
    assert golden[2] / golden[0] == pytest.approx((1 + 5**0.5) / 2)


def test_harmony_is_told_simply():
    assert harmony(["#000000", "#ffffff"]).says == "light and dark, one hue"
    assert harmony(["#808080", "#858585"]).says == "near in tone, one hue"
    assert "answer each other" in harmony(["#b04030", "#30a0b0"]).says


@pytest.fixture(scope="module")
def piece():
    return Piece(read_draft(SMALL))


def test_variants_are_different_drafts_without_errors_and_the_first_is_the_draft(piece):
    found = variants_of(piece, ("colours", "heights", "mirrored"))
    assert found[0].text == piece.draft.text
    assert len({one.text for one in found}) == len(found) > 4
    total = sum(span.height_mm for span in piece.draft.spans)
    for one in found:
        numbers = numbers_of(Job(one.text, piece.draft.workshop_text or None))
        assert numbers is not None, one.name
        assert numbers["swings"] == 0
        if "heights" in one.name:
            assert numbers["height_mm"] == total


def test_only_numbers_that_differ_are_shown(piece):
    found = variants_of(piece, ("colours",))
    numbers = [numbers_of(Job(one.text, piece.draft.workshop_text or None)) for one in found]
    numbers[0] = dict(numbers[0], hours=99.0)
    assert "hours" in differing(numbers)
    rows = told([one.name for one in found], numbers, [one.says for one in found])
    assert "hours h" in rows[0]
    assert "width" not in rows[0]


def test_a_draft_with_errors_has_no_numbers():
    assert numbers_of(Job("[piece]\n", None)) is None
    assert (
        "With errors, and left out: b."
        in told(["a", "b"], [dict.fromkeys(HEADS, 1.0), None], ["", ""])[-1]
    )


def jobs_of(piece):
    return [
        Job(one.text, piece.draft.workshop_text or None) for one in variants_of(piece, ("pitch",))
    ]


def test_many_cores_give_the_same_numbers(piece):
    heard = []
    with workers(jobs=8, cores=2) as executor:
        many = done_by(executor, numbers_of, jobs_of(piece), heard.append)
    assert many == [numbers_of(job) for job in jobs_of(piece)]
    assert heard == list(range(1, len(many) + 1))
    with workers(jobs=2) as executor:
        assert executor is None


def test_a_cluster_gives_the_same_numbers_and_a_lost_worker_costs_only_its_jobs(piece):
    distributed = pytest.importorskip("distributed", reason="the extra `cluster` is not installed")
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, host="127.0.0.1",
                                 dashboard_address=None) as cluster,
        workers(cluster.scheduler_address, jobs=8) as executor,
    ):  # fmt: skip
        assert done_by(executor, numbers_of, jobs_of(piece)[:1]) == [numbers_of(jobs_of(piece)[0])]
        lost = []

        def lose_one(_):
            if not lost:
                lost.append(cluster.workers[0].process.process.pid)
                cluster.workers[0].process.process.kill()

        assert done_by(executor, abs, range(-200, 0), lose_one) == list(range(200, 0, -1))
    assert lost


def test_a_cluster_that_is_not_there_is_said():
    pytest.importorskip("distributed", reason="the extra `cluster` is not installed")
    with pytest.raises(NoWorkersError, match="cannot be reached"), workers("nowhere", jobs=9):
        pass


def test_workers_say_their_version():
    from crossfell import __version__

    assert version() == __version__


def run(folder, *words, code=Exit.FINE):
    draft = folder / "small.toml"
    draft.write_text(SMALL, encoding="utf-8")
    result = CliRunner().invoke(main, ["variants", str(draft), *map(str, words)])
    assert result.exit_code == code, result.output
    return result.output


def test_the_command_shows_keeps_and_draws(tmp_path):
    said = run(tmp_path, "--kinds", "heights", "--cores", 1, "--into", tmp_path / "v.svg")
    assert "as drafted" in said
    assert "heights growing" in (tmp_path / "v.svg").read_text(encoding="utf-8")
    kept = tmp_path / "kept.toml"
    run(tmp_path, "--kinds", "heights", "--keep", 2, kept)
    assert Piece(read_file(kept)).computable
    assert "already there" in run(tmp_path, "--keep", 2, kept, code=Exit.FILE)
    assert "there is no variant 999" in run(tmp_path, "--keep", 999, kept, code=Exit.USAGE)
    assert "no such kind" in run(tmp_path, "--kinds", "smell", code=Exit.USAGE)
    assert "is no number that is shown" in run(
        tmp_path, "--kinds", "mirrored", "--sort", "x", code=Exit.USAGE
    )


def test_jobs_are_small_and_plain(piece):
    assert len(json.dumps(vars(jobs_of(piece)[0]))) < 10_000
