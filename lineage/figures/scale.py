"""What was weighed against what was worked out, and what the spec probably lacks."""

from collections.abc import Iterable, Sequence
from math import sqrt
from typing import Literal

from msgspec import Struct

from lineage.figures.masses import mass_source
from lineage.figures.weight import Item, Weight
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import Weighing
from lineage.values.formatting import count_of, noun
from lineage.values.uncertain import Uncertain, total


class Comparison(Struct, frozen=True, kw_only=True):
    """A weighing beside what was worked out for the same things, g; positive: the spec lacks something.

    While an item lacks a mass, it is in `lacking`, and the normalised error is None.
    """

    refs: tuple[str, ...]
    measured: Uncertain
    predicted: Uncertain
    lacking: tuple[str, ...]
    normalised_error: float | None

    @property
    def residual(self) -> Uncertain:
        """Measured less predicted."""
        return self.measured.minus(self.predicted)


def normalised_error(measured: Uncertain, predicted: Uncertain) -> float | None:
    """How far a weighing is from what was worked out, in units of both uncertainties.

    En = (measured − predicted)/√(U_measured² + U_predicted²), U = 2·u.
    measured, predicted: g.
    Result: without unit, |En| ≤ 1 agrees; None where an uncertainty is not known or both are 0.
    Source: ISO/IEC 17043:2010, B.3.1.3 d, and ISO 13528:2015, 9.7.
    """
    if measured.u is None or predicted.u is None:
        return None
    expanded = 2 * sqrt(measured.u**2 + predicted.u**2)
    return (measured.value - predicted.value) / expanded if expanded else None


def whole(weight: Weight, measured: Uncertain) -> Comparison:
    """A whole weighing beside the whole of what was predicted."""
    return _comparison(("",), measured, weight.predicted, weight.without_mass)


def of_weighing(assembly: Assembly, weight: Weight, weighing: Weighing, measured: Uncertain) -> Comparison:
    """Any weighing beside what was worked out for what lay on the scale.

    The whole design, refs or a role, less what was left off; a thing that was weighed alone stands with its
    estimate, all pieces of it or as many as lay there.
    assembly, weight: of the weighing's build and choices. weighing: what was weighed. measured: its reading,
    g.
    Result: g; items without a mass are named and left out.
    Source: sums of estimates; En by ISO/IEC 17043.
    """
    refs = weighed_things(assembly, weighing)
    if not weighing.of and weighing.role is None and not weighing.except_:
        return whole(weight, measured)
    by_ref = {item.ref: item for item in weight.items}
    alone = len(refs) == 1 and bool(weighing.of)
    share = _share_weighed(assembly, refs, weighing) if alone else 1.0
    masses, lacking = _masses(assembly, weight, by_ref, refs, alone=alone)
    return _comparison(refs, measured, total(masses).scaled(share), tuple(lacking))


def _comparison(
    refs: tuple[str, ...], measured: Uncertain, predicted: Uncertain, lacking: tuple[str, ...]
) -> Comparison:
    return Comparison(
        refs=refs,
        measured=measured,
        predicted=predicted,
        lacking=lacking,
        normalised_error=None if lacking else normalised_error(measured, predicted),
    )


def weighed_things(assembly: Assembly, weighing: Weighing) -> tuple[str, ...]:
    """Outermost references of what lay on the scale: nothing is named together with what it is in.

    A place of which something was left off is named by what remains of it.
    """
    left_off = {t for ref in weighing.except_ for t in assembly.resolve(ref)}
    if weighing.of:
        on = {t for ref in weighing.of for t in assembly.resolve(ref)}
    elif weighing.role is not None:
        on = {t.ref for t in assembly.things.values() if t.role == weighing.role and t.kind != "place"}
    else:
        on = {t.ref for t in assembly.things.values() if not t.place}
    return tuple(_outermost(assembly, "", on, left_off, inside=False))


