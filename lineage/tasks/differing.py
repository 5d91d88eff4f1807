"""Two states against each other: changes, each change's share of mass and gaps, ways in before and after."""

from collections.abc import Container, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from lineage.changes.diff import Difference, differences
from lineage.changes.gaps import Term, gap_shares
from lineage.changes.ops import Change
from lineage.changes.pairing import Pairing, option_of, pair_builds, pair_siblings
from lineage.changes.shares import MassSplit, ThingMass, split_mass
from lineage.changes.ways import WayChange, WayFigure, way_changes
from lineage.drawings.moments import Measures
from lineage.figures.factors import mass_factors
from lineage.figures.fits import FitFigure
from lineage.figures.weight import Weight
from lineage.spec.assembly import Assembly
from lineage.spec.records import BuildRecord, ChangeNote
from lineage.tasks.chain import composed, only_described_better, renames_between, renames_either_way
from lineage.tasks.drawings import measures_of
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW


class Gap(Struct, frozen=True, kw_only=True):
    """One fit's nominal gap before and after, with each change's share."""

    before: float | None
    after: float | None
    shares: Mapping[str, float]


class Step(Struct, frozen=True, kw_only=True):
    """Everything that is arithmetic between two states."""

    before: State
    after: State
    difference: Difference
    mass: MassSplit
    gaps: Mapping[str, Gap]
    ways: tuple[WayChange, ...]
    notes: tuple[ChangeNote, ...]
    are_siblings: bool

    @property
    def changes(self) -> tuple[Change, ...]:
        """The changes, with what weighs another mass though nobody edited it last."""
        return (*self.difference.changes, *self.mass.unedited)

    @property
    def pairing(self) -> Pairing:
        """Which thing is which."""
        return self.difference.pairing

    def notes_of(self, change: Change) -> tuple[ChangeNote, ...]:
        """The notes that are about a change."""
        return tuple(note for note in self.notes if change.where in note.about)

    def is_described_better(self, change: Change) -> bool:
        """Whether a change is noted as one of the description alone, in every build on the way that made it."""
        if not any(note.described_better for note in self.notes_of(change)):
            return False
        then, now = self.before.ref.label, self.after.ref.label
        return only_described_better(self.after.workspace, self.after.ref.design, then, now, change.where)

    @property
    def described_better(self) -> frozenset[str]:
        """Where nothing but the description changed."""
        return frozenset(change.where for change in self.changes if self.is_described_better(change))


def step_between(before: State, after: State, renamed: Mapping[str, str] | None = None) -> Step:
    """All that differs between two states, and what it did; `renamed` are renames that are not recorded yet."""
    are_siblings = before.ref.design != after.ref.design
    way = (after.workspace, after.ref.design, before.ref.label, after.ref.label)
    pairing = (
        pair_siblings(before.spec, after.spec)
        if are_siblings
        else pair_builds(before.spec, after.spec, composed(renames_either_way(*way), renamed or {}))
    )
    difference = differences(before.spec, after.spec, pairing, (files_of(before), files_of(after)))
    changes, renames = difference.changes, pairing.names_before
    return Step(
        before=before,
        after=after,
        difference=difference,
        mass=_mass(before, after, changes, renames),
        gaps=_gaps(before, after, changes, renames),
        ways=_ways(before, after, changes, renames),
        notes=_notes(before, after),
        are_siblings=are_siblings,
    )


def files_of(state: State) -> Mapping[str, str]:
    """Content ids of what `files` names."""
    design = state.spec.design
    if state.ref.label != NOW:
        return state.workspace.record_of(state.ref).files
    found = {path: state.workspace.tree.content_id(path) for path in design.files}
    return {path: known for path, known in found.items() if known is not None}


def _notes(before: State, after: State) -> tuple[ChangeNote, ...]:
    """Notes of every build after the first state up to the second."""
    if before.ref.design != after.ref.design or after.ref.label == NOW:
        return ()
    records: list[BuildRecord] = []
    workspace, label, seen = after.workspace, after.ref, set[str]()
    while label.label not in seen and label.label in workspace.labels(label.design):
        seen.add(label.label)
        record = workspace.record_of(label)
        if label == before.ref:
            return tuple(note for found in reversed(records) for note in _notes_now(found, after))
        records.append(record)
        if record.before is None:
            break
        label = type(label)(label.design, record.before)
    return ()


