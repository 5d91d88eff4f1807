"""Screw grip: how many turns of thread hold, what stands out, and what a builder looks at again."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from lineage.figures.engagement import engaged_length, screw_of
from lineage.figures.standards.materials import BuiltInMaterial
from lineage.figures.standards.screws import Screw
from lineage.figures.stocks import row_of
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import FastenerGroup

COMMON_PRACTICE = "common practice, no source"
_SAME_MM = 1e-9

# Least engaged length in diameters, by what the thread is cut in: common practice, no source.
_IN_STEEL = 1.0
_IN_SOFT_METAL = 1.5
_IN_PLASTIC = 2.0
_HARD = ("steel", "stainless", "wear-plate", "maraging", "titanium")
_SOFT = ("aluminium", "brass", "copper")


class Grip(Struct, frozen=True, kw_only=True):
    """How the screws of one group hold; None where length, pitch, grip or depth is not known.

    `protrusion_mm` is what stands out beyond the thread, negative where the screw ends within it.
    """

    engaged_mm: float | None = None
    engaged_turns: float | None = None
    protrusion_mm: float | None = None
    warnings: tuple[str, ...] = ()


def grips(assembly: Assembly) -> Mapping[str, Grip]:
    """The grip of every fastener group, by full reference.

    engaged = min(length − grip, depth), at least 0, in turns of the pitch; protrusion = length − grip − depth.
    assembly: gives groups, and what the material is that their thread is in.
    Result: mm and turns; None where grip or depth is not typed, or the type says no length.
    Source: plain geometry; rules of thumb are marked in their warnings.
    """
    return {thing.ref: _grip(thing, assembly) for thing in assembly.groups}


def _grip(thing: Thing, assembly: Assembly) -> Grip:
    group, screw = thing.group, screw_of(thing.group)
    if screw is None:
        return Grip()
    engaged = engaged_length(group, screw)
    return Grip(
        engaged_mm=engaged,
        engaged_turns=None if engaged is None else engaged / screw.pitch_mm,
        protrusion_mm=_protrusion(group, screw),
        warnings=tuple(_warnings(thing, screw, engaged, assembly)),
    )


def _protrusion(group: FastenerGroup, screw: Screw) -> float | None:
    if group.grip is None or group.depth is None:
        return None
    return screw.length_mm - group.grip.value - group.depth.value


def _warnings(thing: Thing, screw: Screw, engaged: float | None, assembly: Assembly) -> Iterator[str]:
    group = thing.group
    yield from _of_plate(group, screw)
    if engaged is None:
        return
    if not engaged:
        yield f"does not reach the thread: {screw.length_mm:g} mm long"
        return
    protrusion = _protrusion(group, screw) or 0.0
    if protrusion > _SAME_MM:
        yield (
            f"{protrusion:.3g} mm longer than its thread: bottoms in a blind hole, "
            f"stands out of an open one (worth a look: {COMMON_PRACTICE})"
        )
    if not group.nuts:
        yield from _of_engagement(thing, screw, engaged, assembly)


def _of_plate(group: FastenerGroup, screw: Screw) -> Iterator[str]:
    """A countersunk head that is higher than its plate reaches through it and holds nothing."""
    if screw.head != "countersunk" or group.plate is None or screw.head_height_mm is None:
        return
    if screw.head_height_mm > group.plate.value + _SAME_MM:
        yield (
            f"countersunk head {screw.head_height_mm:g} mm high in a plate of {group.plate.value:g} mm: "
            f"it comes through (worth a look: {COMMON_PRACTICE})"
        )


def _of_engagement(thing: Thing, screw: Screw, engaged: float, assembly: Assembly) -> Iterator[str]:
    """Less thread than is usual for the softest material that the screws go into."""
    usual = [(_diameters(row), row.name) for row in _rows_into(thing, assembly) if _diameters(row)]
    if not usual:
        return
    diameters, name = max(usual)
    if engaged < diameters * screw.diameter_mm - _SAME_MM:
        yield (
            f"{engaged:.3g} mm of thread in {name}, usual is at least {diameters:g} diameters "
            f"({diameters * screw.diameter_mm:.3g} mm; {COMMON_PRACTICE})"
        )


def _diameters(row: BuiltInMaterial) -> float:
    """Usual least engaged length in diameters; 0 where there is no usual one."""
    if row.category in {"engineering plastic", "printed"}:
        return _IN_PLASTIC
    if row.name.startswith(_HARD):
        return _IN_STEEL
    return _IN_SOFT_METAL if row.name.startswith(_SOFT) else 0.0


def _rows_into(thing: Thing, assembly: Assembly) -> Iterator[BuiltInMaterial]:
    for ref in thing.into:
        into = assembly.things[ref]
        if into.kind == "part":
            material = into.stock.stock.material if into.stock else into.part.material
            row = row_of(material, into.spec.family.materials)
            if row is not None:
                yield row
