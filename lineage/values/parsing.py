"""Text that people write → records of quantity.py; pure, and raising nothing but QuantityError.

The offsets of a QuantityError count characters of the text that was given, so that a reader can point at them.
"""

import re
from typing import Final

from lineage.values.chains import parse_chain_term, parse_need
from lineage.values.quantity import Dimension, Quantity
from lineage.values.scanning import NUMBER, amount, plain, quantity_between
from lineage.values.shapes import parse_position, parse_section, parse_size
from lineage.values.slips import QuantityError, fault, not_positive, number_slip
from lineage.values.tolerances import parse_accuracy, parse_dimension, parse_mass, parse_tolerance
from lineage.values.units import BARE_COUNT, UNITS

__all__ = [
    "QuantityError",
    "parse_accuracy",
    "parse_chain_term",
    "parse_count",
    "parse_dimension",
    "parse_duration",
    "parse_mass",
    "parse_need",
    "parse_number",
    "parse_position",
    "parse_price",
    "parse_quantity",
    "parse_reading",
    "parse_section",
    "parse_share",
    "parse_size",
    "parse_tolerance",
]


def parse_quantity(text: str, *dimensions: Dimension, positive: bool = False) -> Quantity:
    """A number with its unit, of one of the dimensions; of any where none is named."""
    text = plain(text)
    quantity = quantity_between(text, 0, len(text), dimensions)
    if positive and quantity.value <= 0:
        raise not_positive(text)
    return quantity


# --- bare numbers ----------------------------------------------------------------------------------------

_NUMBER = re.compile(rf"\s*([+-]?{NUMBER})\s*")
_COUNT = re.compile(r"\s*(\+?)(0|[1-9][0-9]{0,8})\s*")
_SHARE = re.compile(rf"\s*([+-]?{NUMBER})\s*(%)?\s*")


def parse_number(text: str, *, positive: bool = False) -> float:
    """A number without a unit: a ratio, a coefficient."""
    text = plain(text)
    found = _NUMBER.fullmatch(text)
    if found is None:
        raise _no_bare_number(text, "a number without a unit")
    value = amount(text, found.start(1), found[1], BARE_COUNT)
    if positive and value <= 0:
        raise not_positive(text)
    return value


def parse_count(text: str, *, least: int = 0) -> int:
    """A whole number of pieces."""
    text = plain(text)
    found = _COUNT.fullmatch(text)
    if found is None:
        raise _no_bare_number(text, "a whole number without a unit")
    value = int(found[2])
    if value < least:
        what = f"{value} where there have to be at least {least}"
        raise fault(text, *found.span(2), what, f"a whole number from {least} on", str(least))
    return value


def _no_bare_number(text: str, wanted: str) -> QuantityError:
    ratio = re.fullmatch(r"\s*([1-9][0-9]{0,5})\s*:\s*([1-9][0-9]{0,5})\s*", text)
    if ratio is not None:
        quotient = f"{int(ratio[1]) / int(ratio[2]):.9g}"
        return fault(text, 0, len(text), f"`{text.strip()}` is two numbers", wanted, quotient)
    slip = number_slip(text, 0, len(text))
    if slip is not None:
        return slip
    found = re.search(r"[0-9]+", text)
    what = f"`{text.strip()}` is no number" if text.strip() else "nothing is written"
    number = str(int(found[0])) if found is not None and len(found[0]) < 10 else "4"
    return fault(
        text,
        0,
        len(text),
        what if found is None else f"`{text.strip()}` is more than a number",
        wanted,
        number,
    )


def parse_share(text: str) -> float:
    """`50 %` or 0.5 → 0.5."""
    text = plain(text)
    found = _SHARE.fullmatch(text)
    if found is None:
        quantity_between(text, 0, len(text), ("share",))  # right but for a tolerance, or it says why not
        alone = re.split(r"±|\+", text.lstrip(" +"))[0]
        raise fault(text, 0, len(text), "a share with a tolerance", "a share alone", alone)
    value = amount(text, found.start(1), found[1], UNITS["%"] if found[2] else BARE_COUNT)
    if value < 0:
        what = f"`{found[1]}` is less than nothing"
        raise fault(text, *found.span(1), what, "a share from 0 on", found[1].lstrip("-"))
    if value > 1 and not found[2]:
        raise fault(
            text, *found.span(1), f"`{found[1]}` is more than the whole", "a share in %", f"{found[1]} %"
        )
    return value


# --- times, prices, readings -----------------------------------------------------------------------------

_WORDY_TIME = re.compile(
    r"\s*(?:([0-9]+)\s*h(?:ours?|rs?)?)?\s*(?:([0-9]+)\s*m(?:in(?:utes?|s)?)?)?\s*(?:([0-9]+)\s*s(?:ec(?:onds?|s)?)?)?\s*"
)


def parse_duration(text: str, *, positive: bool = False) -> Quantity:
    """`95 s`, `12 min`, `2 h` or `2:10`, minutes and seconds."""
    text = plain(text)
    try:
        return parse_quantity(text, "time", positive=positive)
    except QuantityError:
        found = _WORDY_TIME.fullmatch(text)
        if found is None or sum(part is not None for part in found.groups()) < 2:
            raise
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    total = 3600 * hours + 60 * minutes + seconds
    instead = f"{total // 60}:{total % 60:02d}" if seconds else f"{total // 60} min"
    raise fault(text, 0, len(text), "a time in several units", "a time in one unit, or `2:10`", instead)


def parse_price(text: str) -> Quantity:
    """`12.50 EUR`; the code stays as it is, money is never converted."""
    price = parse_quantity(text, "money")
    if price.plus is not None:
        text = plain(text)
        at = text.index(price.unit) + len(price.unit)
        raise fault(text, at, len(text), "a price with a tolerance", "a price alone", "")
    return price


_FORCE_WORD = re.compile(r"\b(?:pull|push|lift)\b", re.IGNORECASE)
_FORCE_OF: Final = {"g": "gf", "kg": "kgf", "oz": "ozf", "lb": "lbf"}


def parse_reading(text: str, of: str, *dimensions: Dimension) -> Quantity:
    """A bench reading; in g, kg, oz or lb it is a force where `of` has the word pull, push or lift.

    The force is the weight of that mass at standard gravity: value in N, unit gf, kgf, ozf or lbf.
    """
    if not _FORCE_WORD.search(of):
        return parse_quantity(text, *dimensions)
    allowed: tuple[Dimension, ...] = (*dimensions, "mass") if "force" in dimensions else dimensions
    reading = parse_quantity(text, *allowed)
    if reading.dimension != "mass" or reading.unit not in _FORCE_OF:
        return reading
    unit = UNITS[_FORCE_OF[reading.unit]]
    per_gram = UNITS["gf"].factor

    def force(grams: float | None) -> float | None:
        return None if grams is None else grams * per_gram

    return Quantity(
        text=reading.text,
        value=reading.value * per_gram,
        dimension="force",
        unit=unit.symbol,
        plus=force(reading.plus),
        minus=force(reading.minus),
        last_digit=force(reading.last_digit),
    )
