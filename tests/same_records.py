"""Are two records the same, bit for bit?"""

import dataclasses
from collections.abc import Mapping

import numpy as np


def differences(one, other, way=""):
    """Every place where two records are not the same."""
    if type(one) is not type(other):
        return [way]
    if isinstance(one, np.ndarray):
        alike = one.shape == other.shape and one.dtype == other.dtype
        return [] if alike and one.tobytes() == other.tobytes() else [way]
    if dataclasses.is_dataclass(one):
        fields = [item.name for item in dataclasses.fields(one)]
        one, other = ({name: getattr(x, name) for name in fields} for x in (one, other))
    if isinstance(one, Mapping):
        if list(one) != list(other):
            return [way]
        return [d for name in one for d in differences(one[name], other[name], f"{way}.{name}")]
    if isinstance(one, (tuple, list)):
        if len(one) != len(other):
            return [way]
        pairs = enumerate(zip(one, other, strict=True))
        return [d for i, (a, b) in pairs for d in differences(a, b, f"{way}[{i}]")]
    return [] if one == other or (one != one and other != other) else [way]  # noqa: PLR0124
