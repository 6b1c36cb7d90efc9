"""What is to be done at the bench, what is read off, and what comes of it?"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.model import Draft
from crossfell.loom.tension import GRAVITY
from crossfell.materials.bands import takeup_mm
from crossfell.materials.yarn import diameter_mm, stiffness_n
from crossfell.paths.stage import warp_diameter_mm, weft_diameter_mm
from crossfell.paths.thickness import ROUND
from crossfell.plan import measure
from crossfell.plan.measure import Measured


@dataclass(frozen=True, kw_only=True)
class AskedValue:
    """One value to read off."""

    name: str  # as she gives it: `over=50 mm`
    asks: str
    kind: str  # of `read_quantity`, or "number", "name"
    default: str = ""


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One measurement: what to do, what to read off."""

    name: str
    gives: str
    do: tuple[str, ...]
    readings: tuple[AskedValue, ...]
    compute: Callable[..., Measured]  # takes the readings in their order


_YARN = AskedValue(name="yarn", asks="Which yarn of the draft", kind="name", default="NAME")
TRIALS = (
    Trial(
        name="wraps",
        gives="the diameter of a yarn",
        do=(
            "Wrap the yarn round a rule, without pull, each wrap touching the last, not pressed.",
            "Count the wraps over 50 mm or more, in the middle of the row.",
        ),
        readings=(
            AskedValue(name="count", asks="How many wraps", kind="number"),
            AskedValue(name="over", asks="Over which length", kind="length"),
            _YARN,
        ),
        compute=measure.wraps,
    ),
    Trial(
        name="pressed",
        gives="the thickness of the pressed yarn",
        do=(
            "Lay 5 to 10 layers of the yarn side by side on card, press them flat by hand.",
            "Measure the stack without the card, with a caliper.",
        ),
        readings=(
            AskedValue(name="layers", asks="How many layers", kind="number"),
            AskedValue(name="stack", asks="How thick is the stack", kind="length"),
            _YARN,
        ),
        compute=measure.pressed,
    ),
    Trial(
        name="hank",
        gives="the count of a yarn",
        do=(
            "Reel a hank of known length, 20 m or more, without stretching the yarn.",
            "Let it lie in the room for a day, then weigh it.",
        ),
        readings=(
            AskedValue(name="length", asks="How long is the hank", kind="length"),
            AskedValue(name="mass", asks="What does it weigh", kind="mass"),
            _YARN,
        ),
        compute=measure.hank,
    ),
    Trial(
        name="stretch",
        gives="the stiffness of a yarn",
        do=(
            "Hang a metre or more of yarn with a small weight, mark two points far apart.",
            "Add a load of the size of the weaving tension; wait a minute; measure again.",
            "Mind your feet: put the weight low, with a tray under it.",
        ),
        readings=(
            AskedValue(name="length", asks="How far apart were the marks", kind="length"),
            AskedValue(name="load", asks="Which load was added (N, or gf)", kind="force"),
            AskedValue(name="longer", asks="By how much did it stretch", kind="length"),
            AskedValue(name="tex", asks="Which linear density (tex)", kind="tex"),
            _YARN,
        ),
        compute=measure.stretch,
    ),
    Trial(
        name="slip",
        gives="the friction on the back beam",
        do=(
            "Lay one end over the back beam as it runs on the loom; hang a weight on each side.",
            "Add to one side, little by little, until it just begins to slip.",
            "Keep weights low and tethered, hands and feet away from under them.",
        ),
        readings=(
            AskedValue(name="light", asks="The lighter side", kind="mass"),
            AskedValue(name="heavy", asks="The heavier side, when it slips", kind="mass"),
            AskedValue(
                name="wrap", asks="Angle of the yarn round the beam", kind="angle", default="90 deg"
            ),
        ),
        compute=measure.slip,
    ),
    Trial(
        name="slips",
        gives="Howell's law of friction, when loads differ much",
        do=(
            "Do as for slip, with three loads or more, from the lightest unit to the heaviest.",
            "Keep weights low and tethered, hands and feet away from under them.",
        ),
        readings=(
            AskedValue(
                name="pairs", asks="Lighter / heavier, in g: 100/150, 500/720", kind="pairs"
            ),
            AskedValue(name="radius", asks="Radius of the beam", kind="length", default="20 mm"),
            AskedValue(
                name="wrap", asks="Angle of the yarn round the beam", kind="angle", default="90 deg"
            ),
        ),
        compute=measure.howell,
    ),
    Trial(
        name="band",
        gives="height and take-up of a band",
        do=(
            "Weave the band of the draft on the sampler, with its rod, beaten as you will.",
            "Measure its height; mark one end at both edges, draw it out, measure between marks.",
        ),
        readings=(
            AskedValue(name="height", asks="How high is the band", kind="length"),
            AskedValue(name="end", asks="How long is the end between its marks", kind="length"),
        ),
        compute=measure.band,
    ),
)


