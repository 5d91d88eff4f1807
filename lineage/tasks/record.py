"""Recording the working files of a design as a build: whole or not there, one commit, never changed again."""

from collections.abc import Mapping, Sequence
from datetime import date as Date  # noqa: N812

from msgspec import Struct
from msgspec.structs import replace

from lineage.archive.builds import Plan, build_paths, label_taken, plan_build, same_build
from lineage.archive.commits import commit_day
from lineage.archive.git import find_repository
from lineage.archive.keep import write_whole
from lineage.archive.kept import keep
from lineage.archive.revisions import under_way
from lineage.archive.tree import AlteredTree
from lineage.figures.standards.materials import EDITION
from lineage.problems import AskedWrongly, BadInput, NotNow, Place, Problem, nearest
from lineage.reports.views.compare import ChangeView, HintView
from lineage.spec.assembly import Spec
from lineage.spec.build_file import read_notes_file
from lineage.spec.names import build_label
from lineage.spec.records import BuildRef, ChangeNote
from lineage.spec.references import holders, parts_of, uses_of
from lineage.tasks.amounts import amounts_of
from lineage.tasks.drawings import drawn_in
from lineage.tasks.grouping import Group, grouped
from lineage.tasks.offers import Offer, could_take, lessons_answered
from lineage.tasks.pairs import pair
from lineage.tasks.states import Asker, State
from lineage.tasks.workspace import NOW, Workspace


class Request(Struct, frozen=True, kw_only=True):
    """What `record` was asked."""

    design: str
    label: str
    why: str | None = None
    notes: bytes | None = None
    notes_file: str = ""
    renamed: Mapping[str, str] = {}
    described_better: tuple[str, ...] = ()
    before: str | None = None
    on: Date | None = None
    again: bool = False
    dry_run: bool = False
    reasons: tuple[tuple[tuple[str, ...], str], ...] = ()  # what groups of changes are about, and why


class Draft(Struct, frozen=True, kw_only=True):
    """What would be recorded: the spec, the build before, and the changes since with their effects, in groups.

    `offers` are lessons that it may answer and places that could take it, each with the line to write.
    """

    request: Request
    spec: Spec
    before: BuildRef | None
    groups: tuple[Group, ...]
    hints: tuple[HintView, ...]
    notes: tuple[ChangeNote, ...]
    offers: tuple[Offer, ...] = ()

    @property
    def changes(self) -> tuple[ChangeView, ...]:
        """All changes, group by group."""
        return tuple(change for group in self.groups for change in group.changes)


class Recorded(Struct, frozen=True, kw_only=True):
    """What was recorded, and where."""

    ref: str
    id: str
    folder: str
    paths: tuple[str, ...]
    commit: str | None
    said: tuple[str, ...]
    written: bool
    offers: tuple[Offer, ...] = ()


def draft(workspace: Workspace, request: Request) -> Draft:
    """Checks everything that can refuse a record, and works out what changed. Writes nothing."""
    design = workspace.named(request.design)
    request = replace(request, design=design, label=build_label(request.label))
    spec = workspace.spec(BuildRef(design, NOW))
    _check_modules(workspace, spec)
    asker = Asker(workspace)
    now = State(asker.amounts, spec.ref)
    drawn_in(workspace, now.assembly)  # every drawing has to be one that can be cut
    before = _before(workspace, request)
    _check_renames(workspace, request, spec, before)
    changes: tuple[ChangeView, ...] = ()
    hints: tuple[HintView, ...] = ()
    states = [now]
    if before is not None:
        then = State(asker.amounts, before)
        states = [then, now]
        found = pair(then, now, request.renamed)
        changes, hints = found.changes, found.hints
    notes = _notes(request, changes, design)
    drafted = Draft(request=request, spec=spec, before=before, groups=(), hints=hints, notes=notes)
    if any(note.described_better for note in notes):
        changes = _as_recorded(workspace, drafted) or changes
    build = BuildRef(design, request.label)
    return replace(
        drafted,
        groups=grouped(changes, states),
        offers=(*lessons_answered(workspace, build, changes), *could_take(workspace, now, build)),
    )


def _as_recorded(workspace: Workspace, drafted: Draft) -> tuple[ChangeView, ...]:
    """The changes as the record will have them: what is noted as described better keeps its weighings."""
    request = drafted.request
    if drafted.before is None or request.label in workspace.labels(request.design):
        return ()
    plan = _plan(workspace, drafted, request.on or commit_day())
    recorded = Workspace(AlteredTree(workspace.tree, plan.files), workspace.root)
    amounts = amounts_of(recorded)
    build = BuildRef(request.design, request.label)
    return pair(State(amounts, drafted.before), State(amounts, build)).changes


