"""Numbers → text for people: rounded in decimal, half to even, with a plain hyphen as minus.

`not known` stands for None. Rounding is that of the shortest decimal that reads back as the number, so that
what is shown is what one gets by hand from the number as it is printed.
"""

from decimal import ROUND_HALF_EVEN, Context, Decimal
from math import isfinite

from lineage.values.units import UNITS

NOT_KNOWN = "not known"
COVERAGE = 2  # k of the expanded uncertainty that is shown

_CONTEXT = Context(prec=700, rounding=ROUND_HALF_EVEN)


def decimals(value: float, digits: int, *, signed: bool = False) -> str:
    """A number with so many digits behind the point; with fewer than none the tens are rounded.

    `signed` shows a plus on what is more than nothing. Raises ValueError for what is no finite number.
    """
    if not isfinite(value):
        raise ValueError(f"{value} cannot be shown")
    step = Decimal(1).scaleb(-digits)
    shown = Decimal(repr(float(value))).quantize(step, context=_CONTEXT)
    if not shown:
        shown = abs(shown)
    return f"{shown:+f}" if signed and shown else f"{shown:f}"


def digits_for(u: float, significant: int = 2) -> int:
    """Digits behind the point that show an uncertainty with its significant digits.

    u rounded to `significant` digits decides, so that 0.0996 has two digits as 0.10.
    u: uncertainty, above 0; significant: how many of its digits are kept.
    Result: digits behind the point, below 0 where tens are rounded.
    Source: JCGM 100:2008 (GUM), 7.2.6: at most two significant digits.
    """
    exact = Decimal(repr(float(u)))
    kept = Context(prec=significant, rounding=ROUND_HALF_EVEN).plus(exact)
    return significant - 1 - kept.adjusted()


def rounded(value: float, u: float | None) -> str:
    """A number to the two significant digits of its uncertainty; as it is where that is not known or nothing."""
    if not u:
        return f"{_shortest(value):f}"
    return decimals(value, digits_for(u))


def _shortest(value: float) -> Decimal:
    """The shortest decimal that reads back as the number, without a needless `.0`."""
    if not isfinite(value):
        raise ValueError(f"{value} cannot be shown")
    exact = Decimal(repr(float(value)))
    if not exact:
        return Decimal(0)
    whole = exact.quantize(Decimal(1), context=_CONTEXT)
    return whole if whole == exact else exact


def with_unit(value: float | None, unit: str, digits: int, *, signed: bool = False) -> str:
    """A value in base units, shown in a unit of the table or a base unit: `1.36 kg`."""
    if value is None:
        return NOT_KNOWN
    return f"{decimals(in_unit(value, unit), digits, signed=signed)} {unit}".rstrip()


def in_unit(value: float, unit: str) -> float:
    """A value in base units as a number of another unit; units outside the table are base units."""
    known = UNITS.get(unit)
    if known is None or known.tens == 0:
        return value
    if known.tens is None:
        return value / known.factor
    return float(Decimal(repr(float(value))).scaleb(-known.tens, context=_CONTEXT))


def plus_minus(value: float | None, u: float | None, unit: str, *, signed: bool = False) -> str:
    """A value with its expanded uncertainty U = 2 u: `1352 ± 4 g`, `7.3 ± 1.2 g`.

    U has two digits where it begins with 1 or 2, else one; the value has the same last digit.
    value, u: in base units, u the standard uncertainty (k = 1); unit: what is shown.
    Result: text; `not known` without a value, `1352 g, ± not known` without u.
    Source: JCGM 100:2008 (GUM), 6.2.1 (U = k u) and 7.2.6; the change from two digits to one is common
    practice, no source.
    """
    if value is None:
        return NOT_KNOWN
    shown = in_unit(value, unit)
    if u is None:
        return f"{_to_four_digits(shown, signed=signed)} {unit}, ± {NOT_KNOWN}"
    expanded = COVERAGE * in_unit(u, unit)
    if expanded == 0:
        return f"{_to_four_digits(shown, signed=signed)} {unit}"
    digits = _digits_shown(expanded)
    return f"{decimals(shown, digits, signed=signed)} ± {decimals(expanded, digits)} {unit}"


def _digits_shown(expanded: float) -> int:
    two = digits_for(expanded, 2)
    return two if decimals(expanded, two).lstrip("0.")[:1] in ("1", "2") else digits_for(expanded, 1)


def _to_four_digits(value: float, *, signed: bool) -> str:
    """A number of which no uncertainty says how many digits it is worth."""
    digits = digits_for(abs(value), 4) if value else 0
    return decimals(value, min(max(digits, 0), 4), signed=signed)


def count_of(count: int, word: str, many: str | None = None) -> str:
    """`1 screw`, `8 screws`, `12,000 points`; `many` where it is not the word with an s."""
    return f"{count:,} {noun(count, word, many)}"


def noun(count: int, word: str, many: str | None = None) -> str:
    """The word alone as it stands behind a count: `screw`, `screws`."""
    return word if count == 1 else many or f"{word}s"


# --- the units that pages show most ----------------------------------------------------------------------


def grams(value: float | None, digits: int = 1, *, signed: bool = False) -> str:
    """`12.3 g`."""
    return with_unit(value, "g", digits, signed=signed)


def millimetres(value: float | None, digits: int = 2, *, signed: bool = False) -> str:
    """`0.35 mm`."""
    return with_unit(value, "mm", digits, signed=signed)


def seconds(value: float | None, digits: int = 0, *, signed: bool = False) -> str:
    """`95 s`."""
    return with_unit(value, "s", digits, signed=signed)


def clock(value: float | None) -> str:
    """Seconds as minutes and seconds: `2:10`."""
    if value is None:
        return NOT_KNOWN
    whole = int(decimals(abs(value), 0))
    sign = "-" if value < 0 and whole else ""
    return f"{sign}{whole // 60}:{whole % 60:02d}"


def percent(share: float | None, digits: int = 0, *, signed: bool = False) -> str:
    """A share of 1: `7 %`."""
    return with_unit(share, "%", digits, signed=signed)


def money(value: float | None, code: str) -> str:
    """`12.50 EUR`."""
    return with_unit(value, code, 2)
