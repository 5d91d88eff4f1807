"""The steps between a design's builds: which things each change touched, for asking what failed before and after."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from lineage.changes.diff import differences, things_of
from lineage.changes.ops import Change
from lineage.changes.pairing import Pairing, option_of, own_things, pair_builds
from lineage.evidence.bouts import same_mode
from lineage.evidence.windows import Step, Touched
from lineage.problems import AskedWrongly, BadInput
from lineage.spec.assembly import Spec
from lineage.spec.records import BenchReading, BuildRef, ChangeNote, Trial, Use
from lineage.tasks.chain import composed, only_described_better, record_between, renames_between
from lineage.tasks.workspace import NOW, Workspace


class ModuleStep(Struct, frozen=True):
    """A place of a design whose module went from one build to another."""

    place: str
    before: BuildRef
    after: BuildRef


class ChangedStep(Struct, frozen=True, kw_only=True):
    """One step of a design with its changes.

    `touched` is what each answers for (what its notes are `for`, else its own things; nothing where that is none),
    under the names of the design's last build. `renames` are the names of the first state in the second,
    `names_before` those and names for what is gone. `as_step` is the step as windows see it: what was changed, and
    what a change was meant for.
    """

    design: str
    before: str
    after: str
    changes: tuple[Change, ...]
    notes: tuple[ChangeNote, ...]
    touched: Mapping[str, Touched]
    renames: Mapping[str, str]
    names_before: Mapping[str, str]
    as_step: Step
    described_better: frozenset[str] = frozenset()

    def is_described_better(self, change: Change) -> bool:
        """Whether a change is noted as one of the description alone."""
        return change.where in self.described_better


def module_step(change: Change) -> ModuleStep | None:
    """The module step that a change is, if it is one."""
    if change.kind != "module moved on":
        return None
    edit = next(edit for edit in change.edits if edit.leaf[2] == "use")
    return ModuleStep(change.where, edit.before, edit.after)


def files_of(workspace: Workspace, ref: BuildRef) -> Mapping[str, str]:
    """Content ids of what the `files` of a state name."""
    if ref.label != NOW:
        return workspace.record_of(ref).files
    found = {path: workspace.tree.content_id(path) for path in workspace.spec(ref).design.files}
    return {path: known for path, known in found.items() if known is not None}


class Steps:
    """Steps of every design, each read once."""

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace
        self._steps: dict[str, tuple[ChangedStep, ...]] = {}
        self._inner: dict[tuple[BuildRef, BuildRef], frozenset[str]] = {}
        self._names: dict[str, Mapping[str, Mapping[str, str]]] = {}

    def of(self, design: str) -> tuple[ChangedStep, ...]:
        """The steps of a design, in the order of its builds."""
        if design not in self._steps:
            self._steps[design] = tuple(self._read(design))
        return self._steps[design]

    def _read(self, design: str) -> Iterator[ChangedStep]:
        for before, after in self._neighbours(design):
            record = self.workspace.record_of(after)
            try:
                yield self.between(before, after, record.renames, record.notes)
            except (AskedWrongly, BadInput):
                continue  # a build that cannot be read is told by `check`; the other steps still stand

    def _neighbours(self, design: str) -> Iterator[tuple[BuildRef, BuildRef]]:
        """Each build with the one that it was made from."""
        labels = self.workspace.labels(design)
        for label in labels:
            before = self.workspace.record_of(BuildRef(design, label)).before
            if before is not None and before in labels:
                yield BuildRef(design, before), BuildRef(design, label)

    def last_names(self, design: str, label: str) -> Mapping[str, str]:
        """Names of a design's things in one of its builds → their names in its last build, where they differ."""
        return self._last_names(design).get(label, {})

    def _last_names(self, design: str) -> Mapping[str, Mapping[str, str]]:
        if design not in self._names:
            found: dict[str, Mapping[str, str]] = {}
            for step in reversed(list(self._bare(design))):
                found[step.before] = composed(step.renames, found.get(step.after, {}))
            self._names[design] = found
        return self._names[design]

    def _bare(self, design: str) -> Iterator["_Bare"]:
        """What each step of a design paired under another name."""
        for before, after in self._neighbours(design):
            try:
                old, new = self.workspace.spec(before), self.workspace.spec(after)
            except (AskedWrongly, BadInput):
                continue
            pairing = pair_builds(old, new, self.workspace.record_of(after).renames)
            yield _Bare(before.label, after.label, pairing.renames)

    def between(
        self,
        before: BuildRef,
        after: BuildRef,
        renames: Mapping[str, str] | None = None,
        more_notes: Sequence[ChangeNote] | None = None,
    ) -> ChangedStep:
        """One step with what its changes touch; `renames` and notes of all builds on the way where none are given."""
        pairing, changes, reader = self._compared(before, after, renames, more_notes)
        names = _Names(
            then=self.last_names(after.design, before.label),
            now=self.last_names(after.design, after.label),
            old={new: old for old, new in pairing.renames.items()},
        )
        described_better = self._described_better(before, after, changes, reader.notes)
        touched: dict[str, Touched] = {}
        edges: set[str] = set()
        for change in changes:
            own = names.lasting(reader.own_refs(change))
            meant = reader.meant(change)
            if meant is not None:
                touched[change.id] = Touched(refs=names.lasting(meant.refs), modes=meant.modes)
            elif own:
                touched[change.id] = Touched(refs=own)
            if change.where not in described_better:
                edges |= own
                edges |= touched[change.id].refs if change.id in touched else set()
        return ChangedStep(
            design=after.design,
            before=before.label,
            after=after.label,
            changes=changes,
            notes=tuple(reader.notes),
            touched=touched,
            renames=pairing.renames,
            names_before=pairing.names_before,
            as_step=Step(before=before.label, after=after.label, touched=frozenset(edges)),
            described_better=described_better,
        )

    def _described_better(
        self, before: BuildRef, after: BuildRef, changes: Sequence[Change], notes: Sequence[ChangeNote]
    ) -> frozenset[str]:
        """Where nothing but the description changed, in every build on the way that changed it."""
        noted = {about for note in notes if note.described_better for about in note.about}
        found = frozenset(change.where for change in changes) & noted
        if not found or len(record_between(self.workspace, after.design, before.label, after.label)) < 2:
            return found
        way = (self.workspace, after.design, before.label, after.label)
        return frozenset(where for where in found if only_described_better(*way, where))

    def _compared(
        self,
        before: BuildRef,
        after: BuildRef,
        renames: Mapping[str, str] | None = None,
        notes: Sequence[ChangeNote] | None = None,
    ) -> tuple[Pairing, tuple[Change, ...], "_Reader"]:
        workspace, design = self.workspace, after.design
        if renames is None:
            renames = renames_between(workspace, design, before.label, after.label)
        if notes is None:
            records = record_between(workspace, design, before.label, after.label)
            notes = [note for record in records for note in record.notes]
        old, new = workspace.spec(before), workspace.spec(after)
        pairing = pair_builds(old, new, renames)
        files = files_of(workspace, before), files_of(workspace, after)
        return pairing, differences(old, new, pairing, files).changes, _Reader(self, old, new, notes)

    def inner(self, before: BuildRef, after: BuildRef) -> frozenset[str]:
        """What differs between two builds of a module and not in its description alone, by both builds' names."""
        key = (before, after)
        if key not in self._inner:
            pairing, changes, reader = self._compared(before, after)
            names = _Names(then={}, now={}, old={new: old for old, new in pairing.renames.items()})
            better = self._described_better(before, after, changes, reader.notes)
            real = [change for change in changes if change.where not in better]
            self._inner[key] = names.lasting(ref for change in real for ref in reader.own_refs(change))
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


