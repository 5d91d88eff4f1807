"""Densities of the materials that small robots are made of, with what the sources leave open.

`limit` is a half width in kg/m3, taken as a rectangular distribution (standard uncertainty limit/√3): it
takes in what the sources print side by side. A family that weighs an offcut writes its own density over
these.
"""

# ruff: noqa: E501 - a row of the table stays on one line

from collections.abc import Mapping
from math import sqrt
from typing import Literal

from msgspec import Struct

EDITION = 2
"""Edition of the built-in tables (materials, sheet, screws); a recorded build keeps it as `tables`."""

Category = Literal["metal", "engineering plastic", "printed", "laminate", "wood", "rubber"]
SheetKind = Literal[
    "aluminium group I", "aluminium group II", "stainless", "hot-rolled steel", "plywood", "acrylic cast",
    "acrylic extruded", "polycarbonate", "engineering plastic",
]  # fmt: skip
Hazard = Literal[
    "chlorine in a laser", "formaldehyde and a hidden flame", "not for a laser", "fibre dust",
    "attacked by threadlock",
]  # fmt: skip
Tag = Literal["seen in a copy of the source", "from memory"]

GRAMS_PER_MM3 = 1e-6
"""1 kg/m3 in g/mm3."""


class BuiltInMaterial(Struct, frozen=True, kw_only=True):
    """One row: density and its limit in kg/m3, what it is, and where the numbers come from."""

    name: str
    density: float
    limit: float
    category: Category
    source: str
    tag: Tag
    sheet: SheetKind | None = None
    hazards: tuple[Hazard, ...] = ()

    @property
    def relative_u(self) -> float:
        """Standard uncertainty of the density as a share of it: limit/√3 over the density."""
        return self.limit / sqrt(3) / self.density


_SEEN: Tag = "seen in a copy of the source"
_MEMORY: Tag = "from memory"


def _row(
    name: str,
    density: float,
    limit: float,
    category: Category,
    source: str,
    tag: Tag = _SEEN,
    sheet: SheetKind | None = None,
    hazards: tuple[Hazard, ...] = (),
) -> BuiltInMaterial:
    return BuiltInMaterial(
        name=name,
        density=density,
        limit=limit,
        category=category,
        source=source,
        tag=tag,
        sheet=sheet,
        hazards=hazards,
    )


_ALUMINIUM = "aluminium trade table of nominal densities; lb/in3 of handbook sheets"
_PLASTICS = (
    "plastics density tables of engineersedge.com, 24kjx.com and matmake.com, their ranges taken together"
)
_FILAMENT = "filament density table, infysia.com; infill and seams lower it: an upper bound for prints"
_LASER: tuple[Hazard, ...] = ("not for a laser",)
_FIBRE: tuple[Hazard, ...] = ("fibre dust", "not for a laser")

