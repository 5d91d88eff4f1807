"""Two states of designs → domain changes. Every leaf that differs is claimed by exactly one change."""

from collections.abc import Callable, Iterable, Mapping

from msgspec import Struct

from lineage.changes import words
from lineage.changes.ops import ABSENT, ORDER, Absent, Change, Edit, Kind
from lineage.changes.pairing import GONE, Pairing
from lineage.changes.snapshot import Leaf, Snapshot, snapshot
from lineage.spec.assembly import Spec

Claim = tuple[Kind, str]


class Difference(Struct, frozen=True, kw_only=True):
    """What differs between two states; `before` has the names of the second where things were paired."""

    pairing: Pairing
    before: Snapshot
    after: Snapshot
    changes: tuple[Change, ...]


def differences(
    before: Spec,
    after: Spec,
    pairing: Pairing,
    files: tuple[Mapping[str, str], Mapping[str, str]] = ({}, {}),
) -> Difference:
    """All changes from one state to another.

    `files` are the content ids of what `files` names, before and after. A state against itself has none.
    """
    old = snapshot(before, pairing.names_before, files[0])
    new = snapshot(after, None, files[1])
    edits = tuple(_edits(old, new))
    return Difference(pairing=pairing, before=old, after=new, changes=_grouped(edits, old, new))


def _edits(old: Snapshot, new: Snapshot) -> Iterable[Edit]:
    for leaf in [*old, *(leaf for leaf in new if leaf not in old)]:
        before, after = old.get(leaf, ABSENT), new.get(leaf, ABSENT)
        if isinstance(before, Absent) or isinstance(after, Absent) or before != after:
            yield Edit(leaf, before, after)


def _grouped(edits: tuple[Edit, ...], old: Snapshot, new: Snapshot) -> tuple[Change, ...]:
    claims = _Claims(edits, old, new)
    groups: dict[Claim, list[Edit]] = {}
    for edit in edits:
        groups.setdefault(claims.of(edit), []).append(edit)
    made = [_change(kind, where, tuple(group)) for (kind, where), group in groups.items()]
    position: dict[Leaf, int] = {}
    for at, leaf in enumerate([*new, *old]):
        position.setdefault(leaf[:2], at)
    return tuple(sorted(made, key=lambda c: (position[c.edits[0].leaf[:2]], ORDER[c.kind])))


def _change(kind: Kind, where: str, edits: tuple[Edit, ...]) -> Change:
    before, after, text = words.of_change(kind, where, edits)
    return Change(kind=kind, where=where, edits=edits, before=before, after=after, text=text)


# the kind of change that an edit of a part's key is; every other key is `text`
_PART_KINDS: Mapping[str, Kind] = {
    "name": "part renamed", "area": "outline", "outline": "outline", "ignore": "outline",
    "drawing_unit": "outline", "length": "length", "count": "count", "mass": "mass", "item": "part swapped",
    "material": "material", "family material": "material", "behind": "access", "rework": "rework",
    "files": "file", "choice": "option",
}  # fmt: skip
_STOCK_KINDS: Mapping[str, Kind] = {
    "material": "material", "density": "material", "areal": "material", "linear": "material",
    "family material": "material", "thickness": "thickness", "section": "section", "kerf": "outline",
}  # fmt: skip
# keys that say what a part is made from: all go with one change where the way of working its mass out changed
_MAKING = {"stock", "stock of", "outline", "area", "length", "mass", "ignore", "drawing_unit", "material",
           "family material"}  # fmt: skip
_FROM_STOCK = {"stock", "stock of"}
_USE_KINDS: Mapping[str, Kind] = {"name": "part renamed", "behind": "access", "choice": "option"}


