"""Numbers with named sources of uncertainty, combined to first order.

Law of propagation of uncertainty for correlated inputs, where every source is one variable wherever it is
used: contributions of one source are added with their signs, those of different sources as squares.

Source: JCGM 100:2008 (GUM), 5.1.2 (equation 10) and 5.2.2 (equation 16, r = 1 within a source).
"""

from collections.abc import Hashable, Iterable, Mapping
from math import fsum, sqrt
from typing import NoReturn

from msgspec import Struct

Source = Hashable


class Uncertain(Struct, frozen=True, gc=False):  # in no ring, and made by thousands
    """A value, and of each source its signed contribution (sensitivity times standard uncertainty).

    `unknown` names inputs whose uncertainty nobody knows; while there is one, `u` is None. There is no `<`,
    no truth value and no `float()`: ask for `.value` or `.u`.
    """

    value: float
    parts: Mapping[Source, float] = {}
    unknown: frozenset[Source] = frozenset()

    @property
    def u(self) -> float | None:
        """Standard uncertainty (k = 1), None while an input's is unknown."""
        if self.unknown:
            return None
        return sqrt(fsum(part * part for part in self.parts.values()))

    @property
    def expanded(self) -> float | None:
        """Expanded uncertainty with k = 2 (GUM 6.2.1), None while an input's is unknown."""
        u = self.u
        return None if u is None else 2 * u

    def scaled(self, factor: float) -> "Uncertain":
        """The value times an exact number."""
        if factor == 0:
            return Uncertain(0.0)
        return Uncertain(
            self.value * factor, {s: part * factor for s, part in self.parts.items()}, self.unknown
        )

    def plus(self, other: "Uncertain") -> "Uncertain":
        """The sum; a shared source counts once."""
        return total((self, other))

    def minus(self, other: "Uncertain") -> "Uncertain":
        """The difference; a shared source cancels."""
        return total((self, other.scaled(-1.0)))

    def times(self, other: "Uncertain") -> "Uncertain":
        """The product, to first order."""
        product = total((self.scaled(other.value), other.scaled(self.value)))
        return Uncertain(self.value * other.value, product.parts, product.unknown)

    def over(self, other: "Uncertain") -> "Uncertain":
        """The quotient, to first order; ZeroDivisionError where the other is 0."""
        quotient = self.value / other.value
        parts = total((self.scaled(1 / other.value), other.scaled(-quotient / other.value)))
        return Uncertain(quotient, parts.parts, parts.unknown)

    def __bool__(self) -> NoReturn:
        raise TypeError("an uncertain number is neither true nor false")


def exact(value: float) -> Uncertain:
    """A number without uncertainty."""
    return Uncertain(value)


def from_source(value: float, source: Source, u: float | None) -> Uncertain:
    """A number with one source; `u` None: its uncertainty is not known."""
    if u is None:
        return Uncertain(value, {}, frozenset((source,)))
    return Uncertain(value, {source: u}) if u else Uncertain(value)


def total(terms: Iterable[Uncertain]) -> Uncertain:
    """The sum of many; a shared source counts once. Sums are exact before they are rounded: order is nothing."""
    values: list[float] = []
    shared: dict[Source, list[float]] = {}
    unknown: frozenset[Source] = frozenset()
    for term in terms:
        values.append(term.value)
        for source, part in term.parts.items():
            if source in shared:
                shared[source].append(part)
            else:
                shared[source] = [part]
        if term.unknown:
            unknown |= term.unknown
    parts = {source: fsum(some) if len(some) > 1 else some[0] for source, some in shared.items()}
    return Uncertain(fsum(values), {source: part for source, part in parts.items() if part}, unknown)
