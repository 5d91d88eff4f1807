"""(design, build, choices) → every thing by its full reference: what it is, what holds it, what it is behind.

Weight, fit, service, differences and failures read an assembly, never the raw files, so that a reference means
the same everywhere. A thing of a choice that is not fitted is not there: references to it are left out here
(whether they name anything at all is checked in links.py).
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Literal

from msgspec import Struct

from lineage.problems import Place
from lineage.spec.records import (
    BuildRef,
    Choice,
    Design,
    Family,
    FastenerGroup,
    Part,
    Path,
    Stock,
    Use,
    Way,
)

Kind = Literal["part", "fasteners", "place"]


class Spec(Struct, frozen=True, kw_only=True):
    """One state of a design as read: a build with its own copies, or the working files.

    `drawings` maps outline paths to content ids; `id` is the build's (empty for working files); `family_id` the
    content id of the family.yaml that goes with it; `file` the name of the spec for messages.
    """

    ref: BuildRef
    design: Design
    family: Family
    family_id: str = ""
    id: str = ""
    file: str = ""
    drawings: Mapping[str, str] = {}


class StockOf(Struct, frozen=True, kw_only=True, gc=False):
    """The stock of a part, and whose it is: `DESIGN@LABEL`, or the content id of a family.yaml."""

    name: str
    owner: str
    stock: Stock


class Thing(Struct, frozen=True, kw_only=True, gc=False):  # in no ring, and made by thousands
    """A part, a fastener group or a place, with its references made full.

    `place` is the reference of the place it stands in ("" in the design itself), `spec` the state of the design
    that says so, `path` where in that spec; `role` is its own, else that of the nearest place around it.
    """

    ref: str
    name: str
    kind: Kind
    place: str
    spec: Spec
    path: Path
    what: Part | FastenerGroup | Use
    role: str
    choice: tuple[str, str] | None = None
    stock: StockOf | None = None
    behind: tuple[str, ...] = ()
    holds: tuple[str, ...] = ()
    into: tuple[str, ...] = ()

    @property
    def part(self) -> Part:
        """The part; only for parts."""
        assert isinstance(self.what, Part)
        return self.what

    @property
    def group(self) -> FastenerGroup:
        """The fastener group; only for groups."""
        assert isinstance(self.what, FastenerGroup)
        return self.what

    @property
    def use(self) -> Use:
        """The use of a module; only for places."""
        assert isinstance(self.what, Use)
        return self.what

    @property
    def at(self) -> Place | None:
        """Where its spec says it."""
        return self.spec.design.places.get(self.path)


class WaysIn(Struct, frozen=True, kw_only=True):
    """The typed ways in to a thing; `given_by` is the reference of the place whose design typed them."""

    given_by: str
    ways: tuple[Way, ...]


class Assembly(Struct, frozen=True, kw_only=True):
    """Every thing of one design in one build with its choices.

    `things` in the order of the specs, a place before what is in it; `inner` maps every place ("" the design
    itself) to the state of the design there; `fitted` likewise to its choices.
    """

    spec: Spec
    things: Mapping[str, Thing]
    inner: Mapping[str, Spec]
    fitted: Mapping[str, Mapping[str, str]]
    ways: Mapping[str, WaysIn]

    @property
    def design(self) -> Design:
        """The design itself."""
        return self.spec.design

    @property
    def parts(self) -> Iterator[Thing]:
        """Its parts, at every depth."""
        return (thing for thing in self.things.values() if thing.kind == "part")

    @property
    def groups(self) -> Iterator[Thing]:
        """Its fastener groups, at every depth."""
        return (thing for thing in self.things.values() if thing.kind == "fasteners")

    @property
    def places(self) -> Iterator[Thing]:
        """Its places, at every depth."""
        return (thing for thing in self.things.values() if thing.kind == "place")

    def within(self, ref: str) -> tuple[str, ...]:
        """References of what is inside a place, at every depth."""
        start = f"{ref}."
        return tuple(other for other in self.things if other.startswith(start))

    def around(self, ref: str) -> tuple[str, ...]:
        """References of the places around a thing, from the inside out."""
        return places_around(ref)

    def resolve(self, ref: str) -> tuple[str, ...]:
        """The things that a reference names: itself, or what the fitted choice of an option holds."""
        if ref in self.things:
            return (ref,)
        place, _, option = ref.rpartition(".")
        chosen = self.fitted.get(place, {}).get(option)
        if chosen is None:
            return ()
        return tuple(
            thing.ref
            for thing in self.things.values()
            if thing.place == place and thing.choice == (option, chosen)
        )


def join(place: str, ref: str) -> str:
    """The full reference of what a design at `place` calls `ref`."""
    return f"{place}.{ref}" if place else ref


def places_around(ref: str) -> tuple[str, ...]:
    """`a.b.c` → (`a.b`, `a`)."""
    around = []
    while "." in ref:
        ref = ref.rpartition(".")[0]
        around.append(ref)
    return tuple(around)


Lookup = Callable[[BuildRef], Spec]


def assemble(spec: Spec, lookup: Lookup, choices: Mapping[str, str] | None = None) -> Assembly:
    """Every thing of a design.

    `lookup` gives the state of a module that is used; `choices` are laid over what the spec has fitted. Raises
    what `lookup` raises; specs have been checked by links.py before.
    """
    maker = _Maker(lookup)
    maker.lay_out(spec, "", {**spec.design.fitted, **(choices or {})}, "other")
    return Assembly(
        spec=spec, things=maker.finished(), inner=maker.inner, fitted=maker.fitted, ways=maker.ways
    )


class _Maker:
    """Lays out one design after another, from the outside in."""

    def __init__(self, lookup: Lookup) -> None:
        self.lookup = lookup
        self.things: dict[str, Thing] = {}
        self.inner: dict[str, Spec] = {}
        self.fitted: dict[str, Mapping[str, str]] = {}
        self.ways: dict[str, WaysIn] = {}

    def lay_out(self, spec: Spec, place: str, fitted: Mapping[str, str], role: str) -> None:
        self.inner[place] = spec
        self.fitted[place] = fitted
        design = spec.design
        for ref, ways in design.access.items():
            self.ways.setdefault(join(place, ref), WaysIn(given_by=place, ways=_full_ways(place, ways)))
        self._contents(spec, place, role, design, (), None)
        for option, choices in design.options.items():
            name = fitted.get(option)
            if name is not None and name in choices:
                path: Path = ("options", option, name)
                self._contents(spec, place, role, choices[name], path, (option, name))

    def _contents(
        self,
        spec: Spec,
        place: str,
        role: str,
        holder: Design | Choice,
        path: Path,
        choice: tuple[str, str] | None,
    ) -> None:
        def thing(kind: Kind, key: str, name: str, what: Part | FastenerGroup | Use, own: str) -> Thing:
            return Thing(
                ref=join(place, name),
                name=name,
                kind=kind,
                place=place,
                spec=spec,
                path=(*path, key, name),
                what=what,
                role=own,
                choice=choice,
                stock=stock_of(spec, what.stock) if isinstance(what, Part) and what.stock else None,
                behind=tuple(join(place, ref) for ref in what.behind),
                holds=tuple(join(place, r) for r in what.holds) if isinstance(what, FastenerGroup) else (),
                into=tuple(join(place, r) for r in what.into) if isinstance(what, FastenerGroup) else (),
            )

        for name, part in holder.parts.items():
            self._add(thing("part", "parts", name, part, part.role or role))
        for name, group in holder.fasteners.items():
            self._add(thing("fasteners", "fasteners", name, group, "fasteners"))
        for name, use in holder.modules.items():
            at_place = thing("place", "modules", name, use, use.role or role)
            self._add(at_place)
            module = self.lookup(use.use)
            inner_fitted = {**module.design.fitted, **use.fitted}
            self.lay_out(module, at_place.ref, inner_fitted, at_place.role)

    def _add(self, thing: Thing) -> None:
        self.things[thing.ref] = thing

    def finished(self) -> dict[str, Thing]:
        """Things with references to what is not fitted left out, options opened."""
        options = self._choice_contents()

        def there(refs: tuple[str, ...]) -> tuple[str, ...]:
            found: list[str] = []
            for ref in refs:
                found += [ref] if ref in self.things else options.get(ref, [])
            return tuple(dict.fromkeys(found))

        for ref, ways in self.ways.items():
            self.ways[ref] = WaysIn(
                given_by=ways.given_by,
                ways=tuple(
                    Way(
                        behind=there(way.behind),
                        undo=there(way.undo),
                        tools=way.tools,
                        about=way.about,
                        extra=way.extra,
                    )
                    for way in ways.ways
                ),
            )
        return {
            ref: _with_references(
                thing, behind=there(thing.behind), holds=there(thing.holds), into=there(thing.into)
            )
            for ref, thing in self.things.items()
        }

    def _choice_contents(self) -> dict[str, list[str]]:
        contents: dict[str, list[str]] = {}
        for thing in self.things.values():
            if thing.choice is not None:
                contents.setdefault(join(thing.place, thing.choice[0]), []).append(thing.ref)
        return contents


def _with_references(
    thing: Thing, *, behind: tuple[str, ...], holds: tuple[str, ...], into: tuple[str, ...]
) -> Thing:
    if (behind, holds, into) == (thing.behind, thing.holds, thing.into):
        return thing
    fields = {name: getattr(thing, name) for name in thing.__struct_fields__}
    return Thing(**(fields | {"behind": behind, "holds": holds, "into": into}))


def _full_ways(place: str, ways: tuple[Way, ...]) -> tuple[Way, ...]:
    return tuple(
        Way(
            behind=tuple(join(place, ref) for ref in way.behind),
            undo=tuple(join(place, ref) for ref in way.undo),
            tools=way.tools,
            about=way.about,
            extra=way.extra,
        )
        for way in ways
    )


def stock_of(spec: Spec, name: str) -> StockOf | None:
    """A design's own stock of that name, else its family's; None where there is none."""
    own = spec.design.stock.get(name)
    if own is not None:
        return StockOf(name=name, owner=str(spec.ref), stock=own)
    shared = spec.family.stock.get(name)
    if shared is not None:
        return StockOf(name=name, owner=spec.family_id, stock=shared)
    return None


def all_choices(design: Design) -> Iterator[Mapping[str, str]]:
    """Every combination of a design's own choices, in the order of its spec; one empty one without options."""
    combinations: list[dict[str, str]] = [{}]
    for option, choices in design.options.items():
        combinations = [{**c, option: name} for c in combinations for name in choices]
    return iter(combinations)
