"""Small designs made from records alone, so that a figure is tested without any reader of files."""

from collections.abc import Mapping
from typing import Any

from lineage.spec.assembly import Assembly, Spec, assemble
from lineage.spec.records import (
    BuildRef,
    Choice,
    Cut,
    Design,
    Family,
    FastenerGroup,
    Fit,
    Part,
    Stock,
    Use,
    Way,
)
from lineage.values.quantity import ChainTerm, Mass, Need, Quantity, Size

NOTHING = Mass(text="1 g", quantity=Quantity(text="1 g", value=1.0, dimension="mass", unit="g"))


def mm(value: float, within: float | None = None, *, plus: float | None = None, minus: float | None = None,
       grade: str | None = None) -> Quantity:  # fmt: skip
    """A length in mm with what was typed as its tolerance."""
    up, down = (within, within) if within is not None else (plus, minus)
    return Quantity(
        text=f"{value} mm", value=value, dimension="length", unit="mm", plus=up, minus=down, grade=grade
    )


def seconds(value: float) -> Quantity:
    """A time."""
    return Quantity(text=f"{value} s", value=value, dimension="time", unit="s")


def box(length: float, width: float, height: float | None, within: float | None = None) -> Size:
    """A size in mm."""
    return Size(
        text=f"{length} x {width} x {height} mm",
        length=mm(length, within),
        width=mm(width, within),
        height=None if height is None else mm(height, within),
    )


def part(*behind: str, **keys: Any) -> Part:
    """A part with a mass, behind what is named."""
    keys = {"mass": None if keys.get("stock") else NOTHING, "behind": behind, **keys}
    return Part(**keys)


def screws(type_: str, count: int, holds: str | tuple[str, ...], *into: str, **keys: Any) -> FastenerGroup:
    """A fastener group."""
    held = (holds,) if isinstance(holds, str) else holds
    return FastenerGroup(type=type_, count=count, holds=held, into=into, **keys)


def place(module: str, *behind: str, **keys: Any) -> Use:
    """A use of build A of a module."""
    return Use(use=BuildRef(module, "A"), behind=behind, **keys)


def way(*behind: str, undo: tuple[str, ...] = (), tools: tuple[str, ...] = ()) -> Way:
    """One way of taking a thing off."""
    return Way(behind=behind, undo=undo, tools=tools)


def need(low: float | None = None, high: float | None = None) -> Need:
    """What a gap has to be, mm."""
    sides = [None if side is None else mm(side) for side in (low, high)]
    return Need(text="", low=sides[0], high=sides[1])


def term(coefficient: float, what: str | Quantity) -> ChainTerm:
    """One term of a chain: `ref.dim`, or a plain quantity."""
    if isinstance(what, Quantity):
        return ChainTerm(text=what.text, coefficient=coefficient, literal=what)
    ref, _, dim = what.rpartition(".")
    return ChainTerm(text=what, coefficient=coefficient, ref=ref, dim=dim)


def fit(needed: Need, *terms: ChainTerm) -> Fit:
    """A fit."""
    return Fit(need=needed, chain=terms)


def sheet(thickness: Quantity, material: str = "our own", *, cut: str | None = None) -> Stock:
    """A sheet stock."""
    return Stock(material=material, thickness=thickness, cut=Cut(how=cut) if cut else None)


def module(name: str, **keys: Any) -> Design:
    """A module."""
    return Design(kind="module", name=name, **keys)


def robot(**keys: Any) -> Design:
    """A robot."""
    return Design(kind="robot", name="wren", **keys)


def option(**choices: Choice) -> Mapping[str, Choice]:
    """The choices of one option."""
    return choices


def assembled(
    design: Design,
    *modules: Design,
    family: Family | None = None,
    choices: Mapping[str, str] | None = None,
    drawings: Mapping[str, str] | None = None,
) -> Assembly:
    """The assembly of a design whose modules are all at build A."""
    family = family or Family(title="made by hand")

    def spec(of: Design) -> Spec:
        ref = BuildRef(of.name, "A")
        return Spec(ref=ref, design=of, family=family, family_id="family", drawings=drawings or {})

    known = {of.name: spec(of) for of in modules}
    return assemble(spec(design), lambda ref: known[ref.design], choices)