def _outermost(
    assembly: Assembly, place: str, on: set[str], left_off: set[str], *, inside: bool
) -> Iterable[str]:
    for thing in assembly.things.values():
        if thing.place != place or thing.ref in left_off:
            continue
        is_on = inside or thing.ref in on
        if thing.kind != "place":
            if is_on:
                yield thing.ref
        elif is_on and left_off.isdisjoint(assembly.within(thing.ref)):
            yield thing.ref
        else:
            yield from _outermost(assembly, thing.ref, on, left_off, inside=is_on)


def _share_weighed(assembly: Assembly, refs: tuple[str, ...], weighing: Weighing) -> float:
    if weighing.count is None:
        return 1.0
    return weighing.count / _count(assembly.things[refs[0]])


def _count(thing: Thing) -> int:
    if thing.kind == "place":
        return 1
    return thing.group.count if thing.kind == "fasteners" else thing.part.count


def _masses(
    assembly: Assembly, weight: Weight, by_ref: dict[str, Item], refs: Sequence[str], *, alone: bool
) -> tuple[list[Uncertain], list[str]]:
    masses, lacking = [], []
    for ref in refs:
        if assembly.things[ref].kind != "place":
            item = by_ref[ref]
            mass = item.estimate if alone else item.mass
        elif alone:
            inner = [by_ref[t] for t in assembly.within(ref) if t in by_ref]
            lacking += [item.ref for item in inner if item.mass is None]
            mass = total(_inside(assembly, weight, by_ref, ref))
        else:
            lacking += [t for t in weight.without_mass if t.startswith(f"{ref}.")]
            mass = weight.places[ref]
        if mass is None:
            lacking.append(ref)
        else:
            masses.append(mass)
    return masses, lacking


def _inside(assembly: Assembly, weight: Weight, by_ref: dict[str, Item], place: str) -> Iterable[Uncertain]:
    """What is directly in a place as it counts, the place's own weighing left aside."""
    for thing in assembly.things.values():
        if thing.place != place:
            continue
        mass = weight.places[thing.ref] if thing.kind == "place" else by_ref[thing.ref].mass
        if mass is not None:
            yield mass


# --- what is probably missing ----------------------------------------------------------------------------


class Suspect(Struct, frozen=True, kw_only=True):
    """Something that may explain a residual: what, why, and how many g it could be (None: nobody can say)."""

    what: Literal[
        "role with no mass", "glue and tape", "count of screws", "thickness of stock", "density of stock",
        "listed or modelled mass", "mass by a table",
    ]  # fmt: skip
    about: tuple[str, ...]
    why: str
    grams: float | None


_USUALLY_THERE = ("wiring", "fasteners", "power", "control", "drive")
_STICKS = ("glue", "tape", "epox", "bond", "foam", "weld", "solder")


def suspects(assembly: Assembly, weight: Weight, comparison: Comparison) -> tuple[Suspect, ...]:
    """What the spec of a design probably has wrong, likeliest first.

    Only where |En| > 1. What is missing altogether comes first when the scale says more (roles that such a
    robot has and this one has no mass for; glue and tape on what is joined by them); then what has a size,
    by how much of the residual it could be: screws for holes that have none, each stock's thickness at its
    limit (√3·u), each density and each listed, modelled or guessed mass at U (2·u). Of a weighing of
    some things only what lay on the scale is suspected, and no role is missed. Common practice, no source.
    assembly, weight: of the build weighed. comparison: of its weighing.
    Result: empty where measured and predicted agree or cannot be compared.
    Source: contributions to u of JCGM 100:2008 (GUM), 5.1.2; the ranking is common practice, no source.
    """
    error = comparison.normalised_error
    if error is None or abs(error) <= 1:
        return ()
    on = _on_the_scale(assembly, comparison.refs)
    sized = [*_typed_suspects(assembly, comparison.predicted)]
    missing: list[Suspect] = []
    if comparison.residual.value > 0:
        sized += (
            suspect
            for suspect in _screw_suspects(assembly, weight)
            # Whoever weighs screws alone knows how many lie there.
            if on.issuperset(suspect.about) and suspect.about != comparison.refs
        )
        missing += _missing_roles(weight) if comparison.refs == ("",) else ()
        missing += _sticky(assembly, on)
    sized.sort(key=lambda suspect: -(suspect.grams or 0.0))
    return (*missing, *sized)


