"""What people write as numbers, kept as typed and in the base unit of its dimension.

Base units: g, mm, mm2, mm3, g/mm3, g/mm2, g/mm, N, Nm, s, m/s, rpm, deg, A, V, Ah, J, W, rpm/V, degC, Pa, a
currency's own unit, and plain numbers for counts and shares (50 % is 0.5).
"""

from typing import Literal

from msgspec import Struct

Dimension = Literal[
    "mass", "length", "area", "volume", "density", "areal", "linear", "force", "torque", "time", "speed",
    "rotation", "angle", "current", "voltage", "charge", "energy", "power", "motor constant", "temperature",
    "pressure", "money", "count", "share",
]  # fmt: skip
HowKnown = Literal["listed", "weighed", "modelled", "guess"]
SectionShape = Literal["round", "bar", "tube", "square", "hex", "area"]


class Quantity(Struct, frozen=True, kw_only=True):
    """A number with its unit and what was typed behind it.

    `value`, `plus`, `minus` and `last_digit` are in the base unit; `plus` and `minus` are magnitudes of a typed
    tolerance (None: none was typed); `last_digit` is the worth of the last typed digit, None for a fraction;
    `grade` an ISO 286 grade such as `H7` that stands in place of a tolerance.
    """

    text: str
    value: float
    dimension: Dimension
    unit: str
    plus: float | None = None
    minus: float | None = None
    last_digit: float | None = None
    grade: str | None = None

    @property
    def limit(self) -> float | None:
        """T of the centred tolerance, (A + B)/2; None where none was typed."""
        if self.plus is None or self.minus is None:
            return None
        return (self.plus + self.minus) / 2

    @property
    def centred(self) -> float:
        """The middle of the tolerance; the typed number where there is none."""
        if self.plus is None or self.minus is None:
            return self.value
        return self.value + (self.plus - self.minus) / 2


class Size(Struct, frozen=True, kw_only=True):
    """Length, width and height; height is None where it is free (`sheet`, `opening`, a class's `size`)."""

    text: str
    length: Quantity
    width: Quantity
    height: Quantity | None = None


class Position(Struct, frozen=True, kw_only=True):
    """A point in mm: x forward, y left, z up."""

    text: str
    x: float
    y: float
    z: float


class Section(Struct, frozen=True, kw_only=True):
    """The section of a bar or tube. `numbers`: round (diameter,), bar (width, height), tube (outside, wall),
    square (side,), hex (across flats,), area (area,)."""

    text: str
    shape: SectionShape
    numbers: tuple[Quantity, ...]


class Mass(Struct, frozen=True, kw_only=True):
    """A typed mass, how it is known, and of how many pieces together."""

    text: str
    quantity: Quantity
    how: HowKnown = "listed"
    pieces: int = 1


class Tolerance(Struct, frozen=True, kw_only=True):
    """A tolerance alone: magnitudes in mm, those of an angle in degrees; or a class of ISO 2768-1."""

    text: str
    plus: float | None = None
    minus: float | None = None
    general: Literal["f", "m", "c", "v"] | None = None
    dimension: Literal["length", "angle"] = "length"


class Accuracy(Struct, frozen=True, kw_only=True):
    """Accuracy of a scale: a mass, or a share of the reading."""

    text: str
    mass: float | None = None
    share: float | None = None


class Need(Struct, frozen=True, kw_only=True):
    """What a fit has to be: `at least`, `at most` or `between`; an open side is None."""

    text: str
    low: Quantity | None = None
    high: Quantity | None = None


class ChainTerm(Struct, frozen=True, kw_only=True):
    """One term of a dimension chain: coefficient times `ref.dim`, or a plain quantity."""

    text: str
    coefficient: float
    ref: str | None = None
    dim: str | None = None
    literal: Quantity | None = None
