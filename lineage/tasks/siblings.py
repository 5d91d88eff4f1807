"""Two designs that may never have shared a file, thing by thing: alike, the same idea done otherwise, only in one."""

from collections.abc import Mapping, Sequence

from lineage.changes.diff import Difference, differences, things_of
from lineage.changes.ops import Absent, Change
from lineage.changes.pairing import GONE, OwnThing, Pair, own_things, pair_siblings
from lineage.reports.views import compare as views
from lineage.spec.records import FastenerGroup, Part
from lineage.tasks.differing import files_of
from lineage.tasks.states import State


def by_thing(
    before: State,
    after: State,
    changes: Sequence[views.ChangeView],
    limits_g: tuple[float | None, float | None],
) -> views.SiblingsView:
    """What two siblings have alike, otherwise and alone; `changes` are those of the pair, limits their own."""
    pairing = pair_siblings(before.spec, after.spec)
    difference = differences(before.spec, after.spec, pairing, (files_of(before), files_of(after)))
    sides = _Side(before, limits_g[0]), _Side(after, limits_g[1])
    differing = _by_thing(difference, changes)
    pairs = [_both(pair, sides, differing.get(pair.after, ())) for pair in pairing.pairs]
    told = {id_ for ids in differing.values() for id_ in ids}
    told |= {change.id for change in difference.changes if _is_but_a_name(change)}
    return views.SiblingsView(
        alike=tuple(pair for pair in pairs if not pair.changes),
        otherwise=tuple(pair for pair in pairs if pair.changes),
        only_before=tuple(sides[0].alone(name) for name in pairing.only_before),
        only_after=tuple(sides[1].alone(name) for name in pairing.only_after),
        whole=tuple(change.id for change in changes if change.id not in told),
    )


def _is_but_a_name(change: Change) -> bool:
    """Whether a change is but another name, or another path of one drawing: siblings keep folders of their own."""
    if change.kind == "part renamed":
        return True
    return bool(change.edits) and all(
        edit.leaf[-1] == "outline"
        and not isinstance(edit.before, Absent)
        and not isinstance(edit.after, Absent)
        and edit.before[1] == edit.after[1]
        for edit in change.edits
    )


def _by_thing(difference: Difference, changes: Sequence[views.ChangeView]) -> Mapping[str, tuple[str, ...]]:
    """Own things of the second state → ids of the changes at them, another name alone left out."""
    found: dict[str, list[str]] = {}
    known = {change.id: change for change in difference.changes}
    for view in changes:
        change = known.get(view.id)
        things = (view.where,) if change is None or view.kind == "access" else things_of(change)
        if change is not None and _is_but_a_name(change):
            things = ()
        for thing in things if view.kind not in {"option", "setting", "fit", "bay"} else ():
            found.setdefault(thing.replace(GONE, "").partition(".")[0], []).append(view.id)
    return {thing: tuple(ids) for thing, ids in found.items()}


def _both(pair: Pair, sides: "tuple[_Side, _Side]", changes: tuple[str, ...]) -> views.OtherwiseView:
    old, new = sides[0].things[pair.before], sides[1].things[pair.after]
    masses = sides[0].mass(pair.before), sides[1].mass(pair.after)
    return views.OtherwiseView(
        before=pair.before,
        after=pair.after,
        by=pair.by,
        idea=_idea(old, new),
        mass_g=masses,
        of_limit=(sides[0].share(masses[0]), sides[1].share(masses[1])),
        changes=changes,
    )


def _idea(old: OwnThing, new: OwnThing) -> str:
    """What a thing is to both: the module, or the role; nothing where no such word fits both."""
    if isinstance(old, FastenerGroup) or isinstance(new, FastenerGroup):
        return "screws"
    if not isinstance(old, Part) and not isinstance(new, Part) and old.use.design == new.use.design:
        return old.use.design
    return old.role if old.role is not None and old.role == new.role else ""


class _Side:
    """One of the siblings: its things, what they weigh, and its limit."""

    def __init__(self, state: State, limit_g: float | None) -> None:
        self.limit_g = limit_g
        self.things = own_things(state.spec.design)
        weight = state.amounts.weight(state.ref, state.choices)
        self.masses = {**weight.masses, **weight.places}

    def mass(self, name: str) -> float | None:
        """What all pieces of a thing weigh; None where it is not known, or not fitted."""
        found = self.masses.get(name)
        return None if found is None else found.value

    def share(self, mass_g: float | None) -> float | None:
        """A mass as a share of the limit."""
        return None if mass_g is None or self.limit_g is None else mass_g / self.limit_g

    def alone(self, name: str) -> views.OneThingView:
        """A thing that the other has not."""
        mass = self.mass(name)
        return views.OneThingView(
            ref=name, what=_what(self.things[name]), mass_g=mass, of_limit=self.share(mass)
        )


def _what(thing: OwnThing) -> str:
    """In a word or two what a thing is."""
    if isinstance(thing, FastenerGroup):
        return f"{thing.count} {thing.type}"
    if isinstance(thing, Part):
        return thing.role or "other"
    return str(thing.use)
