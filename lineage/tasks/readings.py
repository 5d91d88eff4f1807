"""Typed readings as numbers with their own uncertainty."""

from collections.abc import Sequence
from math import sqrt

from lineage.evidence.readings import Reading
from lineage.values.quantity import Quantity


def readings_of(quantities: Sequence[Quantity]) -> list[Reading]:
    """Readings with u: a typed ± is k = 2, else half the last typed digit, rectangular; a fraction has none."""
    return [Reading(quantity.centred, reading_u(quantity)) for quantity in quantities]


def reading_u(quantity: Quantity) -> float:
    """Standard uncertainty of one reading without a named scale, in its base unit.

    Source: JCGM 100:2008 (GUM), 4.3.7 and F.2.2.1.
    """
    if quantity.limit is not None:
        return quantity.limit / 2
    return 0.0 if quantity.last_digit is None else quantity.last_digit / 2 / sqrt(3)