def record(workspace: Workspace, drafted: Draft) -> Recorded:
    """Writes a drafted build and commits it, with the working files that it was made from."""
    request = drafted.request
    _refuse_while_merging(workspace)
    day = request.on or commit_day()
    plan = _plan(workspace, drafted, day)
    completing = _check_label(workspace, plan, request)
    if not request.again and not completing:
        _check_new(workspace, plan, drafted.before)
    message = f"Record {request.design}@{request.label}{_first_why(drafted.notes)}"
    sources = _sources(workspace, plan)
    if request.dry_run:
        paths = (*plan.files, *sources)
        return _recorded(plan, paths, None, drafted.offers, (), written=False)
    write_whole(workspace.root, plan.files, plan.folder)
    there = build_paths(workspace.tree, plan.record)
    kept = keep(workspace.root, [*there, *sources], message)
    if completing and kept.commit is None and kept.why_not is None:
        raise _taken(request, completing)
    said = (kept.said,) if kept.said else ()
    return _recorded(plan, kept.paths, kept.commit, drafted.offers, said, written=True)


def _recorded(
    plan: Plan,
    paths: Sequence[str],
    commit: str | None,
    offers: tuple[Offer, ...],
    said: tuple[str, ...],
    *,
    written: bool,
) -> Recorded:
    return Recorded(
        ref=f"{plan.record.design}@{plan.record.label}",
        id=plan.record.id,
        folder=plan.folder,
        paths=tuple(paths),
        commit=commit,
        said=said,
        written=written,
        offers=offers,
    )


# --- what refuses a record -------------------------------------------------------------------------------


def _refuse_while_merging(workspace: Workspace) -> None:
    """A merge or rebase under way refuses; no repository, or no git at all, does not: the build is kept."""
    try:
        repository = find_repository(workspace.root)
    except NotNow:
        return
    what = under_way(repository)
    if what is not None:
        raise NotNow(f"{what} is under way", "a finished one", f"finish or abort {what}, then record")


def _check_modules(workspace: Workspace, spec: Spec) -> None:
    """A build may use recorded builds of modules only."""
    design, problems = spec.design, []
    for path, holder in holders(design):
        for place, use in holder.modules.items():
            if use.use.label == NOW:
                at = design.places.get((*path, "modules", place)) or Place(spec.file, 1, 1)
                last = workspace.last(use.use.design)
                mend = (
                    f"write {last}"
                    if last
                    else f"lineage record {use.use.design} A, then write {use.use.design}@A"
                )
                problems.append(
                    Problem(
                        place=at,
                        code="unrecorded-module",
                        what=f"{place} uses {use.use}, working files that may still change",
                        wanted="a recorded build of the module",
                        mend=mend,
                    )
                )
    if problems:
        raise BadInput(problems)


def _before(workspace: Workspace, request: Request) -> BuildRef | None:
    """The build before: as asked, else the end of the chain."""
    labels = [label for label in workspace.labels(request.design) if label != request.label]
    if request.before is not None:
        ref = BuildRef(request.design, request.before)
        workspace.record_of_known(ref)
        return ref
    if request.label in workspace.labels(request.design):
        before = workspace.record_of(BuildRef(request.design, request.label)).before
        return None if before is None else BuildRef(request.design, before)
    return BuildRef(request.design, labels[-1]) if labels else None


def _check_renames(workspace: Workspace, request: Request, spec: Spec, before: BuildRef | None) -> None:
    from lineage.changes.pairing import own_things  # noqa: PLC0415

    now = own_things(spec.design)
    then = own_things(workspace.spec(before).design) if before is not None else {}
    for old, new in request.renamed.items():
        for name, things, when in ((old, then, "before"), (new, now, "now")):
            if name not in things:
                near = nearest(name, things)
                raise AskedWrongly(
                    f"--renamed {old}={new}: nothing is called {name!r} {when}",
                    "OLD=NEW, names of things of the design",
                    f"did you mean {near}?" if near else "",
                )


def _check_label(workspace: Workspace, plan: Plan, request: Request) -> str | None:
    """The label where the very same build stands under it already, to be completed; refuses another's."""
    taken = label_taken(workspace.tree, request.design, request.label)
    if taken is None:
        return None
    if taken != request.label or taken not in workspace.labels(request.design):
        raise _taken(request, taken)
    there = workspace.record_of(BuildRef(request.design, taken))
    if not same_build(there, plan.record):
        raise _taken(request, taken)
    return taken


