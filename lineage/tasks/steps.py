"""The steps between a design's builds: which things each change touched, for asking what failed before and after."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from lineage.changes.diff import differences, things_of
from lineage.changes.ops import Change
from lineage.changes.pairing import option_of, own_things, pair_builds
from lineage.evidence.bouts import same_mode
from lineage.evidence.windows import Step, Touched
from lineage.problems import AskedWrongly, BadInput
from lineage.spec.records import BenchReading, BuildRef, ChangeNote, Trial
from lineage.tasks.workspace import Workspace


class ModuleStep(Struct, frozen=True):
    """A place of a design whose module went from one build to another."""

    place: str
    before: BuildRef
    after: BuildRef


class ChangedStep(Struct, frozen=True, kw_only=True):
    """One step of a design with its changes and what each touches."""

    design: str
    before: str
    after: str
    changes: tuple[Change, ...]
    notes: tuple[ChangeNote, ...]
    touched: Mapping[str, Touched]

    @property
    def as_step(self) -> Step:
        """The step as windows see it."""
        refs = [
            self.touched[change.id].refs
            for change in self.changes
            if change.id in self.touched and not self.is_described_better(change)
        ]
        return Step(before=self.before, after=self.after, touched=frozenset().union(*refs))

    def is_described_better(self, change: Change) -> bool:
        """Whether a change is noted as one of the description alone."""
        return any(note.described_better and change.where in note.about for note in self.notes)

    @property
    def module_steps(self) -> tuple[ModuleStep, ...]:
        """Places whose module moved on."""
        return tuple(found for change in self.changes if (found := module_step(change)) is not None)


def module_step(change: Change) -> ModuleStep | None:
    """The module step that a change is, if it is one."""
    if change.kind != "module moved on":
        return None
    edit = next(edit for edit in change.edits if edit.leaf[2] == "use")
    return ModuleStep(change.where, edit.before, edit.after)


class Steps:
    """Steps of every design, each read once."""

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace
        self._steps: dict[str, tuple[ChangedStep, ...]] = {}
        self._inner: dict[tuple[BuildRef, BuildRef], frozenset[str]] = {}

    def of(self, design: str) -> tuple[ChangedStep, ...]:
        """The steps of a design, in the order of its builds."""
        if design not in self._steps:
            self._steps[design] = tuple(self._read(design))
        return self._steps[design]

    def _read(self, design: str) -> Iterator[ChangedStep]:
        for label in self.workspace.labels(design):
            record = self.workspace.record_of(BuildRef(design, label))
            if record.before is None or record.before not in self.workspace.labels(design):
                continue
            try:
                yield self.between(BuildRef(design, record.before), BuildRef(design, label))
            except (AskedWrongly, BadInput):
                continue  # a build that cannot be read is told by `check`; the other steps still stand

    def between(
        self,
        before: BuildRef,
        after: BuildRef,
        renames: Mapping[str, str] | None = None,
        more_notes: Sequence[ChangeNote] | None = None,
    ) -> ChangedStep:
        """One step with what its changes touch; `renames` where there were several on the way."""
        workspace = self.workspace
        is_build = after.label in workspace.labels(after.design)
        record = workspace.record_of(after) if is_build else None
        old, new = workspace.spec(before), workspace.spec(after)
        recorded = record.renames if record else {}
        pairing = pair_builds(old, new, recorded if renames is None else renames)
        changes = differences(old, new, pairing).changes
        notes = (record.notes if record else ()) if more_notes is None else more_notes
        old_names = {pair.after: pair.before for pair in pairing.pairs}
        options = {**option_of(old.design), **option_of(new.design)}
        names = {*own_things(old.design), *own_things(new.design)}
        touched = {}
        for change in changes:
            found = self._touched(change, notes, names, options)
            if found is not None:
                refs = found.refs | _under_old_names(found.refs, old_names)
                touched[change.id] = Touched(refs=refs, modes=found.modes)
        return ChangedStep(
            design=after.design,
            before=before.label,
            after=after.label,
            changes=changes,
            notes=tuple(notes),
            touched=touched,
        )

    def _touched(
        self, change: Change, notes: Sequence[ChangeNote], names: Collection[str], options: Mapping[str, str]
    ) -> Touched | None:
        """What a change answers for: what its notes are `for`, else its own things; None where that is nothing."""
        meant = [text for note in notes if change.where in note.about for text in note.for_]
        refs = frozenset(text for text in meant if text.partition(".")[0] in names)
        modes = frozenset(same_mode(text) for text in meant if text not in refs and not self.is_reading(text))
        if refs or modes:
            return Touched(refs=refs, modes=modes)
        own = self._own_refs(change, options)
        return Touched(refs=own) if own else None

    def _own_refs(self, change: Change, options: Mapping[str, str]) -> frozenset[str]:
        step = module_step(change)
        if step is not None:
            return frozenset(f"{step.place}.{ref}" for ref in self.inner(step.before, step.after))
        if change.kind == "option":
            own = frozenset(name for name, option in options.items() if option == change.where)
            return own or frozenset({change.where.partition(".")[0]})
        if change.kind == "access" or things_of(change):
            return frozenset({change.where})
        return frozenset()

    def inner(self, before: BuildRef, after: BuildRef) -> frozenset[str]:
        """What differs between two builds of a module, by reference inside it."""
        key = (before, after)
        if key not in self._inner:
            step = self.between(before, after)
            refs = [touched.refs for touched in step.touched.values()]
            self._inner[key] = frozenset().union(*refs)
        return self._inner[key]

    def is_reading(self, text: str) -> bool:
        """Whether a text is the name of a bench reading or trial of the family."""
        return same_mode(text) in self.readings

    @cached_property
    def readings(self) -> frozenset[str]:
        """Names of all bench readings and trials."""
        return frozenset(
            same_mode(result.of)
            for design in self.workspace.designs
            for result in self.workspace.results(design)
            if isinstance(result, BenchReading | Trial)
        )


def _under_old_names(refs: frozenset[str], old_names: Mapping[str, str]) -> frozenset[str]:
    """The same references by the names that their things had before."""
    found = set()
    for ref in refs:
        head, dot, rest = ref.partition(".")
        found.add(old_names.get(head, head) + dot + rest)
    return frozenset(found)
