"""Every sentence that Crossfell says about a draft: one entry per code, in one place.

`says` is what is wrong; `known` the numbers, units and limits behind it; `instead` what would be
right. Words in braces are facts of the note. Craft words, no blame, no internals.
Keep the entries sorted by code. Every code has a specimen in tests/errors/.
"""

from __future__ import annotations

from typing import NamedTuple


class Sentence(NamedTuple):
    """The wording of one code."""

    says: str
    known: str = ""
    instead: str = ""


PROSE: dict[str, Sentence] = {
    "beyond-the-batten": Sentence(
        "this shift goes beyond the batten",
        "it has places 1 to {places}",
        'a longer `order` in [warp] makes more; "-" is an empty place',
    ),
    "beyond-the-rod": Sentence(
        "unit {unit} lies beyond the end of its rod at band {band}",
        "it stands out by {by}; the rod is cut to {length} (`rod_cut`)",
        'rods of {need} reach it; "alike" cuts all to the outermost units, "each" each to its own',
    ),
    "block-runs-backwards": Sentence(
        "block {first}-{last} runs backwards",
        "a block is written from its left to its right",
        "write `{last}-{first}`",
    ),
    "bobbin-overfull": Sentence(
        "the yarn of {count} units does not go on one bobbin each",
        "that of {unit} fills {volume} cm³; a bobbin holds {holds} cm³ "
        "(`bobbin_holds_cm3` in [loom])",
        "a larger bobbin, fewer or finer ends, or wind it in two lots with knots",
    ),
    "cord-beyond-the-rod": Sentence(
        "a cord is tied beyond the end of the top rod",
        "it is at {at} from the rod's left end; the rod is {length} long, overhang and all",
        'places of `cords` count from the left end of the top rod; "least bending" finds two',
    ),
    "cord-too-short": Sentence(
        "a cord of {length} does not reach its point on the wall",
        "the point lies {side} to the side of where the cord is tied; it is taken {taken} long",
        "a longer `cord_length`, or `points` nearer to straight above the `cords`",
    ),
    "crosses-nothing": Sentence(
        "nothing lies in {places}",
        "so this moves units sideways and crosses nothing",
        "a sideways move that passes nobody is a `shift`",
    ),
    "drop-too-short": Sentence(
        "span {span} draws more warp than a weight can rise",
        "it and its band take {drawn}; a weight travels {drop} (`drop` in [loom])",
        "let the weights off once within the span, or hang them lower",
    ),
    "empty-dents": Sentence(
        "unit {unit} leaves {empty} dents of its strip empty",
        "{ends} ends in the {dents} dents of strip {strip}",
        "give it {dents} ends, or a strip with {ends} dents",
    ),
    "figure-does-not-fit": Sentence(
        "figure {figure} does not fit at place {at}",
        "it is {width} places wide and would reach place {last}; the warp has {places}",
        "lay it at place {most} or further left",
    ),
    "figure-runs-out": Sentence(
        "figure {figure} runs on beyond the last span",
        "it is {spans} spans high; spans from here to the last: {left}",
        "lay it earlier, or add spans below: {missing} more",
    ),
    "figure-uses-itself": Sentence(
        "figure {figure} uses itself",
        "{way}",
        "a figure can use others, but not itself, nor more than a hundred one within another",
    ),
    "hangs-otherwise": Sentence(
        "the piece {verdict}",
        "with the lengths as drawn band {band} goes {moved} aside, at an end of its rod; "
        "band {tilted} tilts {tilt} mm per metre",
        "`crossfell mend` looks for remedies: units that lean back, a mirrored figure",
    ),
    "interlaced": Sentence(
        "span {span} is interlaced: no unit can be laid first",
        "{way}",
        "it is laid in {passes} passes ({fewest}), {twice} in two goes; to lay it in one, change "
        "one of these crossings",
    ),
    "larger-than-the-wall": Sentence(
        "the piece is larger than its wall",
        "it is {need} {side}; the wall has {free}",
        "fewer or lower spans, fewer units or a smaller `pitch`; or another `wall` in [piece]",
    ),
    "leans-too-far": Sentence(
        "unit {unit} leans {lean}° in span {span}",
        "it goes {sideways} sideways; the limit is {limit}° (`lean_limit` in [loom])",
        "give the span a height of {height} or more, or cross in two spans",
    ),
    "left-flat": Sentence(
        "span {span} is reckoned as if it lay flat",
        "{why}",
        "cross in several spans, with a band between",
    ),
    "letter-not-shipped": Sentence(
        "no letters that we ship have {letters}",
        "papers say it by name, in brackets, in `{text}`",
    ),
    "like-dents": Sentence(
        "two like dents lie side by side at {count} joints: their ends weave as one",
        "the first is at band {band}: a {dent} of {left} beside a {dent} of {right}",
        "a strip with an odd number of dents, or another `first`, changes it; so does a gap",
    ),
    "middle-hangs-loose": Sentence(
        "turned unit {unit} hangs loose in its middle in span {span}",
        "its edges carry; its middle is {slack} mm too long and can bow by {bow} mm",
        "a higher span or a heavier piece draws the middle straight",
    ),
    "missing-key": Sentence(
        "{table} does not say `{key}`",
        "{key}: {says}",
        "add a line such as `{key} = {example}`",
    ),
    "more-ends-than-dents": Sentence(
        "unit {unit} has more ends than its strip has dents",
        "{ends} ends, but strip {strip} has {dents} dents, slots and holes together",
        "one end goes in each dent: give it {dents} ends or a wider strip",
    ),
    "no-rod": Sentence(
        "this band lays in a rod, but no rod is named",
        "",
        'add `rod = "steel 3"`: its material and its diameter in mm',
    ),
    "no-room": Sentence(
        "there is no room for it on its wall",
        "{says}; the wall has {free}",
        "shorter cords, a rail, a lower `above_floor` in [hang], a smaller piece or another `wall`",
    ),
    "no-spans": Sentence(
        "the draft has no span",
        "a span is the open warp between two bands",
        "add `[[span]]` with a `height` and its `moves`",
    ),
    "no-such-fibre": Sentence(
        "nothing is known about the fibre {fibre}",
        "an average yarn is taken, unless you write what you measured: `diameter`, `tenacity`, "
        "`modulus`",
        "{help}",
    ),
    "no-such-figure": Sentence("there is no figure {figure}", "", "{help}"),
    "no-such-place": Sentence("there is no place {place}", "{there}", "{help}"),
    "no-such-rod": Sentence(
        "there are no rods of {material}",
        "materials: {there}",
        'a rod is written as "steel 3": its material and its diameter in mm',
    ),
    "no-such-strip": Sentence("there is no strip {strip}", "", "{help}"),
    "no-such-unit": Sentence("there is no unit {unit}", "", "{help}"),
    "no-such-yarn": Sentence("there is no yarn {yarn}", "", "{help}"),
    "no-units": Sentence(
        "the warp has no unit", "", '`order` names units from the left: "a*6 b*12 a*6"'
    ),
    "no-warp": Sentence("the draft has no [warp]", "", "add `[warp]` with `pitch` and `order`"),
    "not-a-figure-name": Sentence(
        "{figure} cannot be the name of a figure",
        "it is a word of the moves, or begins with something else than a letter",
        "choose a name of letters and numbers",
    ),
    "not-a-move": Sentence(
        "this is not a move: {found}",
        "{expected}",
        "moves are {forms}",
    ),
    "not-a-rod-price": Sentence(
        "this is not the price of a rod: {found}",
        "",
        'prices of whole rods are written as "steel 3: 6.40"',
    ),
    "not-a-stock-rod": Sentence(
        "this is not a rod in stock: {found}",
        "",
        'rods in stock are written as "steel 3: 2000 * 4": kind, length, how many',
    ),
    "not-a-unit-name": Sentence(
        "{unit} cannot be the name of a unit",
        "it is a word of the moves, or begins with something else than a letter",
        "choose a name of letters and numbers",
    ),
    "not-an-order": Sentence(
        "this is not part of an order: {found}",
        "",
        '`order` names units from the left: "a*6 - b*12"; "-" is an empty place',
    ),
    "not-at-rest": Sentence(
        "where the piece comes to rest was not found",
        "after {steps} steps forces of {residual} of the weight are left over",
        "look for a value that cannot be: a modulus, a tension, a mass, a cord",
    ),
    "not-ends": Sentence(
        "these are not ends: {found}",
        "",
        'ends are written from the left, face forward: "18 slate" or "9 slate, 9 chalk"',
    ),
    "not-neighbours": Sentence(
        "blocks {first} and {second} are not neighbours",
        "units can only change sides with those that lie next to them",
        "write `{first} {word} {wanted}`, or cross what lies between them too",
    ),
    "not-picks": Sentence(
        "these are not picks: {found}",
        "a band has one pick or more; a rod lies between picks",
        'picks and rods are written in the order of weaving: "3, rod, 3"',
    ),
    "not-toml": Sentence(
        "the text cannot be read from here on",
        "{says}",
        "facts are written `key = value`, tables `[name]`; text stands in quotes",
    ),
    "not-understood": Sentence("what `{key}` says makes no sense", "{says}"),
    "not-utf8": Sentence(
        "this file is not plain text in UTF-8",
        "{says}",
        "save it again as UTF-8",
    ),
    "number-of-places": Sentence(
        "{number} in this shift does not say what it counts",
        "it is read as {places}; a bare number of length would be {number} {measure}",
        "write `{places}`; a length bears its unit, as `{number} {measure}`",
    ),
    "passes-a-unit": Sentence(
        "unit {unit} stands in the way of this shift",
        "unit {unit} lies in place {place}",
        "say which passes in front: `{mover} over {place}` or `{mover} under {place}`",
    ),
    "pile-too-thick": Sentence(
        "units pile up {pile} thick in span {span}",
        "{count} units lie over each other {across} from the left; {what} {limit}",
        "let them cross one after another, in a higher span or in two",
    ),
    "places-or-length": Sentence(
        "{number} in this shift could be {places} or {number} {measure}",
        "`measure` reads a bare number as a length; in older drafts a shift counted places by it",
        "write `{places}`, or `{number} {measure}`",
    ),
    "price-missing": Sentence(
        "the price stays open",
        "no price is known for: {what}",
        "prices stand in [yarn.NAME], [stock] and [adhesive]",
    ),
    "repeat-beyond-the-warp": Sentence(
        "this repeat goes beyond the warp",
        "a move of it comes to lie at place {place}; the warp has places 1 to {places}",
        "less `times`, a smaller step in `each`, or empty places in `order`",
    ),
    "repeat-of-nothing": Sentence(
        "this repeat is of {spans} spans, and {above} stand above it",
        "a repeat stands below the spans that it repeats; those that are repeated count too",
        "write `spans = {above}`, or put it further down",
    ),
    "rod-too-long": Sentence(
        "rod {rod} cannot be cut",
        "the piece needs {need}; a rod as sold is {stock} (`rod_length` in [stock])",
        "order longer rods and say so in [stock]",
    ),
    "same-name": Sentence(
        "two units would be called {unit}",
        "units are named after their kind and counted from the left",
        "choose a name for the kind that does not end in a number",
    ),
    "shuttle-does-not-pass": Sentence(
        "the shuttle does not pass the {shed} shed",
        "{at} from the fell it opens {open}; the shuttle is {shuttle} high",
        "a rise of {need} or more, a flatter shuttle, or pass it nearer to the heddle",
    ),
    "slot-ends-slacken": Sentence(
        "slot ends of units {kinds} may go slack in the shed",
        "the holes move {rise} (`{way}` in [loom]); beyond {limit} ({low} to {high}) hole ends "
        "carry the whole weight, if the ends of a bobbin cannot slip past each other; not "
        "measured, try it",
        "holes that move less, {tension} N an end, {free} from fell to weight, a heddle {farther} "
        "times as far from fell and beam, or slot ends on a bobbin of their own would help",
    ),
    "span-too-short": Sentence(
        "span {span} is too short for its crossings",
        "unit {unit} leans {lean}° on its way over and under; the limit is {limit}° "
        "(`lean_limit` in [loom])",
        "give the span a height of {height} or more",
    ),
    "squeezed": Sentence(
        "unit {unit} is squeezed in span {span}",
        "leaning, it is {narrow} wide; its ends side by side need {need}",
        "a higher span, or fewer or finer ends",
    ),
    "strip-too-wide": Sentence(
        "strip {strip} cannot be cut",
        "it is {need} wide; a heddle as sold is {stock} (`heddle_length` in [stock])",
        "a narrower strip, or a longer heddle and its length in [stock]",
    ),
    "swings": Sentence(
        "span {span} swings when the piece is cut down",
        "its lower band would go {drift} to the {side}: as drawn, it cannot carry what is below",
        "units that lean the other way, as in a mirrored figure, hold it",
    ),
    "thrum-too-short": Sentence(
        "the warp ends before the last band can be woven",
        "thrum and tail are {there}; fell to back beam is {need}",
        "a `thrum` of {thrum} or more in [warp]",
    ),
    "tight-room": Sentence(
        "it is tight on its wall",
        "{says}; the wall has {free}",
        "measure the wall again, and leave room for fixings and hands",
    ),
    "tips": Sentence(
        "span {span} tips when the piece is cut down",
        "the mass of all that hangs below it lies beside all its units",
        "units on both sides of that mass, or a rod that reaches less far, carry it",
    ),
    "too-large": Sentence(
        "this draft is too large to be read",
        "{letters:,} letters; the most is {most:,}",
        "figures and `plait` say the same in less",
    ),
    "too-many-moves": Sentence(
        "these moves are too many",
        "written out they are more than {most:,}",
        "is a figure laid within a figure more often than meant?",
    ),
    "too-many-places": Sentence(
        "the warp has too many places",
        "{places:,} up to here; the most is {most:,}",
        "a count such as `a*60` lines up sixty units; look at the counts before this one",
    ),
    "too-many-spans": Sentence(
        "the draft has too many spans",
        "{spans:,} spans; the most is {most:,}",
        "a piece of that height is made of several drafts",
    ),
    "too-much-tension": Sentence(
        "an end of {yarn} is strained",
        "up to {tension} N at the fell; it breaks at {breaking} N or more; usual limit {share}",
        "a lower `tension` in [warp], or a stronger yarn",
    ),
    "too-much-wrong": Sentence(
        "more is wrong than is told here",
        "the first {most} moves that make no sense are told; from here on none was read",
        "set these right, then check again",
    ),
    "touches-the-floor": Sentence(
        "its foot would lie on the floor",
        "drawn {floor} above it, the lowest rod comes to rest {lower} lower at one end",
        "a greater `above_floor` in [hang], or a piece that neither moves nor turns over",
    ),
    "turns-nothing": Sentence(
        "nothing lies in {places}",
        "so nothing is turned",
        "places are those at the moment that the move is made",
    ),
    "turns-over": Sentence("the piece {verdict}", "{why}", "see the picture of it as it hangs"),
    "turns-pile-up": Sentence(
        "unit {unit} gathers {turns} half turns of {twist} twist over the piece",
        "its bobbin is turned as often, the same way; the hung unit wants to turn back",
        "turn some of them {side}",
    ),
    "undo-each-other": Sentence(
        "{a} and {b} cross and come back in one span",
        "this move undoes the one in line {line}",
        "leave both out, or put a band between them",
    ),
    "units-bow": Sentence(
        "units hang slack and bow when the piece is cut down: {count}, each in its span",
        "most of all unit {unit} in span {span}: {slack} mm too long, it can bow by {bow} mm",
        "a heavier lowest rod, or a lower `tension` in [warp], draws them straight",
    ),
    "units-overlap": Sentence(
        "units {left} and {right} lie over each other at band {band}",
        "they overlap by {by}",
        "a wider `pitch`, narrower strips or another shift keeps them apart",
    ),
    "units-touch": Sentence(
        "units touch at {bands} bands",
        "first {left} and {right} at band {band}: {gap} between them",
        "a wider `pitch` leaves room between strips; touching ones rub and weave as one cloth",
    ),
    "unknown-key": Sentence("{table} has no `{key}`", "", "{help}"),
    "weights-short": Sentence(
        "the weights do not go round: {units} units find none that fits",
        "units want {least} to {most} g beside their bobbin; there are {owned}",
        "add weights to `weights` in [loom], or change the `tension` in [warp]",
    ),
    "woven-so-far": Sentence(
        "[woven] does not fit the spans",
        "it says that {done} are done; the draft has {spans}; the last with `woven`: {last}",
        "`spans` in [woven] counts the spans that are done; only those can have `woven`",
    ),
}
