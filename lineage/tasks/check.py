"""Everything that is wrong with the files of a family, all at once."""

import re
from collections.abc import Iterable, Iterator

from lineage.archive.builds import build_labels
from lineage.archive.tree import FAMILY_FILE
from lineage.evidence.bouts import Failure
from lineage.figures.margin import materials_against, size_fits
from lineage.figures.service import rings, ways_in
from lineage.figures.service_times import Timing
from lineage.figures.standards.materials import MATERIALS
from lineage.figures.standards.screws import names_a_screw, parse_screw, screw_mass, sizes_of
from lineage.problems import (
    AskedWrongly,
    BadInput,
    Level,
    LineageError,
    NotNow,
    Place,
    Problem,
    in_order,
    nearest,
)
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.bout_file import counted_bouts, read_bouts
from lineage.spec.event_file import read_event
from lineage.spec.family_file import read_family
from lineage.spec.lesson_file import read_lesson
from lineage.spec.links import check_family
from lineage.spec.log import corrected
from lineage.spec.records import Bout, BuildRef, Result, WeightClass
from lineage.spec.result_file import read_results
from lineage.tasks.amounts import Amounts
from lineage.tasks.check_fit import missed_needs, too_large_for_events
from lineage.tasks.check_names import unknown_names
from lineage.tasks.drawings import drawn_in
from lineage.tasks.grown import renamed_designs
from lineage.tasks.running import all_bouts, build_of, build_of_result, day_of
from lineage.tasks.sources import with_sources
from lineage.tasks.unmatched import Unmatched, unmatched_choices, unmatched_in_result
from lineage.tasks.workspace import NOW, Workspace, stem


def check(workspace: Workspace, *, strict: bool = False) -> tuple[Problem, ...]:
    """All problems of a family, in order of file and place; with `strict` limits and needs that are missed too."""
    checker = _Checker(workspace)
    problems = [*checker.files(), *checker.designs(), *checker.logs()]
    told = {(problem.place.file, problem.code) for problem in problems}
    problems += (problem for problem in checker.history() if (problem.place.file, problem.code) not in told)
    problems += unknown_names(workspace)
    problems += too_large_for_events(workspace)
    problems += renamed_designs(workspace)
    if strict:
        problems += checker.misses("error")
    else:
        problems += checker.misses("warning")
    return with_sources(workspace.tree, in_order(problems))


