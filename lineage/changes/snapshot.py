"""A spec as flat leaves, path → value, so that two states can be compared and one turned into the other.

Stock is opened at each part that is cut from it, because a stock that is edited changes every such part;
family settings that a build keeps in its own copy (class, tolerances, spread, materials) are leaves too.
Places of keys, order and comments are no part of a snapshot.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from msgspec import Struct
from msgspec.structs import FieldInfo, fields, replace

from lineage.spec.assembly import Spec, stock_of
from lineage.spec.records import Bay, Choice, Design, FastenerGroup, Fit, Part, Stock, Use, Way
from lineage.values.quantity import ChainTerm

Leaf = tuple[str, ...]
Snapshot = Mapping[Leaf, Any]
Renames = Mapping[str, str]  # own things of the first state → their names in the second

# keys of a design that are opened below, or that say nothing about what it is
_OPENED = {
    "kind", "name", "stock", "parts", "modules", "fasteners", "options", "fitted", "fits", "bays", "access",
    "settings", "files", "places",
}  # fmt: skip


def snapshot(spec: Spec, renames: Renames | None = None, files: Mapping[str, str] | None = None) -> Snapshot:
    """The leaves of a spec, things under the names that `renames` gives them.

    `files` maps the paths of `files` to their content ids. The leaf `name` of a thing stays as typed.
    """
    taker = _Taker(spec, renames or {}, files or {})
    return dict(taker.leaves())


class _Taker:
    def __init__(self, spec: Spec, renames: Renames, files: Mapping[str, str]) -> None:
        self.spec, self.design, self.renames, self.files = spec, spec.design, renames, files

    def leaves(self) -> Iterator[tuple[Leaf, Any]]:
        design = self.design
        yield from self._contents(design, None)
        for option, choices in design.options.items():
            for name, choice in choices.items():
                yield ("options", option, name, "is"), True
                yield from _record(("options", option, name), choice, ("about", "extra"))
                for setting, value in choice.settings.items():
                    yield ("options", option, name, "settings", setting), value
                yield from self._contents(choice, f"{option}: {name}")
        for option, name in design.fitted.items():
            yield ("fitted", option), name
        for name, fit in design.fits.items():
            yield from _record(("fits", name), self._fit(fit))
        for name, bay in design.bays.items():
            yield from _record(("bays", name), self._bay(bay))
        for ref, ways in design.access.items():
            yield ("access", self._ref(ref)), tuple(self._way(way) for way in ways)
        for name, value in design.settings.items():
            yield ("settings", name), value
        for path in design.files:
            yield ("files", path), self.files.get(path, "named")
        for field in _fields(Design):
            value = getattr(design, field.name)
            if field.name not in _OPENED and _is_said(value, field.default):
                yield from _opened(("design", field.name.rstrip("_")), value)
        for name, stock in design.stock.items():
            yield ("stock", name), stock
        yield from self._family()

    def _contents(self, holder: Design | Choice, choice: str | None) -> Iterator[tuple[Leaf, Any]]:
        for name, part in holder.parts.items():
            yield from self._thing("parts", name, choice)
            yield from self._part(("parts", self._ref(name)), part)
        for name, group in holder.fasteners.items():
            yield from self._thing("fasteners", name, choice)
            yield from _record(("fasteners", self._ref(name)), self._group(group))
        for name, use in holder.modules.items():
            yield from self._thing("modules", name, choice)
            yield from self._use(("modules", self._ref(name)), use)

    def _thing(self, kind: str, name: str, choice: str | None) -> Iterator[tuple[Leaf, Any]]:
        yield (kind, self._ref(name), "name"), name
        if choice is not None:
            yield (kind, self._ref(name), "choice"), choice

    def _part(self, at: Leaf, part: Part) -> Iterator[tuple[Leaf, Any]]:
        plain = replace(part, behind=self._refs(part.behind), dims={}, stock=None, outline=None)
        yield from _record(at, plain)
        for name, value in part.dims.items():
            yield (*at, "dims", name), value
        if part.outline is not None:
            yield (*at, "outline"), (part.outline, self.spec.drawings.get(part.outline))
        if part.stock is not None:
            yield (*at, "stock"), part.stock
            found = stock_of(self.spec, part.stock)
            if found is not None:
                yield from self._stock(at, found.stock)
        material = part.material
        if material is not None and material in self.spec.family.materials:
            yield (*at, "family material"), self.spec.family.materials[material]

    def _stock(self, at: Leaf, stock: Stock) -> Iterator[tuple[Leaf, Any]]:
        for leaf, value in _record((), stock):
            yield (*at, "stock of", *leaf), value
        if stock.material in self.spec.family.materials:
            yield (*at, "stock of", "family material"), self.spec.family.materials[stock.material]

    def _use(self, at: Leaf, use: Use) -> Iterator[tuple[Leaf, Any]]:
        yield from _record(at, replace(use, behind=self._refs(use.behind), fitted={}))
        for option, name in use.fitted.items():
            yield (*at, "fitted", option), name

    def _family(self) -> Iterator[tuple[Leaf, Any]]:
        family = self.spec.family
        if self.design.class_ is not None and self.design.class_ in family.classes:
            yield from _record(("family", "class"), family.classes[self.design.class_])
        for process, tolerance in family.tolerances.items():
            yield ("family", "tolerances", process), tolerance
        yield from _record(("family", "spread"), family.spread)

    def _ref(self, ref: str) -> str:
        head, dot, rest = ref.partition(".")
        return self.renames.get(head, head) + dot + rest

    def _refs(self, refs: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(self._ref(ref) for ref in refs)

    def _group(self, group: FastenerGroup) -> FastenerGroup:
        return replace(
            group,
            holds=self._refs(group.holds),
            into=self._refs(group.into),
            behind=self._refs(group.behind),
        )

    def _fit(self, fit: Fit) -> Fit:
        return replace(fit, chain=tuple(self._term(term) for term in fit.chain))

    def _term(self, term: ChainTerm) -> ChainTerm:
        return term if term.ref is None else replace(term, ref=self._ref(term.ref), text="")

    def _bay(self, bay: Bay) -> Bay:
        return replace(bay, holds=self._refs(bay.holds))

    def _way(self, way: Way) -> Way:
        return replace(way, behind=self._refs(way.behind), undo=self._refs(way.undo))


@cache
def _fields(record: type[Struct]) -> tuple[FieldInfo, ...]:
    """The fields of a kind of record; asking the library each time took most of a comparison's time."""
    return fields(record)


@cache
def _keys(record: type[Struct]) -> tuple[tuple[str, Any], ...]:
    """The keys of a kind of record, each with what it is where nobody wrote it."""
    return tuple((field.name, field.default) for field in _fields(record))


def _is_said(value: Any, default: Any) -> bool:
    return value is not None and value not in ((), {}) and value != default


def _record(at: Leaf, record: Struct, only: tuple[str, ...] | None = None) -> Iterator[tuple[Leaf, Any]]:
    """One leaf for each key that somebody wrote; `x-` keys one by one."""
    for name, default in _keys(type(record)):
        value = getattr(record, name)
        if value is default or (only is not None and name not in only):
            continue
        if _is_said(value, default):
            yield from _opened((*at, name), value)


def _opened(at: Leaf, value: Any) -> Iterator[tuple[Leaf, Any]]:
    if at[-1] == "extra":
        for key, item in value.items():
            yield (*at[:-1], key), item
    else:
        yield at, value
