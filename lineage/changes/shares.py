"""Each change's exact share of a change in predicted mass."""

from collections.abc import Iterable, Mapping, Sequence
from math import isclose

from msgspec import Struct

from lineage.changes.diff import things_of
from lineage.changes.ops import ORDER, Change, Kind
from lineage.changes.shapley import shapley
from lineage.figures.factors import Value, mass_of

# which kind of change moves a factor of a thing's mass
_KIND_OF: Mapping[str, Kind] = {
    "density": "material",
    "areal": "material",
    "linear": "material",
    "thickness": "thickness",
    "section": "section",
    "area": "outline",
    "kerf": "outline",
    "length": "length",
    "count": "count",
    "mass": "mass",
}
_OF_PLACE: tuple[Kind, ...] = (
    "module added", "module dropped", "module swapped", "module moved on", "option",
)  # fmt: skip


class ThingMass(Struct, frozen=True, kw_only=True):
    """An own thing in one state: all its pieces in g (None: it has no mass), and how that is worked out.

    `inner` are the masses of what is in a place, by reference; `option` the option whose choice brings it.
    """

    mass_g: float | None
    formula: str | None = None
    factors: Mapping[str, Value] = {}
    inner: Mapping[str, float | None] = {}
    option: str | None = None


class MassShare(Struct, frozen=True, kw_only=True):
    """A change's share in g, None where a thing of its has no mass; factors add up to it."""

    mass_g: float | None
    factors_g: Mapping[str, float] | None = None


class MassSplit(Struct, frozen=True, kw_only=True):
    """The whole change split up; totals leave out what has no mass in either state.

    `unedited` are changes at things that weigh another mass though nobody edited them.
    """

    shares: Mapping[str, MassShare]
    before_g: float
    after_g: float
    missing: tuple[str, ...]
    unedited: tuple[Change, ...] = ()


def split_mass(
    before: Mapping[str, ThingMass],
    after: Mapping[str, ThingMass],
    changes: Sequence[Change],
) -> MassSplit:
    """Shares of every change in the change of predicted mass.

    Within a thing by the Shapley value over the factors that changed; over things they add. `before` has the
    names of the second state. Shares add up to `after_g − before_g`.

    Source: Shapley, L. S., A value for n-person games, 1953.
    """
    split = _Split(changes)
    for ref in dict.fromkeys([*before, *after]):
        split.add(ref, before.get(ref), after.get(ref))
    return split.result()


class _Split:
    def __init__(self, changes: Sequence[Change]) -> None:
        self.changes = changes
        self.by_thing: dict[str, list[Change]] = {}
        for change in changes:
            for ref in things_of(change):
                self.by_thing.setdefault(ref, []).append(change)
        self.factors: dict[str, dict[str, float]] = {}
        self.unknown: set[str] = set()
        self.unedited: dict[str, Change] = {}
        self.missing: list[str] = []
        self.before = self.after = 0.0
        self.refitted = {
            c.where for c in changes if c.kind == "option" and any(e.leaf[0] == "fitted" for e in c.edits)
        }

    def add(self, ref: str, old: ThingMass | None, new: ThingMass | None) -> None:
        inner = {*(old.inner if old else ()), *(new.inner if new else ())}
        if inner:
            self._add_place(ref, old, new, inner)
            return
        if (old is not None and old.mass_g is None) or (new is not None and new.mass_g is None):
            self.missing.append(ref)
            self.unknown |= {c.id for c in self._at(ref)}
            return
        self.before += old.mass_g or 0.0 if old else 0.0
        self.after += new.mass_g or 0.0 if new else 0.0
        self._share(ref, old, new)

    def _add_place(
        self, ref: str, old: ThingMass | None, new: ThingMass | None, inner: Iterable[str]
    ) -> None:
        change = 0.0
        for name in sorted(inner):
            b = old.inner.get(name, 0.0) if old else 0.0
            a = new.inner.get(name, 0.0) if new else 0.0
            if a is None or b is None:
                self.missing.append(f"{ref}.{name}")
                self.unknown |= {c.id for c in self._at(ref)}
                continue
            self.before, self.after, change = self.before + b, self.after + a, change + a - b
        self._give(ref, self._owner(ref, _OF_PLACE, old, new), "mass", change)

    def _share(self, ref: str, old: ThingMass | None, new: ThingMass | None) -> None:
        if (
            old is None
            or new is None
            or self._option(old, new) is not None
            or not self._is_comparable(old, new)
        ):
            change = (new.mass_g or 0.0 if new else 0.0) - (old.mass_g or 0.0 if old else 0.0)
            kinds: tuple[Kind, ...] = ("part added", "part dropped", "part swapped", "mass", "fasteners")
            self._give(ref, self._owner(ref, kinds, old, new), "mass", change)
            return
        parts = shapley(old.factors, _unrounded(old.factors, new.factors), mass_of)
        for factor, share in parts.items():
            if share:
                kinds = (_KIND_OF[factor], "part swapped", "mass", "fasteners") if factor in _KIND_OF else ()
                self._give(ref, self._owner(ref, kinds, old, new), factor, share)

    def _is_comparable(self, old: ThingMass, new: ThingMass) -> bool:
        return (
            old.formula is not None
            and old.formula == new.formula
            and old.factors.keys() == new.factors.keys()
        )

    def _option(self, old: ThingMass | None, new: ThingMass | None) -> str | None:
        for thing in (new, old):
            if thing is not None and thing.option in self.refitted:
                return thing.option
        return None

    def _owner(
        self, ref: str, kinds: Sequence[Kind], old: ThingMass | None, new: ThingMass | None
    ) -> str | None:
        option = self._option(old, new)
        if option is not None:
            return f"option:{option}"
        at_thing = sorted(self._at(ref), key=lambda c: ORDER[c.kind])
        for kind in kinds:
            for change in at_thing:
                if change.kind == kind:
                    return change.id
        if at_thing:
            return at_thing[0].id
        return None

    def _at(self, ref: str) -> Sequence[Change]:
        return self.by_thing.get(ref, [])

    def _give(self, ref: str, change: str | None, factor: str, share: float) -> None:
        if not share:
            return
        if change is None:
            found = self.unedited.setdefault(ref, _unedited(ref))
            change = found.id
        given = self.factors.setdefault(change, {})
        given[factor] = given.get(factor, 0.0) + share

    def result(self) -> MassSplit:
        shares = {}
        for change in (*self.changes, *self.unedited.values()):
            factors = self.factors.get(change.id)
            if change.id in self.unknown and factors is None:
                shares[change.id] = MassShare(mass_g=None)
            else:
                shares[change.id] = MassShare(mass_g=sum((factors or {}).values()), factors_g=factors)
        return MassSplit(
            shares=shares,
            before_g=self.before,
            after_g=self.after,
            missing=tuple(self.missing),
            unedited=tuple(self.unedited.values()),
        )


def _unrounded(old: Mapping[str, Value], new: Mapping[str, Value]) -> Mapping[str, Value]:
    """Factors in the second state, as in the first where they differ by rounding alone: 6 × 0.7 g ÷ 6 is not 0.7 g."""
    return {name: old[name] if _is_rounding(old[name], value) else value for name, value in new.items()}


def _is_rounding(old: Value, new: Value) -> bool:
    if isinstance(old, tuple) or isinstance(new, tuple):
        return old == new
    return isclose(old, new, rel_tol=1e-14)


def _unedited(ref: str) -> Change:
    text = f"{ref}: another mass, though nothing was edited (weighed, or a module's working files)"
    return Change(kind="mass", where=ref, edits=(), before=None, after=None, text=text)