class _Checker:
    def __init__(self, workspace: Workspace) -> None:
        self.workspace, self.tree = workspace, workspace.tree
        self.amounts = Amounts(workspace)

    def _read(self, path: str) -> bytes:
        return self.tree.read(path) or b""

    # --- files that stand alone --------------------------------------------------------------------------

    def files(self) -> Iterator[Problem]:
        """family.yaml, events and lessons."""
        family = read_family(self._read(FAMILY_FILE), FAMILY_FILE)
        yield from family.problems
        if family.record is not None:
            yield from check_family(family.record, MATERIALS.keys())
        for path in self.tree.files("events"):
            if path.endswith(".yaml"):
                yield from read_event(self._read(path), path, stem(path)).problems
        for path in self.tree.files("lessons"):
            if path.endswith(".yaml"):
                yield from read_lesson(self._read(path), path, stem(path)).problems

    # --- designs and builds ------------------------------------------------------------------------------

    def designs(self) -> Iterator[Problem]:
        """Working files and every build of every design."""
        for design, path in self.workspace.designs.items():
            refs = [BuildRef(design, NOW)] if path else []
            refs += [BuildRef(design, label) for label in build_labels(self.tree, design)]
            for ref in refs:
                yield from self._state(ref)

    def _state(self, ref: BuildRef) -> Iterator[Problem]:
        try:
            if ref.label != NOW:
                self.workspace.record_of(ref)  # a record that cannot be read says why; it counts as no build
            spec, problems = self.workspace.loaded(ref)
        except LineageError as error:
            yield from _as_problems(error, f"builds/{ref.design}/{ref.label}/build.yaml")
            return
        yield from problems
        if ref.label != NOW:
            yield from self.workspace.recorded(ref).warnings
        if spec is None or any(problem.level == "error" for problem in problems):
            return
        try:
            assembly = self.workspace.assembly(ref)
            drawn = drawn_in(self.workspace, assembly)
        except LineageError as error:
            yield from _as_problems(error, spec.file)
            return
        if ref.label == NOW:
            yield from (warning for found in drawn.values() for warning in found.warnings)
            yield from self._of_assembly(assembly)

    def _of_assembly(self, assembly: Assembly) -> Iterator[Problem]:
        yield from _ring_problems(assembly, self.workspace)
        yield from _laser_problems(assembly)
        yield from _screw_problems(assembly)
        weight_class = assembly.spec.family.classes.get(assembly.design.class_ or "")
        if weight_class is not None:
            yield from _size_problems(assembly, weight_class)
            for ref in materials_against(assembly, weight_class.materials):
                thing = assembly.things[ref]
                yield _at(
                    thing,
                    "material-against-class",
                    f"{ref} is of a material that {assembly.design.class_} does not allow for {thing.role}",
                    "one of: " + ", ".join(weight_class.materials[thing.role]),
                    "another stock, or another role",
                    level="warning",
                )

    # --- logs --------------------------------------------------------------------------------------------

    def logs(self) -> Iterator[Problem]:
        """Results and bouts: what cannot be read, doubles, uncertain builds, places that nobody knows."""
        for path in self.tree.files("results"):
            if path.endswith(".yaml"):
                log = read_results(self._read(path), path, stem(path))
                yield from log.problems
                yield from corrected(log.entries).problems
        for path in self.tree.files("bouts"):
            if path.endswith(".yaml"):
                bouts = read_bouts(self._read(path), path, stem(path))
                yield from bouts.problems
                yield from counted_bouts(bouts.entries).problems
        try:
            yield from self._uncertain()
            yield from self._unmatched()
        except BadInput:
            return  # what cannot be read was said above; the rest waits for it

    def _uncertain(self) -> Iterator[Problem]:
        workspace = self.workspace
        for event in workspace.bout_events:
            for bout in workspace.bouts(event):
                known = workspace.events.get(event)
                day = known.first_day if known is not None else day_of(event)
                found = build_of(workspace, bout.robot or "", day, bout.build, known)
                if bout.robot not in workspace.designs or _is_module(bout.robot, workspace):
                    yield _unknown_robot(bout, workspace)
                elif not found.is_certain:
                    yield _uncertain(bout.place, f"bout {bout.bout} of {bout.robot}", found.why or "")
        for design in workspace.designs:
            for result in workspace.results(design):
                found = build_of_result(workspace, result)
                if not found.is_certain:
                    yield _uncertain(result.place, "this result", found.why or "")

    def _unmatched(self) -> Iterator[Problem]:
        workspace = self.workspace
        placed = {
            (bout.event, bout.robot, bout.bout): bout
            for e in workspace.bout_events
            for bout in workspace.bouts(e)
        }
        for bout in all_bouts(workspace):
            entry = placed.get((bout.event, bout.robot, bout.bout))
            if bout.label is None or entry is None:
                continue
            unknown = tuple(unmatched_choices(workspace, BuildRef(bout.robot, bout.label), bout.fitted))
            yield from (self._unknown_name(entry, name) for name in unknown)
            for failure in bout.failures:
                if failure.things or unknown:
                    continue
                things = workspace.assembly(BuildRef(bout.robot, bout.label), bout.fitted).things
                yield _unmatched(entry, self._within(entry.place, failure.at), failure, things)
        for design in workspace.designs:
            for result in workspace.results(design):
                label = build_of_result(workspace, result).label
                if label is not None:
                    names = unmatched_in_result(workspace, BuildRef(design, label), result)
                    yield from (self._unknown_name(result, name) for name in names)

    def _unknown_name(self, entry: Bout | Result, name: Unmatched) -> Problem:
        mend = f"{name.mend} " if name.mend.endswith("?") else ""
        return _problem(
            self._found_in(entry.place, name.name),
            "unmatched-name",
            name.what,
            "a name that the build has" if mend or not name.mend else name.mend,
            f"{mend}correct the entry {entry.id} with --instead-of",
            "warning",
        )

    def _found_in(self, place: Place, text: str) -> Place:
        """The place where a text first stands within an entry as a word of its own; else the entry's own."""
        lines = self._read(place.file).decode(errors="replace").split("\n")
        line = lines[place.line - 1] if place.line <= len(lines) else ""
        found = re.search(rf"(?<![\w.-]){re.escape(text)}(?![\w.-])", line)
        return Place(place.file, place.line, found.start() + 1, found.end() + 1) if found else place

    def _within(self, place: Place, text: str) -> Place:
        """The place of a text within an entry, where it stands as typed; else the entry's own."""
        lines = self._read(place.file).decode(errors="replace").split("\n")
        line = lines[place.line - 1] if place.line <= len(lines) else ""
        at = line.find(f"at: {text}")
        at = at + 4 if at >= 0 else line.find(f'"{text}"') + 1
        return Place(place.file, place.line, at + 1, at + 1 + len(text)) if at > 0 else place

    # --- what git can tell -------------------------------------------------------------------------------

    def history(self) -> Iterator[Problem]:
        """Builds and appended lines that are not as they were committed, and labels that a merge stopped at."""
        from lineage.archive.alterations import altered  # noqa: PLC0415 - git only where it is needed
        from lineage.archive.conflicts import label_conflicts  # noqa: PLC0415
        from lineage.archive.git import find_repository  # noqa: PLC0415

        try:
            repository = find_repository(self.workspace.root)
            yield from altered(repository, self.tree)
            for conflict in label_conflicts(repository):
                yield conflict.problem
        except NotNow:
            return  # no repository, no git: then nobody can tell

    # --- limits and needs --------------------------------------------------------------------------------

    def misses(self, level: Level) -> Iterator[Problem]:
        """Working robots over their limit, and fits that miss their need."""
        for design, path in self.workspace.designs.items():
            if not path:
                continue
            ref = BuildRef(design, NOW)
            try:
                yield from self._missed(ref, level)
            except LineageError:
                continue  # said above

    def _missed(self, ref: BuildRef, level: Level) -> Iterator[Problem]:
        from lineage.figures.margin import limit_of, margin_of  # noqa: PLC0415

        spec = self.workspace.spec(ref)
        design, family = spec.design, spec.family
        limit = limit_of(design.class_, family.classes.get(design.class_ or ""), None)
        if limit is not None:
            measured = self.amounts.measured(ref)
            gap = self.amounts.usual_gap(design.class_ or "")
            margin = margin_of(
                limit, self.amounts.weight(ref), measured.mass if measured else None, gap
            ).margin
            if margin is not None and margin.value < 0:
                place = design.places.get(("class",)) or Place(spec.file, 1, 1)
                yield _problem(
                    place, "over-limit", f"{design.name} is {-margin.value:.1f} g over the limit of {design.class_}",
                    f"at most {limit:g} g", f"lineage card {design.name} says what each role may be", level,
                )  # fmt: skip
        yield from missed_needs(spec, self.amounts.fits(ref), level)


