"""Garside's left normal form of a braid, written for the tests only.

A braid is Delta^p A1 … Am with permutation braids A, left weighted: every generator that could
start A(k+1) already ends A(k). Two words are the same braid exactly when their forms are equal.
Source: F. A. Garside, Quart. J. Math. 20 (1969) 235-254; W. Thurston in D. Epstein et al., Word
Processing in Groups (1992), chapter 9 (from memory).
"""

Factor = tuple[int, ...]  # factor[i]: where the strand at i (from 0) ends


def normal_form(n, word):
    """(p, factors) of a word of signed generators on n strands."""
    whole = tuple(reversed(range(n)))
    power, factors = 0, []
    for letter in word:
        at = abs(letter) - 1
        if letter > 0:
            factors.append(_swapped(tuple(range(n)), at))
        else:  # the inverse of a generator is Delta^-1 times what Delta has beyond it
            power -= 1
            factors = [_mirrored(factor) for factor in factors]
            factors.append(_product(whole, _swapped(tuple(range(n)), at)))
        factors = _weighted(n, factors)
    while factors and factors[0] == whole:
        power += 1
        factors.pop(0)
    return power, tuple(factors)


def _weighted(n, factors):
    """Move generators to the left as long as one fits: the last factor is new."""
    factors = list(factors)
    for k in range(len(factors) - 1, 0, -1):
        left, right = factors[k - 1], factors[k]
        moved = True
        while moved:
            moved = False
            for i in range(n - 1):
                if _starts(right, i) and not _ends(left, i):
                    left = _product(left, _swapped(tuple(range(n)), i))
                    right = _product(_swapped(tuple(range(n)), i), right)
                    moved = True
        factors[k - 1], factors[k] = left, right
    identity = tuple(range(n))
    return [factor for factor in factors if factor != identity]


def _product(first, then):
    return tuple(then[at] for at in first)


def _swapped(row, i):
    out = list(row)
    out[i], out[i + 1] = out[i + 1], out[i]
    return tuple(out)


def _mirrored(factor):
    """Conjugation with Delta: places counted from the other side."""
    n = len(factor)
    return tuple(n - 1 - factor[n - 1 - i] for i in range(n))


def _starts(factor, i):
    return factor[i] > factor[i + 1]


def _ends(factor, i):
    inverse = [0] * len(factor)
    for start, end in enumerate(factor):
        inverse[end] = start
    return inverse[i] > inverse[i + 1]
