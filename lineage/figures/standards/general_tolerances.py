"""General tolerances for linear sizes without one of their own."""

from bisect import bisect_left
from collections.abc import Mapping
from typing import Literal

Grade = Literal["f", "m", "c", "v"]

_UP_TO_MM = (3.0, 6.0, 30.0, 120.0, 400.0, 1000.0, 2000.0, 4000.0)
_LEAST_MM = 0.5

# ISO 2768-1:1989, table 1. From memory, confirmed in part by copies (rt.http3.lol, scribd.com 585640440);
# where copies differ in the first two steps of c and v, these values stand.
_LIMITS_MM: Mapping[str, tuple[float | None, ...]] = {
    "f": (0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, None),
    "m": (0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0),
    "c": (0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0),
    "v": (None, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0, 8.0),
}


def general_tolerance(size_mm: float, grade: Grade) -> float | None:
    """The limit of a linear size by a tolerance class.

    ±T by the step of the size, "over a, up to and including b".
    size_mm: nominal size, mm. grade: f fine, m medium, c coarse, v very coarse.
    Result: T in mm; None below 0.5 mm (to be stated on the drawing), above 4000 mm, and where the class has
    none.
    Source: ISO 2768-1:1989, table 1 (from memory, confirmed in part by copies).
    """
    if not _LEAST_MM <= size_mm <= _UP_TO_MM[-1]:
        return None
    return _LIMITS_MM[grade][bisect_left(_UP_TO_MM, size_mm)]