def _taken(request: Request, taken: str) -> AskedWrongly:
    return AskedWrongly(
        f"{request.design} has a build {taken} already",
        "a label that is free",
        "a recorded build is never changed",
    )


def _check_new(workspace: Workspace, plan: Plan, before: BuildRef | None) -> None:
    if before is not None and workspace.record_of(before).id == plan.record.id:
        raise AskedWrongly(
            f"nothing changed since {before}",
            "a build that differs",
            "with --again it is recorded all the same",
        )


# --- what is recorded ------------------------------------------------------------------------------------


def _plan(workspace: Workspace, drafted: Draft, day: Date) -> Plan:
    request, spec, tree = drafted.request, drafted.spec, workspace.tree
    uses = {str(use): workspace.record_of(use).id for use in _uses(spec)}
    plan = plan_build(
        tree,
        design=request.design,
        label=request.label,
        on=day,
        before=None if drafted.before is None else drafted.before.label,
        spec_path=spec.file,
        spec=tree.read(spec.file) or b"",
        family=tree.read("family.yaml") or b"",
        drawings={path: tree.read(path) or b"" for path in spec.drawings},
        ids=_file_ids(workspace, spec),
        uses=uses,
        renames=request.renamed,
        notes=drafted.notes,
        tables=EDITION,
    )
    if request.label in workspace.labels(request.design) and request.on is None:
        there = workspace.record_of(BuildRef(request.design, request.label))
        if same_build(there, plan.record):  # being completed: it keeps the day on which it was begun
            return _plan(workspace, replace(drafted, request=replace(request, on=there.on)), there.on)
    return plan


def _uses(spec: Spec) -> tuple[BuildRef, ...]:
    """Builds of modules that a spec uses itself, those of its choices included."""
    return tuple(dict.fromkeys(use.use for _, use in uses_of(spec.design)))


def _file_ids(workspace: Workspace, spec: Spec) -> Mapping[str, str]:
    """Content ids of what `files` names, in the design and its parts."""
    design = spec.design
    named = dict.fromkeys([*design.files, *(path for _, part in parts_of(design) for path in part.files)])
    ids, problems = {}, []
    for path in named:
        known = workspace.tree.content_id(path)
        if known is None:
            at = next(
                (p for key, p in design.places.items() if key and key[0] == "files"), Place(spec.file, 1, 1)
            )
            problems.append(
                Problem(
                    place=at,
                    code="file-missing",
                    what=f"the file {path} is not there",
                    wanted="a file of the family",
                    mend=f"save it as {path}, or take it out of files",
                )
            )
        else:
            ids[path] = known
    if problems:
        raise BadInput(problems)
    return ids


def _sources(workspace: Workspace, plan: Plan) -> tuple[str, ...]:
    """The working files that the build is a copy of: committed with it, so that nothing of it is left lying."""
    return tuple(
        path
        for path, known in plan.record.files.items()
        if workspace.tree.content_id(path) == known and (path.endswith((".yaml", ".dxf")))
    )


def _notes(request: Request, changes: Sequence[ChangeView], design: str) -> tuple[ChangeNote, ...]:
    """Notes from the file, from --described-better, and --why for every change without one."""
    notes = list(_notes_from_file(request))
    wheres = {change.where for change in changes}
    notes += [ChangeNote(about=(ref,), described_better=True) for ref in request.described_better]
    notes += [ChangeNote(about=about, why=why) for about, why in request.reasons]
    for note in notes:
        for ref in note.about:
            if ref not in wheres and not (ref == design and not changes):
                near = nearest(ref, wheres)
                raise AskedWrongly(
                    f"a note is about {ref!r}, which no change touches",
                    "one of: " + (", ".join(sorted(wheres)) or "no change there is"),
                    f"did you mean {near}?" if near else "",
                )
    if request.why is not None:
        explained = {ref for note in notes if note.why for ref in note.about}
        about = tuple(dict.fromkeys(change.where for change in changes if change.where not in explained))
        notes.append(ChangeNote(about=about or (design,), why=request.why))
    return tuple(notes)


def _notes_from_file(request: Request) -> tuple[ChangeNote, ...]:
    if request.notes is None:
        return ()
    read = read_notes_file(request.notes, request.notes_file)
    if read.record is None:
        raise BadInput(read.problems)
    return read.record


def _first_why(notes: Sequence[ChangeNote]) -> str:
    """The first reason, for the subject of the commit."""
    why = next((note.why for note in notes if note.why), None)
    if why is None:
        return ""
    line = " ".join(why.split())
    return f": {line}" if len(line) <= 60 else f": {line[:59]}…"