_ROWS = (
    _row("aluminium", 2750, 60, "metal", f"{_ALUMINIUM}: from 6061 to 7075", _SEEN, "aluminium group II"),
    _row("aluminium-5052", 2680, 10, "metal", "handbook, .097 lb/in3", _MEMORY, "aluminium group II"),
    _row("aluminium-6061", 2700, 13, "metal", f"{_ALUMINIUM} (.0975-.098)", _SEEN, "aluminium group II"),
    _row("aluminium-6082", 2700, 13, "metal", "handbook, as 6061", _MEMORY, "aluminium group II"),
    _row("aluminium-7075", 2810, 15, "metal", f"{_ALUMINIUM} (.101-.102)", _SEEN, "aluminium group II"),
    _row("aluminium-2024", 2780, 12, "metal", f"{_ALUMINIUM} (.100)", _SEEN, "aluminium group II"),
    _row("titanium-6al4v", 4430, 10, "metal", "asm.matweb.com MTP645 (.160); 4420 elsewhere (.159)"),
    _row("steel", 7850, 20, "metal", "carbon steel 7840-7870, matmake.com", _SEEN, "hot-rolled steel"),
    _row("steel-4130", 7850, 17, "metal", "asm.matweb.com m4130r (.284); handbook .283"),
    _row("stainless", 7930, 70, "metal", "austenitic 18-10: 7.9 in EN 10088-1, .29 lb/in3 in US sheets", _MEMORY, "stainless"),
    _row("steel-17-4ph", 7780, 30, "metal", "azom.com 7750 (condition A); hnsuperalloys 7800; H900 .282"),
    _row("wear-plate", 7850, 50, "metal", "abrasion-resistant plate, makers' sheets", _MEMORY),
    _row("maraging-300", 8050, 50, "metal", "makers' sheets, .289-.290 lb/in3", _MEMORY),
    _row("brass", 8515, 15, "metal", "C26000 8530, C36000 8500; scribd.com 372037000"),
    _row("copper", 8940, 20, "metal", "handbook, C11000", _MEMORY),
    _row("lead", 11340, 20, "metal", "handbook", _MEMORY),
    _row("acetal", 1410, 20, "engineering plastic", _PLASTICS, _SEEN, "engineering plastic", ("formaldehyde and a hidden flame",)),
    _row("uhmw-pe", 935, 5, "engineering plastic", _PLASTICS, _SEEN, "engineering plastic"),
    _row("hdpe", 955, 15, "engineering plastic", _PLASTICS, _SEEN, "engineering plastic", _LASER),
    _row("polypropylene", 907, 8, "engineering plastic", _PLASTICS, _SEEN, "engineering plastic"),
    _row("polycarbonate", 1200, 20, "engineering plastic", _PLASTICS, _SEEN, "polycarbonate", ("not for a laser", "attacked by threadlock")),
    _row("acrylic", 1180, 10, "engineering plastic", _PLASTICS, _SEEN, "acrylic cast", ("attacked by threadlock",)),
    _row("acrylic-extruded", 1180, 10, "engineering plastic", _PLASTICS, _SEEN, "acrylic extruded", ("attacked by threadlock",)),
    _row("nylon", 1140, 20, "engineering plastic", _PLASTICS, _SEEN, "engineering plastic"),
    _row("pvc", 1375, 75, "engineering plastic", "rigid PVC 1300-1450, 24kjx.com", _SEEN, None, ("chlorine in a laser",)),
    _row("abs", 1045, 35, "engineering plastic", _PLASTICS, _SEEN, None, ("not for a laser", "attacked by threadlock")),
    _row("petg", 1270, 10, "printed", f"{_FILAMENT}; 1260-1280, 24kjx.com"),
    _row("pla", 1240, 10, "printed", _FILAMENT),
    _row("tpu", 1220, 20, "printed", _FILAMENT),
    _row("carbon-fibre", 1585, 15, "laminate", "carbon and epoxy plate: qmul.ac.uk note 1570 (woven), substech.com 1600", _SEEN, None, _FIBRE),
    _row("g10", 1810, 60, "laminate", "glass and epoxy plate: sino-elec 1750-1800, engineersedge.com 1870", _SEEN, None, _FIBRE),
    _row("birch-plywood", 685, 25, "wood", "birch plywood data sheet, vdocuments.site: 660-710 by thickness", _SEEN, "plywood"),
    _row("rubber", 980, 60, "rubber", "natural rubber 920-1037, matmake.com"),
    _row("neoprene", 1240, 10, "rubber", "1230-1250, matmake.com", _SEEN, None, ("chlorine in a laser",)),
)  # fmt: skip

ALIASES: Mapping[str, str] = {
    "fr-4": "g10",
    "fr4": "g10",
    "pom": "acetal",
    "uhmw": "uhmw-pe",
    "carbon-fiber": "carbon-fibre",
    "titanium": "titanium-6al4v",
    "titanium-grade-5": "titanium-6al4v",
    "aluminum": "aluminium",
    "stainless-304": "stainless",
    "stainless-steel": "stainless",
    "acrylic-cast": "acrylic",
    "steel-ar": "wear-plate",
}
"""Other words for the same row."""

_BY_NAME = {row.name: row for row in _ROWS}
MATERIALS: Mapping[str, BuiltInMaterial] = _BY_NAME | {
    alias: _BY_NAME[name] for alias, name in ALIASES.items()
}
"""Every name that stands for a row."""


def built_in(name: str) -> BuiltInMaterial | None:
    """The row of a material's name or of another word for it; None where the table has none."""
    return MATERIALS.get(name)