class _Claims:
    """Says which change claims an edit."""

    def __init__(self, edits: tuple[Edit, ...], old: Snapshot, new: Snapshot) -> None:
        self.old, self.new = old, new
        self.edited = {edit.leaf for edit in edits}
        self.things = {leaf[1] for leaf in (*old, *new) if leaf[-1] == "name" and len(leaf) == 3}
        self.options_edited = {leaf[1] for leaf in self.edited if leaf[0] == "fitted"}
        self.by_group: Mapping[str, Callable[[Leaf], Claim]] = {
            "parts": self._part,
            "fasteners": self._fasteners,
            "modules": self._use,
            "options": self._option,
            "fitted": lambda leaf: ("option", leaf[1]),
            "fits": lambda leaf: ("fit", leaf[1]),
            "bays": lambda leaf: ("bay", leaf[1]),
            "access": lambda leaf: ("access", self._shown(leaf[1])),
            "settings": lambda leaf: ("setting", leaf[1]),
            "files": lambda leaf: ("file", leaf[1]),
            "stock": self._stock,
            "design": self._design,
            "family": lambda leaf: ("text", ".".join(("family", *leaf[1:]))),
        }

    def of(self, edit: Edit) -> Claim:
        return self.by_group[edit.leaf[0]](edit.leaf)

    def _shown(self, name: str) -> str:
        """The name that a thing that is gone had, even where another thing has it now."""
        return name.replace(GONE, "")

    def _came_or_went(self, leaf: Leaf) -> Claim | None:
        """The claim of a whole thing that is new or gone; with a new or gone choice it is its option's."""
        group, name = leaf[:2]
        there = (group, name, "name")
        if there in self.old and there in self.new:
            return None
        side = self.new if there in self.new else self.old
        choice = side.get((group, name, "choice"))
        if choice is not None:
            option, _, chosen = choice.partition(": ")
            if ("options", option, chosen, "is") in self.edited:
                return ("option", option)
        came = there in self.new
        if group == "fasteners" and (group, self._shown(name), "name") in self.new:
            return ("fasteners", name)  # gone, and another group has its name: two changes
        kinds: Mapping[str, tuple[Kind, Kind]] = {
            "parts": ("part added", "part dropped"),
            "modules": ("module added", "module dropped"),
            "fasteners": ("fasteners", "fasteners"),
        }
        return (kinds[group][0 if came else 1], self._shown(name))

    def _part(self, leaf: Leaf) -> Claim:
        whole = self._came_or_went(leaf)
        if whole is not None:
            return whole
        name, key = leaf[1], leaf[2]
        if key == "choice":
            return ("option", str(self.new.get(leaf, self.old.get(leaf))).partition(": ")[0])
        if self._is_swapped(name) and key in _MAKING | {"item", "price", "source", "name"}:
            return ("part swapped", name)
        if key in _MAKING and self._formula_changed(name):
            return ("mass", name)
        if key == "stock":
            return (self._stock_name_kind(name), name)
        if key == "stock of":
            return (_STOCK_KINDS.get(leaf[3], "text"), name)
        return (_PART_KINDS.get(key, "text"), name)

    def _is_swapped(self, name: str) -> bool:
        """Another bought thing took its place: what it is changed, or both its name and its mass did."""
        if ("parts", name, "item") in self.edited:
            return True
        return {("parts", name, "name"), ("parts", name, "mass")} <= self.edited

    def _formula_changed(self, name: str) -> bool:
        return self._formula(self.old, name) != self._formula(self.new, name)

    def _formula(self, side: Snapshot, name: str) -> tuple[bool, ...]:
        at = ("parts", name)
        is_sheet = (*at, "outline") in side or (*at, "area") in side
        return (
            (*at, "mass") in side,
            is_sheet,
            (*at, "length") in side,
            (*at, "stock of", "areal") in side,
            (*at, "stock of", "linear") in side,
        )

    def _stock_name_kind(self, name: str) -> Kind:
        """Another stock's name goes with the first thing that the other stock changed."""
        kinds = {
            _STOCK_KINDS.get(leaf[3], "text")
            for leaf in self.edited
            if leaf[:3] == ("parts", name, "stock of")
        }
        return min(kinds, key=ORDER.__getitem__, default="text")

    def _stock(self, leaf: Leaf) -> Claim:
        """An own stock's edit goes with that of the first part cut from it, which shows what it did."""
        for side in (self.new, self.old):
            for part in [at[1] for at, name in side.items() if at[2:] == ("stock",) and name == leaf[1]]:
                made_of = (at for at in self.edited if at[:2] == ("parts", part) and at[2] in _FROM_STOCK)
                first = min(made_of, key=str, default=None)
                if first is not None:
                    return self._part(first)
        return ("text", f"stock.{leaf[1]}")

    def _fasteners(self, leaf: Leaf) -> Claim:
        whole = self._came_or_went(leaf)
        if whole is not None:
            return whole
        if leaf[2] == "choice":
            return ("option", str(self.new.get(leaf, self.old.get(leaf))).partition(": ")[0])
        kind: Kind = {"name": "part renamed", "behind": "access"}.get(leaf[2], "fasteners")  # type: ignore[assignment]
        return (kind, leaf[1])

    def _use(self, leaf: Leaf) -> Claim:
        whole = self._came_or_went(leaf)
        if whole is not None:
            return whole
        place, key = leaf[1], leaf[2]
        if key == "use":
            before, after = self.old[leaf], self.new[leaf]
            return ("module moved on" if before.design == after.design else "module swapped", place)
        if key == "fitted":
            return ("option", f"{place}.{leaf[3]}")
        if key == "choice":
            return ("option", str(self.new.get(leaf, self.old.get(leaf))).partition(": ")[0])
        return (_USE_KINDS.get(key, "text"), place)

    def _option(self, leaf: Leaf) -> Claim:
        option, choice = leaf[1], leaf[2]
        if leaf[3] == "settings" and ("options", option, choice, "is") not in self.edited:
            return ("setting", leaf[4])
        return ("option", option)

    def _design(self, leaf: Leaf) -> Claim:
        if leaf[1] == "cautions":
            return ("caution", "cautions")
        key = leaf[1]
        return ("text", f"design.{key}" if key in self.things else key)


def things_of(change: Change) -> tuple[str, ...]:
    """The own things that a change is at, under the names of the snapshots; none for the spec's other keys."""
    if not change.edits:
        return (change.where,)
    found = (edit.leaf[1] for edit in change.edits if edit.leaf[0] in {"parts", "fasteners", "modules"})
    return tuple(dict.fromkeys(found))