class _Bare(Struct, frozen=True):
    """A step as its names alone."""

    before: str
    after: str
    renames: Mapping[str, str]


class _Names(Struct, frozen=True, kw_only=True):
    """Names of a step's things in the design's last build; `old` maps names of the second state to the first."""

    then: Mapping[str, str]
    now: Mapping[str, str]
    old: Mapping[str, str]

    def lasting(self, refs: Iterable[str]) -> frozenset[str]:
        """References of the second state by the names of the last build, and by what those of the first became."""
        found = set()
        for ref in refs:
            was = with_head(ref, self.old)
            found |= {with_head(ref, self.now), with_head(was, self.then)}
        return frozenset(found)


def with_head(ref: str, names: Mapping[str, str]) -> str:
    """A reference with another name for the own thing that it begins with."""
    head, dot, rest = ref.partition(".")
    return names.get(head, head) + dot + rest


class _Reader:
    """Says of each change of a step what it is at and what it answers for, under the names of the second state."""

    def __init__(self, steps: Steps, old: Spec, new: Spec, notes: Sequence[ChangeNote]) -> None:
        self.steps, self.new, self.notes = steps, new, notes
        self.names = {*own_things(old.design), *own_things(new.design)}
        self.options = {**option_of(old.design), **option_of(new.design)}

    def meant(self, change: Change) -> Touched | None:
        """The things and modes that a change's notes are `for`; None where they name none."""
        said = [text for note in self.notes if change.where in note.about for text in note.for_]
        if not said:
            return None
        refs = frozenset(text for text in said if text.partition(".")[0] in self.names)
        modes = frozenset(
            same_mode(text) for text in said if text not in refs and not self.steps.is_reading(text)
        )
        return Touched(refs=refs, modes=modes) if refs or modes else None

    def own_refs(self, change: Change) -> frozenset[str]:
        """What a change is at; another name alone changes no thing."""
        step = module_step(change)
        if step is not None:
            return frozenset(f"{step.place}.{ref}" for ref in self.steps.inner(step.before, step.after))
        if change.kind == "option":
            return self._of_option(change.where)
        if change.kind != "part renamed" and (change.kind == "access" or things_of(change)):
            return frozenset({change.where})
        return frozenset()

    def _of_option(self, where: str) -> frozenset[str]:
        """All things of an option's choices; of one in a place, those that the module there has."""
        own = frozenset(name for name, option in self.options.items() if option == where)
        place, dot, option = where.partition(".")
        use = own_things(self.new.design).get(place)
        if own or not dot or not isinstance(use, Use):
            return own
        inner = option_of(self.steps.workspace.spec(use.use).design)
        return frozenset(f"{place}.{name}" for name, of in inner.items() if of == option) or frozenset(
            {place}
        )
