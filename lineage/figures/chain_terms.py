"""What one term of a dimension chain measures: its nominal, its limits, and which variable it is."""

from collections.abc import Hashable
from typing import Literal

from msgspec import Struct

from lineage.figures.standards.general_tolerances import general_tolerance
from lineage.figures.standards.limits_and_fits import deviations
from lineage.figures.stocks import spread_of_thickness
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import Part
from lineage.values.quantity import ChainTerm, Quantity, Tolerance

ToleranceFrom = Literal["typed", "process", "stock"]


class Limits(Struct, frozen=True, kw_only=True):
    """How far above and below its nominal a dimension may be, mm, signed: `lower` ≤ `upper`."""

    lower: float
    upper: float
    source: ToleranceFrom | None

    @property
    def half_width(self) -> float:
        """T of the centred tolerance."""
        return (self.upper - self.lower) / 2

    @property
    def shift(self) -> float:
        """From the nominal to the middle."""
        return (self.upper + self.lower) / 2


class Dimension(Struct, frozen=True, kw_only=True):
    """A dimension as found: `variable` is equal for what is one quantity; `limits` None: not known."""

    ref: str
    variable: Hashable
    nominal: float
    limits: Limits | None


EXACT = Limits(lower=0.0, upper=0.0, source=None)


def dimension_of(term: ChainTerm, position: int, assembly: Assembly) -> Dimension | None:
    """The dimension that a term names in an assembly; None where it is not in it.

    A plain quantity is a variable of its own at its position in the chain.
    """
    if term.literal is not None:
        literal = term.literal
        return Dimension(
            ref=literal.text,
            variable=("literal", position),
            nominal=literal.value,
            limits=_typed(literal) if _says_limits(literal) else EXACT,
        )
    named = assembly.resolve(term.ref or "")
    thing = assembly.things[named[0]] if len(named) == 1 else None
    if thing is None or thing.kind != "part" or term.dim is None:
        return None
    return _of_part(thing, term.dim, assembly)


def _of_part(thing: Thing, dim: str, assembly: Assembly) -> Dimension | None:
    """A name in `dims`, else the stock's thickness, a bar's length, or a side of the size."""
    part = thing.part
    if dim in part.dims:
        return _by_part(thing, dim, ("dim", thing.ref, dim), part.dims[dim], assembly)
    if dim == "thickness" and thing.stock is not None and thing.stock.stock.thickness is not None:
        return _thickness(thing, thing.stock.stock.thickness)
    if dim == "length" and part.length is not None:
        return _by_part(thing, dim, ("length", thing.ref), part.length, assembly)
    side = "height" if dim == "thickness" else dim
    size = getattr(part.size, side, None) if side in {"length", "width", "height"} else None
    return None if size is None else _by_part(thing, dim, ("size", thing.ref, side), size, assembly)


def _by_part(
    thing: Thing, dim: str, variable: Hashable, quantity: Quantity, assembly: Assembly
) -> Dimension | None:
    if quantity.dimension != "length":
        return None
    limits = _typed(quantity) if _says_limits(quantity) else _by_process(thing, quantity.value, assembly)
    return Dimension(ref=f"{thing.ref}.{dim}", variable=variable, nominal=quantity.value, limits=limits)


def _thickness(thing: Thing, quantity: Quantity) -> Dimension:
    assert thing.stock is not None
    return Dimension(
        ref=f"{thing.ref}.thickness",
        variable=("thickness", thing.stock.owner, thing.stock.name),
        nominal=quantity.value,
        limits=_of_stock(thing, quantity),
    )


def _of_stock(thing: Thing, quantity: Quantity) -> Limits | None:
    """A stock's typed ±, else the built-in spread of its kind; never a process."""
    assert thing.stock is not None
    if quantity.plus is not None and quantity.minus is not None:
        return Limits(lower=-quantity.minus, upper=quantity.plus, source="stock")
    spread = spread_of_thickness(thing.stock, thing.spec.family)
    if spread is None:
        return None
    return Limits(lower=-spread.minus_mm, upper=spread.plus_mm, source="stock")


def _says_limits(quantity: Quantity) -> bool:
    return quantity.grade is not None or quantity.limit is not None


def _typed(quantity: Quantity) -> Limits | None:
    """A typed ±, or the deviations of a grade; None where the tables have no such grade at that size."""
    if quantity.plus is not None and quantity.minus is not None:
        return Limits(lower=-quantity.minus, upper=quantity.plus, source="typed")
    found = deviations(quantity.value, quantity.grade or "")
    return None if found is None else Limits(lower=found[0], upper=found[1], source="typed")


def _by_process(thing: Thing, size_mm: float, assembly: Assembly) -> Limits | None:
    """The family's tolerance of how a part is made, or its stock is cut; None where neither says."""
    process = _process_of(thing.part, thing)
    tolerance = assembly.inner[thing.place].family.tolerances.get(process or "")
    if tolerance is None:
        return None
    return _from_tolerance(tolerance, size_mm)


def _process_of(part: Part, thing: Thing) -> str | None:
    if part.process is not None:
        return part.process
    cut = thing.stock.stock.cut if thing.stock is not None else None
    return cut.how if cut is not None else None


def _from_tolerance(tolerance: Tolerance, size_mm: float) -> Limits | None:
    if tolerance.general is not None:
        limit = general_tolerance(size_mm, tolerance.general)
        return None if limit is None else Limits(lower=-limit, upper=limit, source="process")
    if tolerance.plus is None or tolerance.minus is None:
        return None
    return Limits(lower=-tolerance.minus, upper=tolerance.plus, source="process")
