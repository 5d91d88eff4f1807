"""What a stock is to a calculation: density, thickness, areal, linear and section, each with its own source
of error.

A typed number of a stock is one variable wherever that stock is used; a density of the built-in or the
family's table belongs to the material. A limit T enters as a rectangular distribution, u = T/√3 (JCGM
100:2008, 4.3.7); ± on a density is an expanded uncertainty with k = 2.
"""

from collections.abc import Mapping
from math import pi, sqrt

from lineage.figures.standards.materials import GRAMS_PER_MM3, BuiltInMaterial, built_in
from lineage.figures.standards.sheet import ThicknessSpread, thickness_spread
from lineage.spec.assembly import StockOf
from lineage.spec.records import Family, Material
from lineage.values.quantity import Quantity, Section
from lineage.values.uncertain import Source, Uncertain, from_source

NOT_KNOWN = "not known"


def row_of(material: str | None, materials: Mapping[str, Material]) -> BuiltInMaterial | None:
    """The built-in row that a material's name stands for, by itself or through the family's `like`."""
    if material is None:
        return None
    own = materials.get(material)
    if own is not None and own.like is not None:
        return built_in(own.like)
    return built_in(material)


def density(stock: StockOf, family: Family, family_id: str) -> Uncertain | None:
    """Density of a stock: its own, else its material's.

    ± is U (k = 2), u = U/2; without it the limit of the material's row as a share, u = ρ·limit/(√3·ρ_row).
    stock: with its owner. family: whose materials count. family_id: of that family.yaml.
    Result: g/mm3; None where nothing has one; u unknown where neither ± nor a row of the built-in table is.
    Source: JCGM 100:2008 (GUM), 4.3.7 and 6.2.1; rows in standards/materials.py.
    """
    material = stock.stock.material
    row = row_of(material, family.materials)
    if stock.stock.density is not None:
        return _typed_density(stock.stock.density, ("density", stock.owner, stock.name), row)
    own = family.materials.get(material)
    if own is not None and own.density is not None:
        return _typed_density(own.density, ("density", family_id, material), row)
    return None if row is None else built_in_density(row)


def _typed_density(typed: Quantity, source: Source, row: BuiltInMaterial | None) -> Uncertain:
    if typed.limit is not None:
        return from_source(typed.centred, source, typed.limit / 2)
    return from_source(typed.value, source, None if row is None else typed.value * row.relative_u)


def built_in_density(row: BuiltInMaterial) -> Uncertain:
    """Density of a row of the built-in table.

    u = limit/√3. row: of the table. Result: g/mm3; never missing.
    Source: JCGM 100:2008 (GUM), 4.3.7; rows in standards/materials.py.
    """
    value = row.density * GRAMS_PER_MM3
    return from_source(value, ("density", row.name), value * row.relative_u)


def material_density(material: str, family: Family) -> float | None:
    """Nominal density of a material by name, g/mm3: the family's, else the built-in table's."""
    own = family.materials.get(material)
    if own is not None and own.density is not None:
        return own.density.centred
    row = row_of(material, family.materials)
    return None if row is None else row.density * GRAMS_PER_MM3


def spread_of_thickness(stock: StockOf, family: Family) -> ThicknessSpread | None:
    """How far a stock's thickness may be off where its own ± is not typed; None: typed, or not known."""
    thickness = stock.stock.thickness
    row = row_of(stock.stock.material, family.materials)
    if thickness is None or thickness.limit is not None or row is None:
        return None
    return thickness_spread(row.sheet, thickness.value)


def thickness(stock: StockOf, family: Family) -> Uncertain | None:
    """Thickness of a sheet.

    Centred on its typed tolerance, u = T/√3. Without a typed one as typed, with the spread of its kind of sheet:
    u = A/√3, A the larger of its two sides, which for a one-sided spread is the root mean square of how far
    the sheet may be from what was typed. A table does not move a number that somebody typed.
    stock: with its owner. family: whose materials say what kind of sheet it is.
    Result: mm; None where none is typed; u unknown where no table has the kind or the thickness.
    Source: JCGM 100:2008 (GUM), 4.3.7 and 4.3.8; tables in standards/sheet.py.
    """
    typed = stock.stock.thickness
    if typed is None:
        return None
    source = ("thickness", stock.owner, stock.name)
    if typed.limit is not None:
        return from_source(typed.centred, source, typed.limit / sqrt(3))
    spread = spread_of_thickness(stock, family)
    if spread is None:
        return from_source(typed.value, source, None)
    return from_source(typed.value, source, spread.largest_mm / sqrt(3))


def areal(stock: StockOf) -> Uncertain | None:
    """Mass of a sheet by area, g/mm2: ± is U (k = 2); without it u is not known. None where none is typed."""
    return _by_measure(stock.stock.areal, ("areal", stock.owner, stock.name))


def linear(stock: StockOf) -> Uncertain | None:
    """Mass of a bar by length, g/mm: ± is U (k = 2); without it u is not known. None where none is typed."""
    return _by_measure(stock.stock.linear, ("linear", stock.owner, stock.name))


def _by_measure(typed: Quantity | None, source: Source) -> Uncertain | None:
    if typed is None:
        return None
    return from_source(typed.centred, source, None if typed.limit is None else typed.limit / 2)


def by_limit(typed: Quantity, source: Source) -> Uncertain:
    """A length or an area: centred, u = T/√3 of its typed limit, none without one."""
    return from_source(typed.centred, source, (typed.limit or 0.0) / sqrt(3))


def kerf(stock: StockOf) -> Uncertain:
    """Half the width of a cut, mm; nothing where none is typed."""
    typed = stock.stock.kerf
    return Uncertain(0.0) if typed is None else by_limit(typed, ("kerf", stock.owner, stock.name))


def section(stock: StockOf) -> Uncertain | None:
    """Area of a bar's or tube's section.

    round π·d²/4; bar w·h; tube π·(D − w)·w, D outside and w wall; square a²; hex √3/2·s² across flats; area
    itself.
    stock: with its owner.
    Result: mm2, u from the limits of its numbers, each one variable; None where no section is typed.
    Source: plain geometry; JCGM 100:2008 (GUM), 5.1.2 and 4.3.7.
    """
    typed = stock.stock.section
    return None if typed is None else section_area(typed, ("section", stock.owner, stock.name))


def section_area(typed: Section, source: tuple[str, str, str]) -> Uncertain:
    """Area of a typed section, as `section` says; `source` names the variables of its numbers."""
    first, *others = (by_limit(q, (*source, place)) for place, q in enumerate(typed.numbers))
    if typed.shape == "area":
        return first
    if typed.shape == "round":
        return first.times(first).scaled(pi / 4)
    if typed.shape == "square":
        return first.times(first)
    if typed.shape == "hex":
        return first.times(first).scaled(sqrt(3) / 2)
    second = others[0]
    if typed.shape == "bar":
        return first.times(second)
    return first.minus(second).times(second).scaled(pi)
