"""What a spinning part stores: moment of inertia, energy and tip speed. For information, not for choosing a
test box.
"""

from collections.abc import Mapping
from math import pi

from msgspec import Struct

from lineage.drawings.moments import Measures
from lineage.figures.contents import measure_key
from lineage.figures.masses import sheet_areal
from lineage.spec.assembly import Assembly, Thing
from lineage.values.uncertain import Uncertain

_KG_M2 = 1e-9
"""1 g·mm2 in kg·m2."""


class Spin(Struct, frozen=True, kw_only=True):
    """One spinning part, all its pieces together; None where its drawing or stock is not known."""

    ref: str
    rpm: float
    inertia_kg_m2: Uncertain | None
    energy_j: Uncertain | None
    tip_m_s: float | None


def spinning(assembly: Assembly, measures: Mapping[str, Measures]) -> tuple[Spin, ...]:
    """Every part that spins.

    J = density · thickness · polar second moment about the centre of its outline · count; energy = ½·J·ω², ω
    = 2π·rpm/60; tip speed = ω · largest radius. The outline is taken as drawn: what a kerf takes off its rim is
    left out, so that J errs on the high side.
    assembly: whose parts have `spin`. measures: of drawings, by `measure_key`.
    Result: kg·m2, J and m/s; None where the part has no drawing that was measured, or its stock is not known.
    Source: plate of uniform thickness, closed forms of any handbook of mechanics (from memory).
    """
    return tuple(_spin(thing, measures) for thing in assembly.parts if thing.part.spin is not None)


def _spin(thing: Thing, measures: Mapping[str, Measures]) -> Spin:
    part = thing.part
    assert part.spin is not None
    omega = 2 * pi * part.spin.value / 60
    key = measure_key(thing)
    drawn = None if key is None else measures.get(key)
    areal = None if thing.stock is None or drawn is None else sheet_areal(thing, thing.stock)
    inertia = None if areal is None or drawn is None else areal.scaled(drawn.polar_mm4 * part.count * _KG_M2)
    return Spin(
        ref=thing.ref,
        rpm=part.spin.value,
        inertia_kg_m2=inertia,
        energy_j=None if inertia is None else inertia.scaled(omega**2 / 2),
        tip_m_s=None if drawn is None else abs(omega) * drawn.largest_radius_mm / 1000,
    )