def _on_the_scale(assembly: Assembly, refs: Sequence[str]) -> frozenset[str]:
    """What lay on the scale, what is inside it included."""
    if tuple(refs) == ("",):
        return frozenset(assembly.things)
    return frozenset(t for ref in refs for t in (ref, *assembly.within(ref)))


def _missing_roles(weight: Weight) -> Iterable[Suspect]:
    for role in _USUALLY_THERE:
        if not weight.by_role.get(role):
            yield Suspect(
                what="role with no mass",
                about=(role,),
                why=f"nothing in the spec has the role {role}",
                grams=None,
            )


def _sticky(assembly: Assembly, on: frozenset[str]) -> Iterable[Suspect]:
    about = tuple(
        thing.ref
        for thing in assembly.parts
        if thing.ref in on
        and thing.part.joined is not None
        and any(word in thing.part.joined.lower() for word in _STICKS)
    )
    if about:
        yield Suspect(
            what="glue and tape", about=about, why="what joins these parts has no mass of its own", grams=None
        )


def _screw_suspects(assembly: Assembly, weight: Weight) -> Iterable[Suspect]:
    masses = weight.masses
    for thing in assembly.groups:
        group, mass = thing.group, masses.get(thing.ref)
        holes = group.holes or group.count
        empty = holes - group.count
        if empty > 0 and mass is not None:
            yield Suspect(
                what="count of screws",
                about=(thing.ref,),
                why=f"{empty} of its {count_of(holes, 'hole')} {noun(empty, 'has', 'have')} no screw in the spec",
                grams=mass.value / group.count * empty,
            )


def _typed_suspects(assembly: Assembly, predicted: Uncertain) -> Iterable[Suspect]:
    by_source = _by_mass_source(assembly)
    for source, part in predicted.parts.items():
        name = source if isinstance(source, tuple) else (source,)
        if name[0] == "thickness":
            yield Suspect(
                what="thickness of stock",
                about=(str(name[-1]),),
                why="its thickness at the end of its tolerance",
                grams=abs(part) * sqrt(3),
            )
        elif name[0] == "density":
            yield Suspect(
                what="density of stock",
                about=(str(name[-1]),),
                why="its density at the end of what is known of it",
                grams=abs(part) * 2,
            )
        elif name[0] == "table mass":
            yield Suspect(
                what="mass by a table",
                about=(_table_type(name),),
                why="its mass at the end of what the table leaves open",
                grams=abs(part) * 2,
            )
        elif name[-1] == "mass":
            yield Suspect(
                what="listed or modelled mass",
                about=by_source.get(name, ()),
                why="its mass at the end of its ±",
                grams=abs(part) * 2,
            )


def _table_type(name: tuple[str | int | float, ...]) -> str:
    """`ISO 7380-1 M3x8` of a screw, `ISO 7089 M3` of a washer."""
    standard, thread, *rest = name[1:-1]
    length = f"x{rest[1]:g}" if len(rest) == 2 else ""
    return f"{standard} {thread}{length}"


def _by_mass_source(assembly: Assembly) -> dict[tuple[object, ...], tuple[str, ...]]:
    """Typed masses → the things that have them, a module's in every place."""
    refs: dict[tuple[object, ...], tuple[str, ...]] = {}
    for thing in assembly.things.values():
        source = mass_source(thing)
        refs[source] = (*refs.get(source, ()), thing.ref)
    return refs
