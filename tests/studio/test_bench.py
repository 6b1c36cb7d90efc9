"""What is measured at the bench: the same value as on the command line, its effect, taken over."""

import pytest

from crossfell.draft.edit import set_key
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.plan.measure_sheet import TRIALS, answered, trial
from crossfell.studio.bench import differences, taken_over

PIECE = "02-tideline/tideline"
READINGS = {
    "wraps": {"count": "88", "over": "50 mm", "yarn": "slate"},
    "pressed": {"layers": "8", "stack": "3.1 mm", "yarn": "slate"},
    "hank": {"length": "20 m", "mass": "4.9 g", "yarn": "chalk"},
    "stretch": {"length": "1 m", "load": "2 N", "longer": "3 mm", "tex": "207 tex", "yarn": "slate"},
    "slip": {"light": "100 g", "heavy": "180 g", "wrap": "90 deg"},
    "slips": {"pairs": "100/150, 500/720", "radius": "20 mm", "wrap": "90 deg"},
    "band": {"height": "9 mm", "end": "11 mm"},
}  # fmt: skip


def measured(client, name, status=200, **more):
    return client.call(
        "measured", status, piece=PIECE, trial=name, readings={**READINGS[name], **more}
    )


def take(client, name, into, status=200):
    told = client.call("tables", piece=PIECE)
    return client.call(
        "take-measured", status, piece=PIECE, trial=name, readings=READINGS[name], into=into,
        revision=told["revision"], workshop_revision=told["workshop"]["revision"],
    )  # fmt: skip


def test_every_trial_of_the_sheet_is_there_with_the_yarns_of_the_piece(client):
    trials = client.call("trials", piece=PIECE)["trials"]
    assert [t["name"] for t in trials] == [t.name for t in TRIALS] == list(READINGS)
    yarn = next(r for r in trials[0]["readings"] if r["name"] == "yarn")
    assert yarn["options"] == ["slate", "chalk"]


@pytest.mark.parametrize("name", READINGS)
def test_the_value_is_that_of_the_command_line_and_what_is_taken_is_in_use(client, folder, name):
    found = answered(trial(name), READINGS[name])
    told = measured(client, name)
    assert told["says"] == found.told
    assert told["line"] == f"[{found.table}]\n{found.line}"
    take(client, name, "draft")
    text = (folder / "02-tideline" / "tideline.toml").read_text()
    draft = read_draft(text, workshop=(folder / "workshop.toml").read_text())
    assert not [n for n in draft.notes if n.severity.value == "error"]
    again = measured(client, name)
    assert again["effects"] == []
    assert again["wins"] == [row.split(" = ")[0] for row in found.line.splitlines()]


def test_what_it_would_change_is_what_then_changes(client):
    """Heavier yarn: the told price is the one that stands after it was taken over."""
    told = {row["label"]: row for row in measured(client, "hank", mass="8 g")["effects"]}
    assert {"Yarn", "Price", "Weights together"} & told.keys() >= {"Yarn", "Price"}
    client.call(
        "take-measured",
        piece=PIECE,
        trial="hank",
        readings={**READINGS["hank"], "mass": "8 g"},
        into="draft",
        revision=client.call("open", piece=PIECE)["revision"],
    )
    state = client.call("open", piece=PIECE)
    later = client.call("later", piece=PIECE)["numbers"]
    now = {n["label"]: n["value"] for n in state["numbers"] + later}
    assert now["Yarn"] == told["Yarn"]["after"] != told["Yarn"]["before"]
    assert now["Price"] == told["Price"]["after"]


def test_friction_goes_into_the_workshop_with_its_remarks_kept(client, folder):
    before = (folder / "workshop.toml").read_text()
    take(client, "slip", "workshop")
    after = (folder / "workshop.toml").read_text()
    added = set(after.splitlines()) - set(before.splitlines())
    assert [row.split("=")[0].strip() for row in added] == ["friction"]
    assert "# What the workshop owns" in after
    client.call("workshop-undo", piece=PIECE)
    assert (folder / "workshop.toml").read_text() == before


def test_a_band_is_a_pieces_own(client):
    assert measured(client, "band")["shared"] is False
    assert "draft or the workshop" in take(client, "band", "workshop", 400)["error"]


@pytest.mark.parametrize(
    ("name", "more", "says"),
    [("wraps", {"count": ""}, "How many wraps"), ("wraps", {"count": "0"}, "more than nothing"),
     ("wraps", {"over": "green"}, "over"), ("hank", {"odd": "1"}, "no reading odd")],
)  # fmt: skip
def test_readings_that_make_no_sense_say_what_is_wanted(client, name, more, says):
    assert says in measured(client, name, 400, **more)["error"]


def test_differences_name_only_what_differs():
    text = (
        'measure = "mm"\n[yarn.y]\ncount = "tex 200"\nfibre = "linen"\n[strip.s]\nwidth = 24\ndents = 12\n'
        '[unit.u]\nstrip = "s"\nends = "12 y"\n[warp]\npitch = 30\norder = "u*4"\n[band]\nrod = "steel 3"\n'
        "[[span]]\nheight = 100\n"
    )
    piece = Piece(read_draft(text))
    assert differences(piece, Piece(read_draft(text))) == []
    other = Piece(read_draft(set_key(text, "loom.friction", 0.5)))
    assert "Pull at the fell" in {row["label"] for row in differences(piece, other)}
    found = answered(trial("slip"), READINGS["slip"])
    assert "friction = " in taken_over(text, found)
