"""What a thing is made of, for asking whether a weighing of one build is true of another.

Two things have the same content when nothing that bears on their mass differs: not where they are, nor how
many, nor what holds them.
"""

from msgspec import Struct

from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import FastenerGroup, Part, Stock
from lineage.values.quantity import Mass, Quantity, Section

Typed = tuple[float, float | None, float | None]
"""Value and tolerance of a quantity; how it was written is no content."""


class StockContent(Struct, frozen=True, kw_only=True):
    """What a stock is made of; its name, price and sheet size are no content."""

    material: str
    thickness: Typed | None
    section: tuple[str, tuple[Typed, ...]] | None
    density: Typed | None
    areal: Typed | None
    linear: Typed | None
    kerf: Typed | None


class PartContent(Struct, frozen=True, kw_only=True):
    """What one piece of a part is made of."""

    mass: tuple[Typed, str, int] | None
    stock: StockContent | None
    outline: str | None
    ignore: tuple[str, ...]
    area: Typed | None
    length: Typed | None
    material: str | None
    item: str | None
    rework: tuple[str, ...]
    joined: str | None


class FastenerContent(Struct, frozen=True, kw_only=True):
    """What one screw of a group is made of, with its washers and nuts."""

    type: str
    mass: tuple[Typed, str, int] | None
    material: str | None
    washers: int
    nuts: int


class ModuleContent(Struct, frozen=True, kw_only=True):
    """Which build of a module, and with which choices."""

    build: str
    fitted: tuple[tuple[str, str], ...]


Content = PartContent | FastenerContent | ModuleContent


def content_of(assembly: Assembly, ref: str) -> Content:
    """What the thing of a reference is made of, "" the design itself; KeyError where the assembly has
    none.
    """
    thing = assembly.things[ref] if ref else None
    if thing is None or thing.kind == "place":
        inner = assembly.inner[ref]
        return ModuleContent(
            build=inner.id or str(inner.ref), fitted=tuple(sorted(assembly.fitted[ref].items()))
        )
    if thing.kind == "fasteners":
        return _fastener_content(thing.group)
    return _part_content(thing, thing.part)


def measure_key(thing: Thing) -> str | None:
    """The key of a part's drawing among measures; None where it has no drawing that is known.

    It is the drawing's content id; what the part ignores of it, or the unit it says for it, stands behind.
    """
    part = thing.part
    content_id = None if part.outline is None else thing.spec.drawings.get(part.outline)
    if content_id is None or not (part.ignore or part.drawing_unit):
        return content_id
    return " ".join((content_id, part.drawing_unit or "", *part.ignore))


def _part_content(thing: Thing, part: Part) -> PartContent:
    return PartContent(
        mass=_mass(part.mass),
        stock=None if thing.stock is None else _stock_content(thing.stock.stock),
        outline=measure_key(thing) or part.outline,
        ignore=part.ignore,
        area=_typed(part.area),
        length=_typed(part.length),
        material=part.material,
        item=part.item,
        rework=tuple(rework.do for rework in part.rework),
        joined=part.joined,
    )


def _fastener_content(group: FastenerGroup) -> FastenerContent:
    return FastenerContent(
        type=group.type,
        mass=_mass(group.mass),
        material=group.material,
        washers=group.washers,
        nuts=group.nuts,
    )


def _stock_content(stock: Stock) -> StockContent:
    return StockContent(
        material=stock.material,
        thickness=_typed(stock.thickness),
        section=_section(stock.section),
        density=_typed(stock.density),
        areal=_typed(stock.areal),
        linear=_typed(stock.linear),
        kerf=_typed(stock.kerf),
    )


def _typed(quantity: Quantity | None) -> Typed | None:
    return None if quantity is None else (quantity.value, quantity.plus, quantity.minus)


def _section(section: Section | None) -> tuple[str, tuple[Typed, ...]] | None:
    if section is None:
        return None
    return section.shape, tuple((q.value, q.plus, q.minus) for q in section.numbers)


def _mass(mass: Mass | None) -> tuple[Typed, str, int] | None:
    if mass is None:
        return None
    quantity = mass.quantity
    return (quantity.value, quantity.plus, quantity.minus), mass.how, mass.pieces
