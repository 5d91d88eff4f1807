"""Quantities and records from the words that people write, for tests of weight."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from lineage.drawings.moments import Measures
from lineage.problems import Place
from lineage.spec.assembly import Lookup, Spec
from lineage.spec.records import BuildRef, Design, Family, FastenerGroup, Material, Part, Stock, Weighing
from lineage.values.parsing import parse_mass, parse_quantity
from lineage.values.quantity import Dimension, Mass, Quantity
from lineage.values.shapes import parse_section

_DIMENSIONS: Mapping[str, Dimension] = {
    "thickness": "length",
    "length": "length",
    "kerf": "length",
    "density": "density",
    "areal": "areal",
    "linear": "linear",
    "area": "area",
    "spin": "rotation",
}


def q(text: str, dimension: Dimension = "mass") -> Quantity:
    """A quantity as typed."""
    return parse_quantity(text, dimension)


def mass(text: str) -> Mass:
    """A mass as typed."""
    return parse_mass(text)


def stock(material: str, **typed: str) -> Stock:
    """A stock from text."""
    keys: dict[str, Any] = {
        key: parse_section(text) if key == "section" else q(text, _DIMENSIONS[key])
        for key, text in typed.items()
    }
    return Stock(material=material, **keys)


def piece(**typed: Any) -> Part:
    """A part; its quantities from text."""
    read = {
        key: (mass(value) if key == "mass" else q(value, _DIMENSIONS[key]))
        if key in {"mass", *_DIMENSIONS} and isinstance(value, str)
        else value
        for key, value in typed.items()
    }
    return Part(**read)


def bolts(type_: str, count: int, **keys: Any) -> FastenerGroup:
    """A fastener group that holds nothing in particular."""
    if isinstance(keys.get("mass"), str):
        keys["mass"] = mass(keys["mass"])
    return FastenerGroup(type=type_, count=count, holds=(), **keys)


def material(density: str | None = None, like: str | None = None) -> Material:
    """A material of the family."""
    return Material(density=None if density is None else q(density, "density"), like=like)


def drawn(area: float, perimeter: float = 0.0, *, polar: float = 0.0, radius: float = 0.0, limit: float = 0.0) -> Measures:  # fmt: skip
    """Measures of a drawing that nobody drew."""
    return Measures(
        area_mm2=area,
        perimeter_mm=perimeter,
        centroid=(0.0, 0.0),
        ixx=polar / 2,
        iyy=polar / 2,
        ixy=0.0,
        polar_mm4=polar,
        largest_radius_mm=radius,
        box=(0.0, 0.0, 1.0, 1.0),
        area_limit_mm2=limit,
    )


def weighing(*readings: str, design: str = "wren", on: str = "2026-03-07", **keys: Any) -> Weighing:
    """An entry of kind mass."""
    keys.setdefault("id", f"{design} {on} {readings} {keys.get('of')}")
    return Weighing(
        place=Place("results", 1, 1),
        design=design,
        on=date.fromisoformat(on),
        is_=tuple(q(text) for text in readings),
        **keys,
    )


def lineup(*specs: Spec) -> Lookup:
    """Looks a build up among these."""
    known = {spec.ref: spec for spec in specs}
    return known.__getitem__


def build(design: Design, label: str = "A", **keys: Any) -> Spec:
    """One build of a design, its id made of its name and label."""
    keys.setdefault("family", Family(title="made by hand"))
    keys.setdefault("family_id", "family")
    return Spec(ref=BuildRef(design.name, label), design=design, id=f"id of {design.name} {label}", **keys)
