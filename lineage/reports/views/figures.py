"""Figures as pages and answers show them: plain numbers, the unit in the key, null for what is not known."""

from msgspec import Struct

from lineage.values.uncertain import Uncertain


class ValueU(Struct, frozen=True):
    """A value and its standard uncertainty (k = 1), None where that is not known."""

    value: float
    u: float | None


def value_u(figure: Uncertain | None) -> ValueU | None:
    """An uncertain number as an answer, None for None."""
    return None if figure is None else ValueU(figure.value, figure.u)
