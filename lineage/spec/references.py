"""What a reference names: a walk down through the places of a design and its modules, all choices included."""

from collections.abc import Callable, Iterator
from collections.abc import Mapping as MappingOf

from msgspec import Struct

from lineage.spec.assembly import Spec, join, stock_of
from lineage.spec.records import BuildRef, Choice, Design, FastenerGroup, Part, Path, Use
from lineage.values.quantity import Dimension

Lookup = Callable[[BuildRef], Spec | None]
Holder = Design | Choice
Names = MappingOf[str, Part | FastenerGroup | Use | None]
_LENGTH: Dimension = "length"
_SIZES = ("length", "width", "height")
_MOST_OFFERED = 2_000  # references looked through for the nearest


class Target(Struct, frozen=True):
    """What a reference names: a thing, or (what is None) an option; and the state of the design that has it."""

    spec: Spec
    what: Part | FastenerGroup | Use | None


class Unknown(Struct, frozen=True):
    """A reference that names nothing: the step that fails, what was walked down to it, and the names there are.

    `known` is None where a module on the way cannot be read, so that nothing can be told.
    """

    step: str
    before: str
    known: tuple[str, ...] | None


class References:
    """What can be named from inside one design; states of modules are looked up once."""

    def __init__(self, spec: Spec, lookup: Lookup) -> None:
        self.spec, self.lookup = spec, lookup
        self._found: dict[BuildRef, Spec | None] = {}
        self._names: dict[BuildRef, Names] = {}

    def module(self, ref: BuildRef) -> Spec | None:
        """The state of a design, looked up once."""
        if ref not in self._found:
            self._found[ref] = self.spec if ref == self.spec.ref else self.lookup(ref)
        return self._found[ref]

    def ring(self, module: Spec, above: tuple[str, ...]) -> tuple[str, ...]:
        """The designs round which a module leads, back to one above it or to one inside; empty where it does not."""
        done: set[BuildRef] = set()
        waiting: list[tuple[Spec, tuple[str, ...]]] = [(module, above)]
        while waiting:
            spec, chain = waiting.pop()
            name = spec.ref.design
            if name in chain:
                return (*chain[chain.index(name) :], name)
            if spec.ref in done:
                continue
            done.add(spec.ref)
            inner = [self.module(use.use) for _, use in uses_of(spec.design)]
            waiting += [(other, (*chain, name)) for other in inner if other is not None]
        return ()

    def resolve(self, ref: str) -> Target | Unknown:
        """Walk a reference down from the design."""
        spec: Spec | None = self.spec
        before = ""
        steps = ref.split(".")
        for step in steps[:-1]:
            if spec is None:
                break
            names = self.names_of(spec)
            if step not in names:
                return Unknown(step, before, tuple(names))
            before = join(before, step)
            use = names[step]
            if not isinstance(use, Use):
                return Unknown(steps[before.count(".") + 1], before, ())
            spec = self.module(use.use)
        if spec is None:
            return Unknown(steps[-1], before, None)
        names = self.names_of(spec)
        return (
            Target(spec, names[steps[-1]]) if steps[-1] in names else Unknown(steps[-1], before, tuple(names))
        )

    def names_of(self, spec: Spec) -> Names:
        """What can be named in a design: its things of all choices, and its options."""
        if spec.ref not in self._names:
            names: dict[str, Part | FastenerGroup | Use | None] = {}
            for _, holder in holders(spec.design):
                names = contents_of(holder) | names
            self._names[spec.ref] = dict.fromkeys(spec.design.options) | names
        return self._names[spec.ref]

    def all_references(self) -> list[str]:
        """References of everything inside, the nearest levels first, up to a bound."""
        found: list[str] = []
        level: list[tuple[str, Spec]] = [("", self.spec)]
        seen = {self.spec.ref.design}
        while level and len(found) < _MOST_OFFERED:
            below: list[tuple[str, Spec]] = []
            for before, spec in level:
                for name, what in self.names_of(spec).items():
                    found.append(before + name)
                    module = self.module(what.use) if isinstance(what, Use) else None
                    if module is not None and module.ref.design not in seen:
                        below.append((f"{before}{name}.", module))
            seen |= {spec.ref.design for _, spec in below}
            level = below
        return found

    def dims_of(self, target: Target, ref: str) -> dict[str, Dimension] | None:
        """The dimensions of a part, or those that the one part of every choice of an option has."""
        if isinstance(target.what, Part):
            return _dims(target.spec, target.what)
        if target.what is not None:
            return None
        option = target.spec.design.options[ref.rpartition(".")[2]]
        contents = [list(contents_of(choice).values()) for choice in option.values()]
        parts = [things[0] for things in contents if len(things) == 1]
        every = [_dims(target.spec, part) for part in parts if isinstance(part, Part)]
        if not every or len(every) < len(contents):
            return None
        return {name: kind for name, kind in every[0].items() if all(d.get(name) == kind for d in every)}


def holders(design: Design) -> Iterator[tuple[Path, Holder]]:
    """The design and every choice, with its path."""
    yield (), design
    for option, choices in design.options.items():
        for name, choice in choices.items():
            yield ("options", option, name), choice


def parts_of(design: Design) -> Iterator[tuple[Path, Part]]:
    for path, holder in holders(design):
        for name, part in holder.parts.items():
            yield (*path, "parts", name), part


def uses_of(design: Design) -> Iterator[tuple[Path, Use]]:
    for path, holder in holders(design):
        for name, use in holder.modules.items():
            yield (*path, "modules", name), use


def contents_of(holder: Holder) -> dict[str, Part | FastenerGroup | Use | None]:
    return {**holder.fasteners, **holder.modules, **holder.parts}


def _dims(spec: Spec, part: Part) -> dict[str, Dimension]:
    """The dimensions of a part that a chain can name; what is typed in `dims` wins."""
    dims: dict[str, Dimension] = {}
    if part.size is not None:
        dims = dict.fromkeys((*_SIZES, "thickness"), _LENGTH)
    if part.length is not None:
        dims["length"] = _LENGTH
    if part.stock is not None and part.length is None:
        stock = stock_of(spec, part.stock)
        dims.pop("thickness", None)
        if stock is not None and stock.stock.thickness is not None:
            dims["thickness"] = _LENGTH
    return dims | {name: quantity.dimension for name, quantity in part.dims.items()}