def _notes_now(record: BuildRecord, after: State) -> Iterator[ChangeNote]:
    """Notes of a build under the names that things have in a later one."""
    renames = renames_between(after.workspace, record.design, record.label, after.ref.label)

    def now(ref: str) -> str:
        head, dot, rest = ref.partition(".")
        return renames.get(head, head) + dot + rest

    for note in record.notes:
        yield replace(note, about=tuple(map(now, note.about)), for_=tuple(map(now, note.for_)))


# --- mass ------------------------------------------------------------------------------------------------


def _mass(before: State, after: State, changes: tuple[Change, ...], renames: Mapping[str, str]) -> MassSplit:
    old = {renames.get(ref, ref): mass for ref, mass in _thing_masses(before).items()}
    return split_mass(old, _thing_masses(after), changes)


def _thing_masses(state: State) -> Mapping[str, ThingMass]:
    weight = state.amounts.weight(state.ref, state.choices)
    return thing_masses(state.assembly, weight, measures_of(state.workspace, state.assembly))


def thing_masses(
    assembly: Assembly,
    weight: Weight,
    measures: Mapping[str, Measures],
    wanted: Container[str] | None = None,
) -> Mapping[str, ThingMass]:
    """Masses of a state's own things (of all of them, or those wanted), those of places by what is in them."""
    masses = weight.masses
    found = {}
    for thing in assembly.things.values():
        if thing.place or (wanted is not None and thing.ref not in wanted):
            continue
        option = thing.choice[0] if thing.choice is not None else None
        if thing.kind == "place":
            found[thing.ref] = ThingMass(mass_g=None, inner=_inner(thing.ref, weight), option=option)
            continue
        mass = masses.get(thing.ref)
        factors = mass_factors(thing, measures, mass)
        found[thing.ref] = ThingMass(
            mass_g=None if mass is None else mass.value,
            formula=None if factors is None else factors.formula,
            factors={} if factors is None else factors.factors,
            option=option,
        )
    return found


def _inner(place: str, weight: Weight) -> Mapping[str, float | None]:
    """What is in a place: its things, and what weighings of it or of places in it add."""
    start = f"{place}."
    inner: dict[str, float | None] = {}
    weighed_whole = any(item.ref == f"{place} as weighed" for item in weight.items)
    for item in weight.items:
        if item.ref == f"{place} as weighed" or item.ref.startswith(start):
            mass = None if item.mass is None else item.mass.value
            inner[item.ref.removeprefix(start)] = mass
    if weighed_whole or any(ref.endswith(" as weighed") for ref in inner):
        lacking = set(weight.without_mass)
        inner = {ref: (0.0 if m is None and start + ref not in lacking else m) for ref, m in inner.items()}
    return inner or {"nothing": 0.0}


# --- gaps and ways ---------------------------------------------------------------------------------------


def _gaps(
    before: State, after: State, changes: tuple[Change, ...], renames: Mapping[str, str]
) -> Mapping[str, Gap]:
    old = before.amounts.fits(before.ref, before.choices)
    new = after.amounts.fits(after.ref, after.choices)
    gaps = {}
    for name in dict.fromkeys([*new, *old]):
        b, a = old.get(name), new.get(name)
        if b is None or a is None or b.nominal_mm is None or a.nominal_mm is None:
            gaps[name] = Gap(before=b.nominal_mm if b else None, after=a.nominal_mm if a else None, shares={})
            continue
        shares = gap_shares(name, _terms(b), _terms(a), changes, renames)
        gaps[name] = Gap(before=b.nominal_mm, after=a.nominal_mm, shares=shares)
    return gaps


def _terms(fit: FitFigure) -> tuple[Term, ...]:
    return tuple(Term(term.ref, term.coefficient, term.nominal_mm) for term in fit.terms)


def _ways(
    before: State, after: State, changes: tuple[Change, ...], renames: Mapping[str, str]
) -> tuple[WayChange, ...]:
    return way_changes(
        _way_figures(before),
        _way_figures(after),
        changes,
        renames,
        {**option_of(before.spec.design), **option_of(after.spec.design)},
    )


def _way_figures(state: State) -> Mapping[str, WayFigure]:
    return {
        ref: WayFigure(
            screws=way.screws,
            seconds=None if way.seconds is None else way.seconds.value,
            undo=way.undo,
            off=way.off,
        )
        for ref, way in state.amounts.ways(state.ref, state.choices).items()
    }
