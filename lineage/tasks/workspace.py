"""A family opened: reads, checks and holds its files, each read once, in one state (now, or a revision)."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import Any, Literal, TypeVar

from lineage.archive.builds import (
    Build,
    build_labels,
    designs_with_builds,
    in_chain_order,
    read_build_files,
    read_record,
)
from lineage.archive.ids import content_id
from lineage.archive.tree import FAMILY_FILE, Tree, WorkingTree, find_family
from lineage.changes.diff import differences
from lineage.changes.pairing import pair_builds
from lineage.figures.standards.materials import MATERIALS
from lineage.problems import AskedWrongly, BadInput, Place, Problem, nearest
from lineage.spec.assembly import Assembly, Spec, assemble
from lineage.spec.records import Bout, BuildRecord, BuildRef, Design, Event, Family, Lesson, Result
from lineage.spec.references import parts_of
from lineage.tasks.reading import Entries, Reader
from lineage.tasks.sources import with_sources

NOW = "now"
T = TypeVar("T")


class Workspace:
    """One state of a family. Everything is read when first asked for; what is wrong is raised as BadInput."""

    def __init__(self, tree: Tree, root: Path) -> None:
        self.tree, self.root = tree, root
        self.reader = Reader()
        self._specs: dict[BuildRef, Spec] = {}
        self._families: dict[str, Family] = {}
        self._recorded: dict[BuildRef, Build] = {}
        self._assemblies: dict[tuple[BuildRef, tuple[tuple[str, str], ...]], Assembly] = {}
        self.drawn: dict[str, Any] = {}  # outlines by key, see drawings.py
        self.worked_out: dict[str, Any] = {}  # what is worked out of it once, see judging.py and amounts.py
        self._labels: dict[str, tuple[str, ...]] = {}
        self._records: dict[BuildRef, BuildRecord] = {}
        self.left_out: dict[str, tuple[Problem, ...]] = {}  # files that could not be read, by path

    # --- the family --------------------------------------------------------------------------------------

    @cached_property
    def family(self) -> Family:
        """Today's family.yaml; where it cannot be read the copy of the latest build, and that is said."""
        try:
            return self.todays_family
        except BadInput as error:
            copy = self._latest_copy()
            if copy is None:
                raise
            self._leave_out(FAMILY_FILE, error)
            return copy

    @cached_property
    def todays_family(self) -> Family:
        """family.yaml as it stands; working files are worked out with nothing else."""
        return self.family_from(self.tree.read(FAMILY_FILE) or b"", FAMILY_FILE)

    def can_read(self, design: str) -> bool:
        """Whether the working file of a design can be read; where it cannot, that is said."""
        try:
            self.spec(BuildRef(design, NOW))
        except BadInput as error:
            if self.designs[design] not in self.left_out:
                self._leave_out(self.designs[design], error)
            return False
        return True

    def _latest_copy(self) -> Family | None:
        """The copy of family.yaml that the latest build keeps."""
        records = [record for design in self.designs for record in self._chain(design)]
        for record in sorted(records, key=lambda record: record.on, reverse=True):
            with suppress(BadInput):
                return self.spec(BuildRef(record.design, record.label)).family
        return None

    def _leave_out(self, path: str, error: BadInput) -> None:
        """Says of a file that an answer does without it; the rest of the family still answers."""
        from logging import getLogger  # noqa: PLC0415 - only where something is wrong

        self.left_out[path] = error.problems
        first = error.problems[0]
        stands = "; the copy of the latest build stands for it" if path == FAMILY_FILE else ""
        more = f", and {len(error.problems) - 1} more" if len(error.problems) > 1 else ""
        text = f"left out, for it cannot be read: %s:%s: %s{more}{stands}; lineage check tells more"
        getLogger(__name__).warning(text, path, first.place.line, first.what)

    @cached_property
    def family_id(self) -> str:
        """The content id of today's family.yaml."""
        return content_id(self.tree.read(FAMILY_FILE) or b"")

    def family_from(self, data: bytes, file: str) -> Family:
        """A family.yaml from its bytes; builds keep copies of it, most of them the same."""
        id_ = content_id(data)
        if id_ not in self._families:
            self._families[id_] = self.reader.family(data, file)
        return self._families[id_]

    @cached_property
    def designs(self) -> Mapping[str, str]:
        """Name → path of every design that has a working file or builds, robots first."""
        found: dict[str, str] = {}
        for folder in ("robots", "modules"):
            for path in self.tree.files(folder):
                name, dot, ending = path.removeprefix(f"{folder}/").rpartition(".")
                if dot and ending == "yaml" and "/" not in name:
                    found.setdefault(name, path)
        for name in designs_with_builds(self.tree):
            found.setdefault(name, "")
        return found

    def kind(self, design: str) -> str:
        """Whether a design is a robot or a module."""
        path = self.designs.get(design, "")
        if path:
            return kind_of(path)
        return self.spec(BuildRef(design, self.labels(design)[-1])).design.kind

    def named(self, design: str) -> str:
        """The name of a design that exists; AskedWrongly offers the nearest."""
        if design in self.designs:
            return design
        near = nearest(design, self.designs)
        known = ", ".join(self.designs) or "none yet"
        mend = f"did you mean {near}?" if near else "make one with: lineage add robot NAME"
        raise AskedWrongly(f"there is no design {design!r}", f"one of: {known}", mend)

    # --- builds ------------------------------------------------------------------------------------------

    def labels(self, design: str) -> tuple[str, ...]:
        """Labels of a design's builds, in order."""
        if design not in self._labels:
            self._labels[design] = tuple(record.label for record in self._chain(design))
        return self._labels[design]

    def _chain(self, design: str) -> tuple[BuildRecord, ...]:
        """Records of a design's builds; one that cannot be read is told by `check`, the others stand."""
        records = []
        for label in build_labels(self.tree, design):
            with suppress(BadInput):
                records.append(self.record_of(BuildRef(design, label)))
        return in_chain_order(records)

    def record_of(self, ref: BuildRef) -> BuildRecord:
        """What a build's record says, its copies not read."""
        if ref not in self._records:
            self._records[ref] = read_record(self.tree, ref.design, ref.label, self.reader.build)
        return self._records[ref]

    def last(self, design: str) -> BuildRef | None:
        """The last build of a design."""
        labels = self.labels(design)
        return BuildRef(design, labels[-1]) if labels else None

    def record_of_known(self, ref: BuildRef) -> BuildRecord:
        """What a build's record says; AskedWrongly offers what there is where there is no such build."""
        labels = self.labels(ref.design)
        if ref.label not in labels:
            near = nearest(ref.label, labels)
            known = ", ".join(labels) or "none yet"
            mend = (
                f"did you mean {ref.design}@{near}?"
                if near
                else f"lineage record {ref.design} LABEL makes one"
            )
            raise AskedWrongly(f"there is no build {ref}", f"one of: {known}", mend)
        return self.record_of(ref)

    def recorded(self, ref: BuildRef) -> Build:
        """A recorded build: its record and its copies."""
        if ref not in self._recorded:
            self.record_of_known(ref)
            self._recorded[ref] = read_build_files(self.tree, ref.design, ref.label, self.reader.build)
        return self._recorded[ref]

    def same_as(self, design: str) -> BuildRef | None:
        """The last build, where the working files still say just that; None where they differ.

        Comments, the order of keys and what others of the family changed in family.yaml make no difference.
        """
        last = self.last(design)
        if last is None or not self.designs.get(self.named(design)):
            return last
        try:
            now, then = self.spec(BuildRef(design, NOW)), self.spec(last)
        except BadInput:  # a build that was changed is told by `check`; the working files still stand
            return None
        record = self.record_of(last)
        if all(self.tree.content_id(path) == known for path, known in record.files.items()):
            return last
        pairing = pair_builds(then, now, {})
        files = {
            path: known for path in now.design.files if (known := self.tree.content_id(path)) is not None
        }
        return None if differences(then, now, pairing, (record.files, files)).changes else last

    # --- specs and assemblies ----------------------------------------------------------------------------

    def spec(self, ref: BuildRef) -> Spec:
        """One state of a design, checked. Raises BadInput with everything that is wrong in it.

        The links of a recorded build were checked when it was recorded, and its ids say that it still is that.
        """
        if ref not in self._specs:
            spec, problems = self.loaded(ref) if ref.label == NOW else self._from_build(ref)
            errors = [problem for problem in problems if problem.level == "error"]
            if spec is None or errors:
                raise BadInput(with_sources(self.tree, errors or problems))
            self._specs[ref] = spec
        return self._specs[ref]

    def loaded(self, ref: BuildRef) -> tuple[Spec | None, tuple[Problem, ...]]:
        """A spec as far as it can be read, and all that is wrong with it."""
        spec, problems = self._working(ref) if ref.label == NOW else self._from_build(ref)
        if spec is None:
            return None, problems
        from lineage.spec.links import check_links  # noqa: PLC0415 - recorded builds were checked before

        links = check_links(spec, self._lookup_or_none, MATERIALS.keys(), known_designs=self.designs)
        return spec, (*problems, *links)

    def _working(self, ref: BuildRef) -> tuple[Spec | None, tuple[Problem, ...]]:
        path = self.designs[self.named(ref.design)]
        if not path:
            raise AskedWrongly(
                f"{ref.design} has builds and no working file",
                "robots/NAME.yaml or modules/NAME.yaml",
                f"ask for a build: {ref.design}@{self.labels(ref.design)[-1]}",
            )
        design, problems = self.reader.design(self.tree.read(path) or b"", path, kind_of(path), ref.design)
        if design is None:
            return None, problems
        drawings, missing = self._drawings(design, path)
        spec = Spec(
            ref=ref,
            design=design,
            family=self.todays_family,
            family_id=self.family_id,
            file=path,
            drawings=drawings,
        )
        return spec, (*problems, *missing)

    def _drawings(self, design: Design, file: str) -> tuple[dict[str, str], tuple[Problem, ...]]:
        found: dict[str, str] = {}
        missing = []
        for path, part in parts_of(design):
            outline = part.outline
            if outline is None:
                continue
            known = self.tree.content_id(outline)
            if known is not None:
                found[outline] = known
                continue
            drawings = [name for name in self.tree.files("plates") if name.endswith(".dxf")]
            near = nearest(outline, drawings)
            missing.append(
                Problem(
                    place=design.places.get((*path, "outline"), Place(file, 1, 1)),
                    code="drawing.missing",
                    what=f"the drawing {outline} is not there",
                    wanted="a DXF file of the family",
                    mend=f"did you mean {near}?" if near else f"save the drawing as {outline}",
                )
            )
        return found, tuple(missing)

    def _from_build(self, ref: BuildRef) -> tuple[Spec | None, tuple[Problem, ...]]:
        build = self.recorded(ref)
        folder = f"builds/{ref.design}/{ref.label}"
        file = f"{folder}/spec.yaml"
        design, problems = self.reader.design(build.spec, file, kind_of(build.spec_path), ref.design)
        if design is None:
            return None, problems
        spec = Spec(
            ref=ref,
            design=design,
            family=self.family_from(build.family, f"{folder}/family.yaml"),
            family_id=build.record.files["family.yaml"],
            id=build.record.id,
            file=file,
            drawings=build.record.files,
        )
        return spec, problems

    def lookup(self, ref: BuildRef) -> Spec:
        """A module that is used, checked; BadInput at its record where the build that others name is gone."""
        if ref.label != NOW:
            self.record_of(ref)
        return self.spec(ref)

    def _lookup_or_none(self, ref: BuildRef) -> Spec | None:
        if ref.design not in self.designs or (ref.label != NOW and ref.label not in self.labels(ref.design)):
            return None
        if ref in self._specs:
            return self._specs[ref]
        spec, _ = self._working(ref) if ref.label == NOW else self._from_build(ref)
        return spec

    def assembly(self, ref: BuildRef, choices: Mapping[str, str] | None = None) -> Assembly:
        """Every thing of a design with its choices laid over what is fitted."""
        spec = self.spec(ref)
        self._check_choices(spec, choices or {})
        key = (ref, tuple(sorted((choices or {}).items())))
        if key not in self._assemblies:
            self._assemblies[key] = assemble(spec, self.lookup, choices)
        return self._assemblies[key]

    def _check_choices(self, spec: Spec, choices: Mapping[str, str]) -> None:
        options = spec.design.options
        for option, choice in choices.items():
            if option not in options:
                known = ", ".join(options) or "none"
                raise AskedWrongly(f"{spec.ref} has no option {option!r}", f"one of: {known}")
            if choice not in options[option]:
                raise AskedWrongly(
                    f"{spec.ref} has no choice {choice!r} of {option}",
                    f"one of: {', '.join(options[option])}",
                )

    # --- logs, events, lessons ---------------------------------------------------------------------------

    @cached_property
    def events(self) -> Mapping[str, Event]:
        """Events by name, in the order of their days; one that cannot be read is left out, and that is said."""
        found = self._each("events", self.reader.event)
        return {event.name: event for event in sorted(found, key=lambda e: (e.first_day, e.name))}

    @cached_property
    def lessons(self) -> Mapping[str, Lesson]:
        """Lessons by name; one that cannot be read is left out, and that is said."""
        return {lesson.name: lesson for lesson in self._each("lessons", self.reader.lesson)}

    def _each(self, folder: str, read: Callable[[bytes, str, str], T]) -> Iterator[T]:
        for path in self.tree.files(folder):
            if path.endswith(".yaml"):
                try:
                    yield read(self.tree.read(path) or b"", path, stem(path))
                except BadInput as error:
                    self._leave_out(path, error)

    def bouts(self, event: str) -> tuple[Bout, ...]:
        """The bouts logged at one event, corrections made; none while nobody can tell who went with what."""
        if event not in self.events and f"events/{event}.yaml" in self.left_out:
            return ()
        path = f"bouts/{event}.yaml"
        return self._entries(path, self.reader.bouts(self.tree.read(path) or b"", path, event))

    @cached_property
    def bout_events(self) -> tuple[str, ...]:
        """Names of the files that bouts were logged in."""
        return tuple(stem(path) for path in self.tree.files("bouts") if path.endswith(".yaml"))

    def results(self, design: str) -> tuple[Result, ...]:
        """The results of a design, corrections made."""
        path = f"results/{design}.yaml"
        return self._entries(path, self.reader.results(self.tree.read(path) or b"", path, design))

    def _entries(self, path: str, log: Entries[T]) -> tuple[T, ...]:
        """The entries of a log; of those that cannot be read it is said that an answer does without them."""
        errors = tuple(problem for problem in log.problems if problem.level == "error")
        if errors and path not in self.left_out:
            self._leave_out(path, BadInput(errors))
        return log.entries


def kind_of(path: str) -> Literal["robot", "module"]:
    """What a spec at `robots/…` or `modules/…` is of."""
    return "robot" if path.startswith("robots/") else "module"


def stem(path: str) -> str:
    """`events/2024-05-01-name.yaml` → `2024-05-01-name`."""
    return path.rpartition("/")[2].removesuffix(".yaml")


def open_family(folder: str | Path = ".") -> Workspace:
    """The family in a folder or above it, as its files are now."""
    root = find_family(Path(folder))
    return Workspace(WorkingTree(root), root)


def at_revision(workspace: Workspace, revision: str) -> Workspace:
    """The family as it stood in a commit."""
    from lineage.archive.git import find_repository  # noqa: PLC0415 - git only where it is needed
    from lineage.archive.revision_tree import RevisionTree  # noqa: PLC0415 - likewise

    repository = find_repository(workspace.root)
    return Workspace(RevisionTree(repository, revision), workspace.root)
