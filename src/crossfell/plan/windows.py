"""In which hands do the weights come off, and go on again?"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping

Windows = tuple[tuple[int, int], ...]


def windows_of(places: Iterable[int], hand: int, stay: Iterable[int] = ()) -> Windows:
    """Fewest windows of at most `hand` neighbouring places: (first, last), from the left.

    Places in `stay` hold weights that stay on: no window reaches over one. Taking the leftmost
    place and as much as fits behind it is least for intervals (common practice in scheduling).
    """
    kept = set(stay)
    windows: list[tuple[int, int]] = []
    first = last = 0
    for place in sorted(set(places)):
        reaches = first and place - first < hand
        if reaches and kept.isdisjoint(range(last + 1, place)):
            last = place
            windows[-1] = (first, last)
        else:
            first = last = place
            windows.append((first, last))
    return tuple(windows)


def windows_off(places: Mapping[int, int], off: Container[int], hand: int) -> Windows:
    """Windows of the weights of units that are in `off`; all others keep theirs."""
    at: tuple[list[int], list[int]] = [], []
    for unit, place in places.items():
        at[unit in off].append(place)
    stay, go = at
    return windows_of(go, hand, stay)


def least_windows(places: Iterable[int], hand: int) -> int:
    """A floor: no set of windows that takes these places off has fewer, whatever else comes off."""
    count, reach = 0, 0
    for place in sorted(set(places)):
        if place >= reach:
            count, reach = count + 1, place + hand
    return count