def _size_problems(assembly: Assembly, weight_class: WeightClass) -> Iterator[Problem]:
    design = assembly.design
    if (
        design.size is None
        or weight_class.size is None
        or size_fits(design.size, weight_class.size) is not False
    ):
        return
    yield _problem(
        design.places.get(("size",), Place(assembly.spec.file, 1, 1)), "size-against-class",
        f"{design.name} does not go into the size that {design.class_} allows, however it is turned on the floor",
        f"at most {weight_class.size.text}", "make it smaller, or correct `size`", "warning",
    )  # fmt: skip


def _ring_problems(assembly: Assembly, workspace: Workspace) -> Iterator[Problem]:
    found = rings(assembly)
    if not found:
        return
    ways = ways_in(assembly, workspace.family.times, Timing())
    for ring in found:
        thing = assembly.things[ring.refs[0]]
        path = " → ".join((*ring.refs, ring.refs[0]))
        blocked = any(ref in ways and not ways[ref].ways for ref in ring.refs)
        yield _at(
            thing,
            "ring-of-behind",
            f"things wait for each other: {path}",
            "an order in which they come off" if blocked else "ways that do not lead in a circle",
            "take one of them out of `behind`, or give another way under `access`",
            level="error" if blocked else "warning",
        )


def _laser_problems(assembly: Assembly) -> Iterator[Problem]:
    """Chlorinated plastics in a laser give off corrosive, poisonous gas: an error, not a caution."""
    for thing in assembly.parts:
        if thing.stock is None:
            continue
        stock = thing.stock.stock
        how = (thing.part.process or (stock.cut.how if stock.cut else None) or "").lower()
        if "laser" in how and stock.material.startswith("pvc"):
            yield _at(
                thing,
                "pvc-in-laser",
                f"{thing.ref} is PVC, cut by laser: corrosive, poisonous gas",
                "another way of cutting, or another plastic",
                "saw or mill it",
            )


