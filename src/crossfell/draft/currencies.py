"""How many decimals does a currency have?

Source: ISO 4217, exponents of the active codes (from memory, to be compared with its table).
"""

from __future__ import annotations

_NONE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"
_DECIMALS = dict.fromkeys(_NONE.split(), 0) | dict.fromkeys(_THREE.split(), 3)


def decimals_of(currency: str) -> int:
    """Decimals of a currency by its code; two where it is not known to have others."""
    return _DECIMALS.get(currency.strip().upper(), 2)
