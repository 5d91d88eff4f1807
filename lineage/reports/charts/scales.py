"""Scales: a number → a place on the paper, with round ticks. Straight and logarithmic."""

from collections.abc import Sequence
from math import ceil, floor, log10

from msgspec import Struct


class Tick(Struct, frozen=True):
    """A round number on an axis and where it stands."""

    at: float
    text: str


class Scale(Struct, frozen=True, kw_only=True):
    """Numbers from `low` to `high` laid from `left` to `right`; `log` lays equal ratios equally far."""

    low: float
    high: float
    left: float
    right: float
    log: bool = False

    def at(self, value: float) -> float:
        """Where a number stands; what lies outside stands at the end it lies beyond."""
        held = min(max(value, self.low), self.high)
        if self.log:
            share = log10(held / self.low) / log10(self.high / self.low)
        else:
            share = (held - self.low) / (self.high - self.low)
        return round(self.left + share * (self.right - self.left), 1)

    def has(self, value: float) -> bool:
        """Whether a number lies on it."""
        return self.low <= value <= self.high

    def ticks(self, about: int = 5) -> tuple[Tick, ...]:
        """Round numbers on it."""
        numbers = _decades(self.low, self.high) if self.log else _steps(self.low, self.high, about)
        return tuple(Tick(self.at(number), f"{number:g}") for number in numbers)


def round_step(span: float, about: int = 5) -> float:
    """The step of 1, 2 or 5 times a power of ten that cuts a span into about so many pieces."""
    rough = span / about
    ten = 10.0 ** floor(log10(rough))
    return float(next(step for step in (ten, 2 * ten, 5 * ten, 10 * ten) if step >= rough * 0.999))


def round_up(value: float, about: int = 5) -> float:
    """The next round number at or above a positive one."""
    step = round_step(value, about)
    return ceil(round(value / step, 9)) * step


def padded(values: Sequence[float], left: float, right: float, share: float = 0.06) -> Scale:
    """A scale around some numbers with a margin at both ends; one number alone gets a margin of 1."""
    low, high = min(values), max(values)
    margin = (high - low) * share or 1.0
    return Scale(low=low - margin, high=high + margin, left=left, right=right)


def _steps(low: float, high: float, about: int) -> list[float]:
    step = round_step(high - low, about)
    first, last = ceil(round(low / step, 9)), floor(round(high / step, 9))
    return [round(number * step, 9) + 0.0 for number in range(first, last + 1)]


def _decades(low: float, high: float) -> list[float]:
    return [10.0**power for power in range(ceil(log10(low) - 1e-9), floor(log10(high) + 1e-9) + 1)]
