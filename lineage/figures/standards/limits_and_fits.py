"""Limit deviations of holes and shafts: H, h, g, f, js, k, n and p in grades IT5 to IT11."""

import re
from bisect import bisect_left
from collections.abc import Mapping

# ISO 286-1, standard tolerances in micrometres; rows by size "over the one before, up to and including".
# Seen in copies that agree: mechguru.com, engineersvault.blogspot.com, issuhub 5590 p. 236, isoFits.
_GRADE_STEPS_MM = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0)
_GRADES_UM: Mapping[int, tuple[int, ...]] = {
    5: (4, 5, 6, 8, 9, 11, 13, 15, 18),
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250),
}

# ISO 286-1, fundamental deviations of shafts in micrometres, to 50 mm. Seen in copies: isoFits, issuhub p.
# 239.
_DEVIATION_STEPS_MM = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0)
_UPPER_UM: Mapping[str, tuple[int, ...]] = {
    "f": (-6, -10, -13, -16, -20, -25),
    "g": (-2, -4, -5, -6, -7, -9),
}
_LOWER_UM: Mapping[str, tuple[int, ...]] = {
    "k": (0, 1, 1, 1, 2, 2),
    "n": (4, 8, 10, 12, 15, 17),
    "p": (6, 12, 15, 18, 22, 26),
}
_K_UP_TO_GRADE = 7

_FORM = re.compile(r"(H|JS|h|js|f|g|k|n|p)([0-9]{1,2})")
_MM = 1e-3


def standard_tolerance(size_mm: float, grade: int) -> float | None:
    """The width of a tolerance zone, ITn.

    size_mm: nominal size, mm. grade: n of ITn, 5 to 11.
    Result: mm; None where the table has no such grade, at or below 0 mm and above 180 mm.
    Source: ISO 286-1:2010, table 1 (seen in copies).
    """
    if grade not in _GRADES_UM or not 0 < size_mm <= _GRADE_STEPS_MM[-1]:
        return None
    return _GRADES_UM[grade][bisect_left(_GRADE_STEPS_MM, size_mm)] * _MM


def deviations(size_mm: float, grade: str) -> tuple[float, float] | None:
    """Lower and upper limit deviation of a size with an ISO grade, such as 22 H7 or 8 h6.

    H: 0 to +IT; h: −IT to 0; js: ±IT/2; f, g: upper deviation, lower = upper − IT; k, n, p: lower deviation,
    upper = lower + IT (k has 0 from IT8 on).
    size_mm: nominal size, mm. grade: letters and number; capitals are holes.
    Result: (lower, upper) in mm, signed; None where the tables have no such grade or size.
    Source: ISO 286-1:2010, tables 1 to 5 (seen in copies); f, g, k, n and p to 50 mm.
    """
    form = _FORM.fullmatch(grade)
    width = standard_tolerance(size_mm, int(form[2])) if form else None
    if form is None or width is None:
        return None
    letter = form[1]
    if letter == "H":
        return 0.0, width
    if letter == "h":
        return -width, 0.0
    if letter in {"js", "JS"}:
        return -width / 2, width / 2
    if size_mm > _DEVIATION_STEPS_MM[-1]:
        return None
    step = bisect_left(_DEVIATION_STEPS_MM, size_mm)
    if letter in _UPPER_UM:
        upper = _UPPER_UM[letter][step] * _MM
        return upper - width, upper
    lower = 0.0 if letter == "k" and int(form[2]) > _K_UP_TO_GRADE else _LOWER_UM[letter][step] * _MM
    return lower, lower + width