def trial(name: str) -> Trial:
    """A trial by name. Errors: ValueError that names them all."""
    found = next((one for one in TRIALS if one.name == name), None)
    if found is None:
        raise ValueError(f"there is no trial {name}; there are {', '.join(t.name for t in TRIALS)}")
    return found


def answered(which: Trial, readings: Mapping[str, str]) -> Measured:
    """What a trial comes to. Errors: ValueError with a sentence for the maker."""
    values: list[object] = []
    for reading in which.readings:
        text = readings.get(reading.name, reading.default)
        if not text:
            raise ValueError(f"{reading.asks}? give `{reading.name}=…`")
        try:
            values.append(_value(text, reading.kind))
        except (NotAQuantity, ValueError) as problem:
            raise ValueError(f"{reading.name}: {problem}") from problem
    unknown = set(readings) - {reading.name for reading in which.readings}
    if unknown:
        raise ValueError(f"{which.name} has no reading {', '.join(sorted(unknown))}")
    return which.compute(*values)


def _value(text: str, kind: str) -> object:
    if kind == "name":
        return text
    if kind == "pairs":
        rows = [row.split("/") for row in text.split(",")]
        if any(len(row) != 2 for row in rows):
            raise NotAQuantity(f"`{text}`: pairs are written lighter/heavier, as 100/150, 500/720")
        return [(_number(a) * GRAVITY / 1000, _number(b) * GRAVITY / 1000) for a, b in rows]
    return _number(text) if kind == "number" else read_quantity(text, kind)


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError as problem:
        raise NotAQuantity(f"`{text.strip()}` is no number, as 96 or 4.5") from problem


def told(found: Measured, draft: Draft | None = None) -> str:
    """The value, what stands for it in a draft, and what to write into workshop.toml."""
    now = f"\n{beside(found, draft)}" if draft else ""
    return f"{found.told}{now}\n\n[{found.table}]\n{found.line}"


def sheet() -> str:
    """The whole bench sheet, to print and to fill in."""
    out = ["Bench sheet: what is measured replaces a default, and is shown as measured.", ""]
    for number, one in enumerate(TRIALS, 1):
        out += [f"{number}. {one.name}: {one.gives}", *(f"   - {line}" for line in one.do)]
        out += [f"   {reading.asks}: ____________" for reading in one.readings]
        example = " ".join(f"{reading.name}=…" for reading in one.readings)
        out += [f"   then: crossfell measure {one.name} {example}", ""]
    return "\n".join(out)


def beside(found: Measured, draft: Draft) -> str:
    """What stands for the measured value in a draft now, and whether it was measured."""
    if found.table == "loom":
        own = "friction" in draft.loom.given
        return f"in use: {draft.loom.friction:g}, {'measured' if own else 'default'}"
    if found.table == "band":
        band = draft.bands[0]
        warp, weft = warp_diameter_mm(draft), weft_diameter_mm(draft, band)
        rod = band.rod.diameter_mm if band.rod else 0.0
        computed = takeup_mm(band.runs, warp, weft, rod)
        if band.takeup_mm is not None:
            return f"in use: {band.takeup_mm:g} mm, measured (computed {computed:.2f} mm)"
        return f"in use: {computed:.2f} mm, computed"
    yarn = draft.yarns.get(found.table.removeprefix("yarn."))
    if yarn is None:
        return f"the draft has no yarn {found.table.removeprefix('yarn.')}"
    tex = yarn.count.tex
    if found.name == "linear density":
        return f"in use: {tex:.4g} tex, from {yarn.count.label}"
    if found.name == "modulus":
        value = stiffness_n(tex, yarn.fibre, yarn.modulus_n_per_tex)
        low, high = value.low / tex, value.high / tex
        return f"in use: {value.value / tex:.3g} N/tex ({low:.3g} to {high:.3g}), {value.how}"
    value = diameter_mm(tex, yarn.fibre, yarn.diameter_mm)
    if found.name == "pressed thickness":
        pressed = yarn.pressed_mm or ROUND * value.value
        return f"in use: {pressed:.3g} mm, {'measured' if yarn.pressed_mm else 'computed'}"
    return f"in use: {value.value:.3g} mm ({value.low:.3g} to {value.high:.3g}), {value.how}"
