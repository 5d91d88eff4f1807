"""Which thing of one state is which thing of another.

Builds of one design: by recorded rename, by name, by same content (drawing, or what a bought part is).
Siblings: by name, by module lineage, by role. Every pair says at which level it was made; nothing is paired
by likeness.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping
from difflib import SequenceMatcher
from typing import Literal

from msgspec import Struct

from lineage.spec.assembly import Spec
from lineage.spec.records import Choice, Design, FastenerGroup, Part, Use

GONE = " (gone)"  # no name that anybody types ends so
By = Literal["rename", "name", "content", "lineage", "role"]
OwnThing = Part | FastenerGroup | Use


class Pair(Struct, frozen=True, kw_only=True):
    """A thing of the first state and the same thing of the second."""

    before: str
    after: str
    by: By


class Hint(Struct, frozen=True, kw_only=True):
    """A thing that is gone and one that is new, which may be one renamed: ask, never assume."""

    before: str
    after: str
    why: str


class Pairing(Struct, frozen=True, kw_only=True):
    """All pairs, in the order of the second state, what is left on either side, and hints."""

    pairs: tuple[Pair, ...]
    only_before: tuple[str, ...]
    only_after: tuple[str, ...]
    hints: tuple[Hint, ...] = ()

    @property
    def renames(self) -> Mapping[str, str]:
        """Names of the first state → names of the second, where they differ."""
        return {p.before: p.after for p in self.pairs if p.before != p.after}

    @property
    def names_before(self) -> Mapping[str, str]:
        """Names for things of the first state: a dropped thing never sits on a new one of the same name."""
        taken = {pair.after for pair in self.pairs} | set(self.only_after)
        dropped = {name: f"{name}{GONE}" for name in self.only_before if name in taken}
        return {**self.renames, **dropped}


def own_things(design: Design) -> Mapping[str, OwnThing]:
    """Parts, fastener groups and places of a design itself, those of every choice included."""
    holders: list[Design | Choice] = [design]
    holders += [choice for choices in design.options.values() for choice in choices.values()]
    things: dict[str, OwnThing] = {}
    for holder in holders:
        things |= holder.parts
        things |= holder.fasteners
        things |= holder.modules
    return things


def option_of(design: Design) -> Mapping[str, str]:
    """Own things that belong to a choice → their option."""
    return {
        name: option
        for option, choices in design.options.items()
        for choice in choices.values()
        for name in (*choice.parts, *choice.fasteners, *choice.modules)
    }


def pair_builds(before: Spec, after: Spec, recorded: Mapping[str, str]) -> Pairing:
    """Things of two builds of one design; `recorded` maps old names to new ones."""
    matcher = _Matcher(before, after)
    for old, new in recorded.items():
        matcher.pair(old, new, "rename")
    matcher.pair_by_name()
    matcher.pair_unique("content", _content)
    return matcher.result(with_hints=True)


def pair_siblings(before: Spec, after: Spec) -> Pairing:
    """Things of two designs that may never have shared a file."""
    matcher = _Matcher(before, after)
    matcher.pair_by_name()
    matcher.pair_in_order("lineage", _lineage)
    matcher.pair_unique("role", _role)
    return matcher.result(with_hints=False)


Key = Callable[[Spec, OwnThing], Hashable]


class _Matcher:
    def __init__(self, before: Spec, after: Spec) -> None:
        self.specs = (before, after)
        self.left = (dict(own_things(before.design)), dict(own_things(after.design)))
        self.order = {name: at for at, name in enumerate(self.left[1])}
        self.pairs: list[Pair] = []

    def pair(self, old: str, new: str, by: By) -> None:
        a, b = self.left[0].get(old), self.left[1].get(new)
        if a is None or b is None or type(a) is not type(b):
            return
        del self.left[0][old], self.left[1][new]
        self.pairs.append(Pair(before=old, after=new, by=by))

    def pair_by_name(self) -> None:
        for name in tuple(self.left[0]):
            self.pair(name, name, "name")

    def _keys(self, side: int, key: Key) -> dict[str, Hashable]:
        keys = {name: key(self.specs[side], thing) for name, thing in self.left[side].items()}
        return {name: found for name, found in keys.items() if found is not None}

    def pair_unique(self, by: By, key: Key) -> None:
        """Pairs what has a key that nothing else on its side has: the order of two sides is no matter."""
        old, new = self._keys(0, key), self._keys(1, key)
        counts = Counter(old.values()), Counter(new.values())
        by_key = {found: name for name, found in new.items()}
        for name, found in old.items():
            if counts[0][found] == counts[1][found] == 1:
                self.pair(name, by_key[found], by)

    def pair_in_order(self, by: By, key: Key) -> None:
        """Pairs what has the same key, first with first."""
        new = self._keys(1, key)
        for name, found in self._keys(0, key).items():
            other = next((n for n, k in new.items() if k == found), None)
            if other is not None:
                del new[other]
                self.pair(name, other, by)

    def result(self, *, with_hints: bool) -> Pairing:
        return Pairing(
            pairs=tuple(sorted(self.pairs, key=lambda p: self.order[p.after])),
            only_before=tuple(self.left[0]),
            only_after=tuple(self.left[1]),
            hints=tuple(_hints(*self.left)) if with_hints else (),
        )


def _content(spec: Spec, thing: OwnThing) -> Hashable:
    if not isinstance(thing, Part):
        return None
    if thing.outline is not None:
        drawing = spec.drawings.get(thing.outline)
        return None if drawing is None else ("drawing", drawing, thing.stock)
    return None if thing.item is None else ("item", " ".join(thing.item.lower().split()))


def _lineage(_spec: Spec, thing: OwnThing) -> Hashable:
    return thing.use.design if isinstance(thing, Use) else None


def _role(_spec: Spec, thing: OwnThing) -> Hashable:
    if isinstance(thing, FastenerGroup) or thing.role in {None, "other"}:
        return None
    return (type(thing).__name__, thing.role)


def _hints(old: Mapping[str, OwnThing], new: Mapping[str, OwnThing]) -> Iterable[Hint]:
    """At most one hint for a thing that is new; the most alike of what is gone."""
    for name, thing in new.items():
        alike = [
            (_likeness(gone, was, name, thing), gone) for gone, was in old.items() if type(was) is type(thing)
        ]
        best = max(alike, default=(0.0, ""))
        if best[0] >= 0.6:
            yield Hint(before=best[1], after=name, why=_why(old[best[1]], thing))


def _likeness(old_name: str, old: OwnThing, name: str, new: OwnThing) -> float:
    """Half by the names, half by what the two say of themselves."""
    names = SequenceMatcher(None, old_name, name).ratio()
    said_old, said_new = _said(old), _said(new)
    shared = sum(said_old[key] == said_new.get(key) for key in said_old)
    most = max(len(said_old), len(said_new), 1)
    return (names + shared / most) / 2


def _said(thing: OwnThing) -> Mapping[str, object]:
    values = {name: getattr(thing, name) for name in thing.__struct_fields__}
    return {name: value for name, value in values.items() if value not in (None, (), {}, 1, 0)}


def _why(old: OwnThing, new: OwnThing) -> str:
    shared = [key.rstrip("_") for key, value in _said(old).items() if _said(new).get(key) == value]
    return f"same {', '.join(shared)}" if shared else "names alike"