def _screw_problems(assembly: Assembly) -> Iterator[Problem]:
    """Types written like those of the tables that none has: nobody would see why the mass is not known."""
    for thing in assembly.groups:
        group = thing.group
        if group.mass is not None or not names_a_screw(group.type):
            continue
        screw = parse_screw(group.type)
        if screw is not None and screw_mass(screw) is not None:
            continue
        if screw is None:
            what = f"no table has `{group.type}`, so that its mass and turns are not known"
            wanted = (
                f"one of {', '.join(sizes_of('cap'))}, a length, and cap, button or countersunk or a standard"
            )
        else:
            what = f"no table has `{group.type}`, so that its mass is not known"
            wanted = f"a {screw.head} head on one of {', '.join(sizes_of(screw.head))}, longer than that"
        yield _at(
            thing, "unlisted-screw", what, wanted, "write it so, or give `mass` of one", level="warning"
        )


def _at(thing: Thing, code: str, what: str, wanted: str, mend: str, level: str = "error") -> Problem:
    return _problem(thing.at or Place(thing.spec.file, 1, 1), code, what, wanted, mend, level)


def _problem(place: Place, code: str, what: str, wanted: str, mend: str, level: str) -> Problem:
    return Problem(
        place=place,
        code=code,
        what=what,
        wanted=wanted,
        mend=mend,
        level="error" if level == "error" else "warning",
    )


def _uncertain(place: Place, what: str, why: str) -> Problem:
    return _problem(
        place, "uncertain-build", f"the build of {what} is not certain: {why}", "the label of a build",
        "correct it with --instead-of and --build LABEL", "warning",
    )  # fmt: skip


def _is_module(design: str | None, workspace: Workspace) -> bool:
    return (workspace.designs.get(design or "") or "").startswith("modules/")


def _unknown_robot(bout: Bout, workspace: Workspace) -> Problem:
    robots = [design for design in workspace.designs if not _is_module(design, workspace)]
    near = nearest(bout.robot or "", robots)
    return _problem(
        bout.place, "unknown-robot", f"there is no robot {bout.robot!r}", "a robot of the family",
        f"did you mean {near}?" if near else "correct it with --instead-of", "warning",
    )  # fmt: skip


def _unmatched(entry: Bout, place: Place, failure: Failure, known: Iterable[str]) -> Problem:
    near = nearest(failure.at, known)
    return _problem(
        place, "unmatched-damage", f"{entry.robot} has nothing called {failure.at!r}",
        "a thing of the build that was in", f"did you mean {near}? correct the entry {entry.id}" if near
        else f"correct the entry {entry.id} with --instead-of", "warning",
    )  # fmt: skip


def _as_problems(error: LineageError, file: str) -> tuple[Problem, ...]:
    if isinstance(error, BadInput):
        return error.problems
    wanted, mend = (error.wanted, error.mend) if isinstance(error, AskedWrongly) else ("", "")
    what = error.what if isinstance(error, AskedWrongly) else str(error)
    return (_problem(Place(file, 1, 1), "unresolved", what, wanted, mend, "error"),)
