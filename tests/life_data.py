"""Two published sets of lives with pieces that had not failed, for tests: `+` still held, `x` times so many.

Fans: hours of 70 diesel generator fans, Nelson, Applied Life Data Analysis, 1982, read in a public copy. Shock
absorbers: km of 38, Meeker and Escobar, Statistical Methods for Reliability Data, 1998, table C.2, from memory.
"""

from __future__ import annotations

__all__ = ["FANS", "SHOCK_ABSORBERS", "Lives"]

Lives = tuple[list[float], list[bool]]


def _lives(text: str) -> Lives:
    times: list[float] = []
    failed: list[bool] = []
    for word in text.split():
        time, _, count = word.partition("x")
        pieces = int(count or 1)
        times += [float(time.rstrip("+"))] * pieces
        failed += [not time.endswith("+")] * pieces
    return times, failed


FANS = _lives("""
450 460+ 1150x2 1560+ 1600 1660+ 1850+x5 2030+x3 2070x2 2080 2200+ 3000+x4 3100 3200+ 3450 3750+x2 4150+x4 4300+x4
4600 4850+x4 5000+x3 6100 6100+x3 6300+ 6450+x2 6700+ 7450+ 7800+x2 8100+x2 8200+ 8500+x3 8750 8750+x2 9400+ 9900+
10100+x3 11500+
""")
SHOCK_ABSORBERS = _lives("""
6700 6950+ 7820+ 8790+ 9120 9660+ 9820+ 11310+ 11690+ 11850+ 11880+ 12140+ 12200 12870+ 13150 13330+ 13470+ 14040+
14300 17520 17540+ 17890+ 18450+ 18960+ 18980+ 19410+ 20100 20100+ 20150+ 20320+ 20900 22700 23490+ 26510 27410+
27490 27890+ 28100+
""")
