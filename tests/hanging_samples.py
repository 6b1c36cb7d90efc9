"""Random pieces to hang: some turned, uneven, gapped, leaning, nailed; the draft's text by number."""

import numpy as np

HEAD = """measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.y]
count = "tex 200"
fibre = "linen"
[strip.wide]
width = 24
dents = 12
[strip.narrow]
width = 10
dents = 4
[unit.a]
strip = "wide"
ends = "12 y"
[unit.b]
strip = "narrow"
ends = "4 y"
[warp]
pitch = 30
tension = "{tension} N"
order = "{order}"
[band]
picks = "2, rod, 2"
rod = "steel 3"
[hang]
{hang}
"""


def sample(number, tension=0.02):
    """Text of a draft of 2 to 8 places; `tension` (N an end) is what cutting down lets go."""
    rng = np.random.default_rng(number)
    places = int(rng.integers(2, 9))
    there = rng.random(places) > rng.choice([0.0, 0.25])
    there[rng.integers(places)] = True
    order = " ".join(rng.choice(["a", "a", "b"]) if there[i] else "-" for i in range(places))
    state = list(there)
    spans = [
        (int(rng.integers(80, 260)), _moves(rng, state)) for _ in range(int(rng.integers(1, 5)))
    ]
    length = places * 30 + 20
    hang = rng.choice([
        "", "rail = true", f"cords = [{0.2 * length:.0f}, {0.8 * length:.0f}]",
        f"cords = [{0.5 * length:.0f}]", f"cords = [{0.1 * length:.0f}, {0.35 * length:.0f}]",
    ], p=[0.5, 0.2, 0.15, 0.05, 0.1])  # fmt: skip
    head = HEAD.format(woven=rng.choice(["bottom", "top"]), order=order, hang=hang, tension=tension)
    return head + "".join(
        f'[[span]]\nheight = {height}\nmoves = """\n{moves}\n"""\n' for height, moves in spans
    )


def _moves(rng, state):
    """Some moves that can be made; `state` says which places are taken, and is kept."""
    lines, free = [], set(range(len(state)))
    for _ in range(int(rng.integers(0, 4))):
        i = int(rng.integers(len(state)))
        if i not in free:
            continue
        if i + 1 in free and state[i] and state[i + 1] and rng.random() < 0.6:
            lines.append(f"{i + 1} {rng.choice(['over', 'under'])} {i + 2}")
            free -= {i, i + 1}
        elif i + 1 in free and state[i] and not state[i + 1]:
            lines.append(f"shift {i + 1} right 1")
            state[i], state[i + 1] = False, True
            free -= {i, i + 1}
        elif state[i] and rng.random() < 0.5:
            lines.append(f"turn {i + 1} {rng.choice(['left', 'right'])}")
            free -= {i}
    taken = [i + 1 for i, there in enumerate(state) if there]
    if (
        rng.random() < 0.25
        and not any("shift" in line for line in lines)
        and taken[-1] < len(state)
    ):
        lines.append(f"shift {taken[0]}-{taken[-1]} right {int(rng.integers(2, 16))} mm")
    return "\n".join(lines)
