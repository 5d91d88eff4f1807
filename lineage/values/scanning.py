"""The grammar of a number, its unit and its ±, and what is said where text does not follow it.

NUMBER UNIT, then `± NUMBER [UNIT]`, `± NUMBER %` or `+A/-B` in the unit of the number; one unit behind both, as in
`1352 ± 4 g`, is the unit of both. A NUMBER is decimal, with
an exponent or a fraction (`1/4`, `1 1/4`); digits are 0 to 9 and the decimal sign is a point.
"""

import re
from typing import Final, NamedTuple

from lineage.values.quantity import Dimension, Quantity
from lineage.values.slips import (
    QuantityError,
    fault,
    number_slip,
    rest_slip,
    sample,
    unit_fault,
    wanted_units,
)
from lineage.values.units import BARE_COUNT, BARE_SHARE, UNITS, Unit

LONGEST: Final = 200  # characters; nothing that people write as a number comes near
LARGEST: Final = 1e30  # in base units
MOST_TENS: Final = 30

DECIMAL: Final = r"(?:(?:0|[1-9][0-9]*)(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?"
FRACTION: Final = r"(?:[1-9][0-9]* +)?(?:0|[1-9][0-9]*)/[1-9][0-9]*"
NUMBER: Final = f"(?:{DECIMAL}|{FRACTION})"
_UNIT_WORD = r"(?![eE][+-]?[0-9])[^\s\d+±.,/*_:;()¹²³¼½¾⅐-⅞-][^\s+±,_:;()]*"
UNIT: Final = rf"{_UNIT_WORD}(?:\s+[A-Za-z]+)?"
# five groups: ± number, its unit; + number, - number, their unit
TAIL: Final = rf"(?:(?:±|\+/?-)\s*({NUMBER})\s*({UNIT}|%)?|\+\s*({NUMBER})\s*/\s*-\s*({NUMBER})\s*({UNIT})?)"
_QUANTITY = re.compile(rf"\s*([+-]?{NUMBER})\s*({UNIT})?\s*{TAIL}?\s*")
_CLOCK = re.compile(rf"\s*([0-9]{{1,3}}):([0-5][0-9](?:\.[0-9]+)?)\s*{TAIL}?\s*")
_SECOND = UNITS["s"]

_LOOKALIKES = {0xA0: " ", 0x2007: " ", 0x2009: " ", 0x202F: " ", 0x2212: "-"}
_ANY_LOOKALIKE = re.compile(f"[{''.join(map(chr, _LOOKALIKES))}]")
_Match = re.Match[str]


class Spread(NamedTuple):
    """A typed tolerance in the base unit."""

    plus: float | None = None
    minus: float | None = None


NO_SPREAD: Final = Spread()


def plain(text: str) -> str:
    """The text with spaces and minus signs that only look different made plain; offsets stay what they are."""
    if len(text) > LONGEST:
        what = f"{len(text)} characters where a quantity is wanted"
        raise QuantityError(
            LONGEST, len(text), what, "a number with its unit", "write `12.5 mm`, the rest as a note"
        )
    return text.translate(_LOOKALIKES) if not text.isascii() and _ANY_LOOKALIKE.search(text) else text


