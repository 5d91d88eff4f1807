"""What one thing of an assembly should weigh, before any scale has said so.

A typed mass is one variable per place in a spec, so that pieces of one part, and a module in two places,
share their error; a table mass is one per type and material.
"""

from collections.abc import Mapping
from math import sqrt
from typing import Literal

from lineage.drawings.moments import Measures
from lineage.figures import stocks
from lineage.figures.contents import measure_key
from lineage.figures.standards.materials import GRAMS_PER_MM3
from lineage.figures.standards.screws import (
    STEEL,
    Screw,
    TableMass,
    nut_mass,
    parse_screw,
    screw_mass,
    washer_mass,
)
from lineage.spec.assembly import StockOf, Thing
from lineage.spec.records import FastenerGroup, Spread
from lineage.values.quantity import HowKnown, Mass, Quantity
from lineage.values.uncertain import Source, Uncertain, from_source, total

Basis = Literal["drawing", "area", "length", "listed", "modelled", "guess", "standard", "weighed"]

SPREAD: Mapping[HowKnown, float] = {"listed": 0.05, "modelled": 0.10, "guess": 0.25}
"""Spread (k = 2) of masses that state none: common practice, no source; family.yaml overrides."""


def basis_of(thing: Thing) -> Basis:
    """What the estimate of a part or fastener group rests on."""
    if thing.kind == "fasteners":
        mass = thing.group.mass
        return "standard" if mass is None else mass.how
    part = thing.part
    if part.mass is not None:
        return part.mass.how
    if part.length is not None:
        return "length"
    return "area" if part.area is not None else "drawing"


def estimated_mass(thing: Thing, measures: Mapping[str, Measures]) -> Uncertain | None:
    """What all pieces of a part or fastener group should weigh together.

    Sheet: area · thickness · density · count, or area · areal · count; bar and tube: section · length ·
    density · count, or length · linear · count; else its typed mass · count; fasteners: (screw + washers +
    nuts) · count.
    thing: a part or a fastener group. measures: of drawings, by `measure_key`.
    Result: g; None where something that it needs is not known.
    Source: JCGM 100:2008 (GUM), 5.1.2 and 5.2.2; standards named in standards/.
    """
    if thing.kind == "fasteners":
        each = _fastener_mass(thing, thing.group)
        return None if each is None else each.scaled(thing.group.count)
    part = thing.part
    if part.mass is not None:
        each = typed_mass(thing, part.mass)
    elif thing.stock is None:
        return None
    elif part.length is not None:
        each = _bar_mass(thing, thing.stock, part.length)
    else:
        each = _sheet_mass(thing, thing.stock, measures)
    return None if each is None else each.scaled(part.count)


def typed_mass(thing: Thing, mass: Mass) -> Uncertain:
    """A typed mass of one piece, with the ± that was typed or that its kind of knowledge has.

    ± is U (k = 2), u = U/2; without it the spread of listed, modelled and guessed masses, u = m·share/2; of a
    weighed one half the last typed digit, rectangular, u = digit/√12, none for a fraction; all over the
    pieces.
    thing: the part or group that has it. mass: as typed.
    Result: g of one piece; never missing.
    Source: JCGM 100:2008 (GUM), 4.3.7 and 6.2.1; the spreads are common practice, no source.
    """
    quantity = mass.quantity
    source = mass_source(thing)
    if quantity.limit is not None:
        u = quantity.limit / 2
    elif mass.how == "weighed":
        u = last_digit_u(quantity)
    else:
        u = abs(quantity.value) * share_of(mass.how, thing.spec.family.spread) / 2
    return from_source(quantity.centred, source, u).scaled(1 / mass.pieces)


def mass_source(thing: Thing) -> tuple[str | int, ...]:
    """The variable of a typed mass: where in which spec it stands."""
    return (str(thing.spec.ref), *thing.path, "mass")


def last_digit_u(quantity: Quantity) -> float:
    """Half the last typed digit, rectangular: digit/√12; 0 for a fraction."""
    return 0.0 if quantity.last_digit is None else quantity.last_digit / sqrt(12)


def share_of(how: HowKnown, spread: Spread) -> float:
    """Spread (k = 2) of a kind of knowledge: family.yaml's, else the default."""
    own = {"listed": spread.listed, "modelled": spread.modelled, "guess": spread.guess}.get(how)
    return SPREAD[how] if own is None else own


