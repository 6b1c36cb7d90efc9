"""No failures: random pieces of every kind come to rest with less than 1e-9 of their weight left."""

import numpy as np
import pytest

from crossfell.statics.newton import rest_of
from crossfell.statics.rig import plain_rig

KINDS = ("still", "all lean", "zigzag", "pairs", "local", "any order", "gaps")
YARN_MODULUS = 5.0  # N/tex: yarn as stiff as that is as heavy as that


def arrangement(rng, kind, units, bands, pitch):
    """Positions of units at each band, [bands, units]."""
    start = (np.arange(units) - (units - 1) / 2) * pitch
    rows, here = [start], start
    for band in range(1, bands):
        here = here.copy()
        if kind == "all lean":
            here = here + pitch
        elif kind == "zigzag":
            here = here + (pitch if band % 2 else -pitch)
        elif kind == "pairs":
            order = np.argsort(here)
            for i in range(band % 2, units - 1, 2):
                one, two = order[i], order[i + 1]
                here[one], here[two] = here[two], here[one]
        elif kind == "local":
            here = start[np.argsort(np.argsort(here) + rng.normal(0, 1.5, units)).argsort()]
        elif kind == "any order":
            here = rng.permutation(start)
        elif kind == "gaps":
            here = np.sort(rng.uniform(-units, units, units) * pitch)[np.argsort(np.argsort(here))]
        rows.append(here)
    return np.array(rows)


def random_piece(seed, most_units=10, most_bands=7):
    rng = np.random.default_rng(seed)
    units, bands = int(rng.integers(1, most_units + 1)), int(rng.integers(2, most_bands + 1))
    kind = KINDS[seed % len(KINDS)]
    pitch = rng.uniform(15, 60)
    x = arrangement(rng, kind, units, bands, pitch)
    wide = max(x.max() - x.min(), 40.0)
    cords = int(rng.integers(0, 5))
    at = np.sort(rng.uniform(-wide / 2, wide / 2, cords))
    spread = rng.choice([0.0, 0.3]) * wide
    offsets = [(0.0,), (-0.4 * pitch, 0.0, 0.4 * pitch)][int(rng.integers(2))]
    shape = (bands - 1, units * len(offsets))
    height, ea = rng.uniform(40, 300, bands - 1), 10 ** rng.uniform(2.5, 5.7)
    yarn = shape[1] * height.mean() * ea / YARN_MODULUS * 1e-6 * 9.8e-3
    return kind, plain_rig(
        x,
        height,
        band_n=yarn + 10 ** rng.uniform(-2, 1, bands),
        ea_n=ea,
        tension_n=rng.choice([0.0, 1.0, 10.0, 40.0]),
        offsets_mm=offsets,
        band_mm=rng.uniform(0, 20),
        cords_mm=tuple(at) if cords else None,
        points_mm=tuple(at + rng.normal(0, spread + 1e-9, cords)) if cords else None,
        cord_mm=rng.uniform(50, 1000),
        mass_mm=rng.normal(0, 0.1) * pitch,
        longer=rng.normal(0, rng.choice([0.0, 0.001, 0.01]), shape),
    )


@pytest.mark.parametrize("tens", range(4))
def test_twenty_random_pieces_come_to_rest(tens):
    """Eleven of each kind; two thousand more in the soak."""
    for seed in range(20 * tens, 20 * tens + 20):
        kind, rig = random_piece(seed)
        rest = rest_of(rig)
        assert rest.residual < 1e-9, (seed, kind)


@pytest.mark.soak
def test_two_thousand_random_pieces_come_to_rest():
    """Nightly: 1,600 pieces of up to 14 × 14, and 400 of up to 100 units × 60 bands."""
    left = []
    for seed in range(1000, 3000):
        small = seed < 2600
        kind, rig = random_piece(seed, *((14, 14) if small else (100, 60)))
        rest = rest_of(rig)
        if rest.residual >= 1e-9:
            left.append((seed, kind, rest.residual))
    assert left == []
