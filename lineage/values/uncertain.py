"""Numbers with named sources of uncertainty, combined to first order.

Law of propagation of uncertainty for correlated inputs, where every source is one variable wherever it is
used: contributions of one source are added with their signs, those of different sources as squares.

Source: JCGM 100:2008 (GUM), 5.1.2 (equation 10) and 5.2.2 (equation 13, r = 1 within a source).
"""

from collections.abc import Hashable, Iterable, Mapping
from math import sqrt

from msgspec import Struct

Source = Hashable


class Uncertain(Struct, frozen=True):
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
        return sqrt(sum(part * part for part in self.parts.values()))

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
        return Uncertain(self.value * other.value, product.parts, self.unknown | other.unknown)

    def __bool__(self) -> bool:
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
    """The sum of many; a shared source counts once."""
    value = 0.0
    parts: dict[Source, float] = {}
    unknown: frozenset[Source] = frozenset()
    for term in terms:
        value += term.value
        for source, part in term.parts.items():
            parts[source] = parts.get(source, 0.0) + part
        if term.unknown:
            unknown |= term.unknown
    return Uncertain(value, parts, unknown)