def quantity_between(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> Quantity:
    """The quantity that is written between two offsets; any dimension where none is named."""
    found = _QUANTITY.fullmatch(text, start, end)
    if found is None:
        return _clock_between(text, start, end, dimensions)
    symbol = found[2]
    unit = UNITS.get(symbol) if symbol else _bare_unit(text, found, dimensions)
    if unit is None or (dimensions and unit.dimension not in dimensions):
        unit = unit_between(text, found.start(2), found.end(2), dimensions)
    number = found[1]
    value = amount(text, found.start(1), number, unit)
    plus, minus = spread(text, found, 3, value, unit) if found.lastindex != 2 else NO_SPREAD
    return Quantity(
        text=found[0].strip(),
        value=value,
        dimension=unit.dimension,
        unit=unit.symbol,
        plus=plus,
        minus=minus,
        last_digit=last_digit(number, unit),
    )


def _clock_between(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> Quantity:
    """`2:10`, minutes and seconds, where a time is wanted."""
    found = _CLOCK.fullmatch(text, start, end)
    if found is None:
        raise explained(text, start, end, dimensions)
    if dimensions and "time" not in dimensions:
        raise fault(
            text,
            start,
            end,
            f"`{found[0].strip()}` is a time",
            wanted_units(dimensions),
            f" {sample(dimensions)} ",
        )
    seconds = found[2]
    value = 60.0 * int(found[1]) + float(seconds)
    plus, minus = spread(text, found, 3, value, _SECOND)
    return Quantity(
        text=found[0].strip(),
        value=value,
        dimension="time",
        unit="s",
        plus=plus,
        minus=minus,
        last_digit=last_digit(seconds, _SECOND),
    )


def _bare_unit(text: str, found: _Match, dimensions: tuple[Dimension, ...]) -> Unit:
    """The unit of a number that has none of its own: that behind its ±; else it is a count, else a share."""
    group = 4 if found[4] else 7
    if found[group] and found[group] != "%":
        return unit_between(text, *found.span(group), dimensions)
    if not dimensions or "count" in dimensions:
        return BARE_COUNT
    if "share" in dimensions and abs(float_of(found[1])) <= 1:
        return BARE_SHARE
    raise bare_number(text, found.start(1), found.end(1), dimensions)


def bare_number(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> QuantityError:
    """The fault of a number that lacks its unit."""
    what = f"`{text[start:end]}` has no unit"
    return fault(text, start, end, what, wanted_units(dimensions), sample(dimensions, text[start:end]))


def unit_between(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> Unit:
    """The unit that is written between two offsets, if it is one of the dimensions wanted."""
    unit = UNITS.get(" ".join(text[start:end].split()))
    if unit is None or (dimensions and unit.dimension not in dimensions):
        raise unit_fault(text, start, end, unit, dimensions)
    return unit


def amount(text: str, at: int, number: str, unit: Unit) -> float:
    """A number times its unit; powers of ten are rounded once, so that `1.001 kg` is exactly 1001 g."""
    tens = unit.tens
    if tens is None or "/" in number:
        value = float_of(number) * unit.factor
    elif tens == 0:
        value = float(number)
    elif "e" in number or "E" in number:
        mantissa, _, exponent = number.lower().partition("e")
        value = float(f"{mantissa}e{int(exponent) + tens}")
    else:
        value = float(f"{number}e{tens}")
    if not -LARGEST < value < LARGEST or tens_of(number) < -MOST_TENS:
        raise fault(
            text, at, at + len(number), f"`{number}` is beyond all sizes", "a number of everyday size", "12"
        )
    return value + 0.0  # no negative zero


def tens_of(number: str) -> int:
    """The exponent of a number, 0 where it has none."""
    if "e" not in number and "E" not in number:
        return 0
    return int(number.lower().partition("e")[2])


def float_of(number: str) -> float:
    """The value of a decimal, a fraction or a mixed number."""
    if "/" not in number:
        return float(number)
    whole, _, fraction = number.lstrip("+-").rpartition(" ")
    top, _, bottom = fraction.partition("/")
    value = int(whole or 0) + int(top) / int(bottom)
    return -value if number[0] == "-" else value


def last_digit(number: str, unit: Unit) -> float | None:
    """What one step of the last typed digit is worth in the base unit; None for a fraction."""
    if "/" in number:
        return None
    tens = 0
    if "e" in number or "E" in number:
        number, _, exponent = number.lower().partition("e")
        tens = int(exponent)
    point = number.find(".")
    if point >= 0:
        tens -= len(number) - point - 1
    if unit.tens is None:
        return float(f"1e{tens}") * unit.factor
    return float(f"1e{tens + unit.tens}")


def spread(text: str, found: _Match, first: int, value: float, unit: Unit) -> Spread:
    """The typed tolerance of a match, whose groups from `first` on are those of TAIL."""
    both, above = found[first], found[first + 2]
    if both is not None:
        return _both_ways(text, found, first, value, unit)
    if above is None:
        return NO_SPREAD
    symbol, at = found[first + 4], found.start(first + 4)
    if symbol is not None and unit_between(text, at, found.end(first + 4), (unit.dimension,)) != unit:
        wanted = f"+A/-B in the unit of its number, `{unit.symbol}`"
        raise fault(text, at, found.end(first + 4), f"`{symbol}` behind +A/-B", wanted, unit.symbol)
    below = amount(text, found.start(first + 3), found[first + 3], unit)
    return Spread(amount(text, found.start(first + 2), above, unit), below)


def _both_ways(text: str, found: _Match, first: int, value: float, unit: Unit) -> Spread:
    number, symbol, at = found[first], found[first + 1], found.start(first)
    if symbol is None:
        width = amount(text, at, number, unit)
    elif symbol != "%":
        other = UNITS.get(symbol)
        if other is None or other.dimension != unit.dimension:
            other = unit_between(text, *found.span(first + 1), (unit.dimension,))
        width = amount(text, at, number, other)
    elif unit.symbol == "%":
        what = "± with % behind a number in %: points, or a share of it"
        raise fault(
            text, found.start(first + 1), found.end(first + 1), what, "± in points, without a unit", ""
        )
    else:
        width = abs(value) * amount(text, at, number, BARE_COUNT) / 100
    return Spread(width, width)


def explained(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> QuantityError:
    """Why there is no quantity between two offsets."""
    slip = number_slip(text, start, end) or rest_slip(text, start, end, dimensions)
    if slip is not None:
        return slip
    what = f"`{text[start:end].strip()}` is no quantity"
    return fault(text, start, end, what, wanted_units(dimensions), f" {sample(dimensions)} ")
