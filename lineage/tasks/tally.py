"""What kinds of change came to over the whole family; nothing is pooled over unlike changes."""

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field

from lineage.changes.diff import things_of
from lineage.changes.ops import KINDS, Change
from lineage.changes.shares import MassSplit, ThingMass, split_mass
from lineage.problems import LineageError
from lineage.reports.views.family import TallyView
from lineage.spec.records import BuildRef, ChangeNote
from lineage.tasks.differing import thing_masses
from lineage.tasks.drawings import measures_of
from lineage.tasks.expecting import outcomes
from lineage.tasks.judging import Judge, judge_of
from lineage.tasks.states import Asker, State
from lineage.tasks.steps import ChangedStep, ModuleStep, module_step


def tally(asker: Asker) -> Iterator[TallyView]:
    """Recorded changes by kind, what is only described better left out.

    The same module step in several places of a design is one change, and in however many designs one verdict: they
    have one answer. An expectation of a note counts once for a kind, however many changes the note is about.
    """
    counter = _Counter(asker)
    for design in asker.workspace.designs:
        for step in counter.judge.steps.of(design):
            counter.add(step)
    for kind in KINDS:
        if kind in counter.by_kind:
            yield counter.by_kind[kind].view(kind)


class _OfKind(Struct):
    """Sums over the changes of one kind."""

    changes: int = 0
    mass_g: float = 0.0
    mass_not_known: int = 0
    outcomes: list[bool] = field(default_factory=list)
    verdicts: Counter[str] = field(default_factory=Counter)

    def view(self, kind: str) -> TallyView:
        return TallyView(
            kind=kind,
            changes=self.changes,
            mass_g=self.mass_g,
            mass_not_known=self.mass_not_known,
            kept=sum(self.outcomes),
            judged=len(self.outcomes),
            verdicts=dict(self.verdicts),
        )


class _Counter:
    def __init__(self, asker: Asker) -> None:
        self.amounts, self.workspace = asker.amounts, asker.workspace
        self.judge: Judge = judge_of(asker.workspace)
        self.by_kind: dict[str, _OfKind] = {}
        self._grams: dict[BuildRef, Mapping[str, tuple[float | None, ...]]] = {}
        self._answered: set[ModuleStep] = set()

    def add(self, step: ChangedStep) -> None:
        """The changes of one step."""
        before, after = BuildRef(step.design, step.before), BuildRef(step.design, step.after)
        try:
            mass = self._split(before, after, step)
        except LineageError:
            return  # a build or drawing that cannot be read is told by `check`
        noted: set[tuple[str, int]] = set()
        places: set[ModuleStep] = set()
        for change in (*step.changes, *mass.unedited):
            if step.is_described_better(change):
                continue
            of_kind = self.by_kind.setdefault(change.kind, _OfKind())
            share = mass.shares[change.id].mass_g
            if share is None:
                of_kind.mass_not_known += 1
            else:
                of_kind.mass_g += share
            moved = _bare(module_step(change))
            if moved is None or moved not in places:
                of_kind.changes += 1
                self._judge(step, change, moved, of_kind, noted)
            places |= {moved} if moved is not None else set()

    def _judge(
        self,
        step: ChangedStep,
        change: Change,
        moved: ModuleStep | None,
        of_kind: _OfKind,
        noted: set[tuple[str, int]],
    ) -> None:
        """What failures say of a change, and what came of its expectations."""
        verdict = None if moved in self._answered else self.judge.verdict_of_change(change, step)
        if verdict is not None:
            of_kind.verdicts[verdict] += 1
            self._answered |= {moved} if moved is not None else set()
        notes = [note for note in _about(step.notes, change) if (change.kind, id(note)) not in noted]
        if not notes:
            return
        noted |= {(change.kind, id(note)) for note in notes}
        before, after = (State(self.amounts, BuildRef(step.design, at)) for at in (step.before, step.after))
        found = outcomes(notes, before, after, self.judge.of_change(change, step)).values()
        of_kind.outcomes += [outcome.kept for outcome in found if outcome.kept is not None]

    def _split(self, before: BuildRef, after: BuildRef, step: ChangedStep) -> MassSplit:
        """Each change's share of the mass, looking only at things that were edited or weigh another mass."""
        names = step.names_before
        old, new = self._plain(before), self._plain(after)
        then = {names.get(ref, ref): grams for ref, grams in old.items()}
        wanted = {ref for change in step.changes for ref in things_of(change)}
        wanted |= {ref for ref in {*then, *new} if ref not in then or ref not in new or then[ref] != new[ref]}
        was = {new_name: old_name for old_name, new_name in names.items()}
        masses = self._masses(before, {was.get(ref, ref) for ref in wanted})
        return split_mass(
            {names.get(ref, ref): mass for ref, mass in masses.items()},
            self._masses(after, wanted),
            step.changes,
        )

    def _plain(self, ref: BuildRef) -> Mapping[str, tuple[float | None, ...]]:
        """Masses of own things alone, of a place those of everything in it."""
        if ref not in self._grams:
            found: dict[str, list[float | None]] = {}
            for item in self.amounts.weight(ref).items:
                own = item.ref.removesuffix(AS_WEIGHED).partition(".")[0]
                found.setdefault(own, []).append(None if item.mass is None else item.mass.value)
            self._grams[ref] = {own: tuple(grams) for own, grams in found.items()}
        return self._grams[ref]

    def _masses(self, ref: BuildRef, wanted: Container[str]) -> Mapping[str, ThingMass]:
        assembly = self.workspace.assembly(ref)
        measures = measures_of(self.workspace, assembly)
        return thing_masses(assembly, self.amounts.weight(ref), measures, wanted)


AS_WEIGHED = " as weighed"  # what a weighing of a whole place adds to its items


def _bare(moved: ModuleStep | None) -> ModuleStep | None:
    """A module step wherever it is made."""
    return None if moved is None else ModuleStep("", moved.before, moved.after)


def _about(notes: Sequence[ChangeNote], change: Change) -> Iterable[ChangeNote]:
    return (note for note in notes if change.where in note.about and note.expect)
