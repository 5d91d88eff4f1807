"""A thing's mass as a product of what was typed, so that a change of it can be shared out among its
factors.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from lineage.drawings.moments import Measures
from lineage.figures import stocks
from lineage.figures.masses import estimated_mass, sheet_area
from lineage.spec.assembly import StockOf, Thing
from lineage.values.uncertain import Uncertain

Formula = Literal["sheet", "areal", "bar", "linear", "mass", "used"]
Value = float | tuple[float, float]
"""A factor's value; of `area` the area with the perimeter of all loops."""


class Factors(Struct, frozen=True, kw_only=True):
    """Which formula gives the mass, and its factors by name."""

    formula: Formula
    factors: Mapping[str, Value]


def mass_factors(thing: Thing, measures: Mapping[str, Measures], used: Uncertain | None) -> Factors | None:
    """The factors of the mass that counts for a part or fastener group.

    sheet: count · (area − perimeter · kerf) · thickness · density · basis; areal: count · (area − perimeter
    · kerf) · areal · basis; bar: count · section · length · density · basis; linear: count · length · linear
    · basis; mass: count · mass · basis, where basis is mass used ÷ estimate. With no estimate the one factor
    is the mass used.
    thing: a part or a fastener group. measures: of drawings, by `measure_key`. used: its mass that counts, g.
    Result: factors in g and mm; None where the thing has no mass.
    Source: this project's choice of factors; the arithmetic is that of `mass_of`.
    """
    estimate = estimated_mass(thing, measures)
    if used is None:
        return None
    if estimate is None or not estimate.value:
        return Factors(formula="used", factors={"mass": used.value})
    formula, factors = _estimate_factors(thing, measures, estimate)
    basis = used.value / estimate.value
    return Factors(formula=formula, factors={**factors, "basis": basis})


def _estimate_factors(
    thing: Thing, measures: Mapping[str, Measures], estimate: Uncertain
) -> tuple[Formula, dict[str, Value]]:
    if thing.kind == "fasteners":
        count = thing.group.count
        return "mass", {"count": float(count), "mass": estimate.value / count}
    part = thing.part
    number = {"count": float(part.count)}
    if part.mass is not None or thing.stock is None:
        return "mass", {**number, "mass": estimate.value / part.count}
    if part.length is not None:
        return _bar_factors(thing, thing.stock, {**number, "length": part.length.centred})
    drawn = sheet_area(thing, measures)
    assert drawn is not None
    area: Value = (drawn[0].value, drawn[1])
    return _sheet_factors(
        thing, thing.stock, {**number, "area": area, "kerf": stocks.kerf(thing.stock).value}
    )


def _bar_factors(thing: Thing, stock: StockOf, factors: dict[str, Value]) -> tuple[Formula, dict[str, Value]]:
    linear = stocks.linear(stock)
    if linear is not None:
        return "linear", {**factors, "linear": linear.value}
    section = stocks.section(stock)
    return "bar", {**factors, "section": _known(section), "density": _density(thing, stock)}


def _sheet_factors(
    thing: Thing, stock: StockOf, factors: dict[str, Value]
) -> tuple[Formula, dict[str, Value]]:
    areal = stocks.areal(stock)
    if areal is not None:
        return "areal", {**factors, "areal": areal.value}
    thickness = stocks.thickness(stock, thing.spec.family)
    return "sheet", {**factors, "thickness": _known(thickness), "density": _density(thing, stock)}


def _density(thing: Thing, stock: StockOf) -> float:
    return _known(stocks.density(stock, thing.spec.family, thing.spec.family_id))


def _known(number: Uncertain | None) -> float:
    assert number is not None  # the thing has an estimate
    return number.value


def mass_of(factors: Mapping[str, Value]) -> float:
    """The mass that factors give together, as `mass_factors` says: the product, of area what the cut leaves.

    factors: by name, in g and mm.
    Result: g.
    Source: plain arithmetic.
    """
    mass = 1.0
    for name, value in factors.items():
        if isinstance(value, tuple):
            kerf = factors.get("kerf", 0.0)
            assert not isinstance(kerf, tuple)
            mass *= value[0] - value[1] * kerf
        elif name != "kerf":
            mass *= value
    return mass