# --- sheet, bar and tube ---------------------------------------------------------------------------------


def sheet_area(thing: Thing, measures: Mapping[str, Measures]) -> tuple[Uncertain, float] | None:
    """Area of one piece of sheet as typed or drawn, with the perimeter of all its loops.

    thing: a part cut from sheet. measures: of drawings, by `measure_key`.
    Result: (mm2, mm), u from the limit of a typed area or of flattened curves, T/√3; a typed area has
    perimeter 0; None where the drawing has not been measured.
    Source: JCGM 100:2008 (GUM), 4.3.7.
    """
    part = thing.part
    if part.area is not None:
        return stocks.by_limit(part.area, (str(thing.spec.ref), *thing.path, "area")), 0.0
    key = measure_key(thing)
    drawn = None if key is None else measures.get(key)
    if key is None or drawn is None:
        return None
    area = from_source(drawn.area_mm2, ("drawing", key), drawn.area_limit_mm2 / sqrt(3))
    return area, drawn.perimeter_mm


def _sheet_mass(thing: Thing, stock: StockOf, measures: Mapping[str, Measures]) -> Uncertain | None:
    drawn = sheet_area(thing, measures)
    if drawn is None:
        return None
    area, perimeter = drawn
    if stock.stock.kerf is not None and perimeter:
        area = area.minus(stocks.kerf(stock).scaled(perimeter))
    return _product(area, sheet_areal(thing, stock))


def sheet_areal(thing: Thing, stock: StockOf) -> Uncertain | None:
    """Mass of a sheet by area, g/mm2: typed, else thickness · density; None where neither is known."""
    typed = stocks.areal(stock)
    if typed is not None:
        return typed
    family, family_id = thing.spec.family, thing.spec.family_id
    return _product(stocks.thickness(stock, family), stocks.density(stock, family, family_id))


def _bar_mass(thing: Thing, stock: StockOf, length: Quantity) -> Uncertain | None:
    along = stocks.by_limit(length, (str(thing.spec.ref), *thing.path, "length"))
    by_length = stocks.linear(stock)
    if by_length is None:
        density = stocks.density(stock, thing.spec.family, thing.spec.family_id)
        by_length = _product(stocks.section(stock), density)
    return _product(along, by_length)


def _product(one: Uncertain | None, other: Uncertain | None) -> Uncertain | None:
    return None if one is None or other is None else one.times(other)


# --- fasteners -------------------------------------------------------------------------------------------


def _fastener_mass(thing: Thing, group: FastenerGroup) -> Uncertain | None:
    screw = parse_screw(group.type)
    alone = _screw_alone(thing, group, screw)
    if alone is None:
        return None
    terms = [alone]
    for pieces, table, kind in ((group.washers, washer_mass, "ISO 7089"), (group.nuts, nut_mass, "ISO 4032")):
        if not pieces:
            continue
        mass = table(screw.thread) if screw is not None else None
        each = (
            None if mass is None or screw is None else _from_table(thing, group, mass, (kind, screw.thread))
        )
        if each is None:
            return None
        terms.append(each.scaled(pieces))
    return terms[0] if len(terms) == 1 else total(terms)


def _screw_alone(thing: Thing, group: FastenerGroup, screw: Screw | None) -> Uncertain | None:
    if group.mass is not None:
        return typed_mass(thing, group.mass)
    mass = None if screw is None else screw_mass(screw)
    if screw is None or mass is None:
        return None
    return _from_table(thing, group, mass, (screw.standard, screw.thread, screw.head, screw.length_mm))


def _from_table(
    thing: Thing, group: FastenerGroup, mass: TableMass, type_: tuple[str | float, ...]
) -> Uncertain | None:
    """A table's mass, of steel, in the material of the group; one variable per type and material."""
    family = thing.spec.family
    material = group.material or "steel"
    ratio = 1.0
    if group.material is not None:
        density = stocks.material_density(material, family)
        if density is None:
            return None
        ratio = density / (STEEL * GRAMS_PER_MM3)
    share = share_of("listed", family.spread) if mass.share is None else mass.share
    source: Source = ("table mass", *type_, material)
    return from_source(mass.grams * ratio, source, mass.grams * ratio * share / 2)
