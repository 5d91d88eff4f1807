"""What a new build may be an answer to, and who could take it: said with the line to write, never done by itself."""

from collections.abc import Sequence

from msgspec import Struct

from lineage.problems import BadInput, LineageError
from lineage.reports import said
from lineage.reports.views.compare import ChangeView
from lineage.spec.records import BuildRef, Design, Lesson, Path
from lineage.spec.references import uses_of
from lineage.tasks.judging import judge_of
from lineage.tasks.lesson_states import LessonJudge
from lineage.tasks.pairs import pair
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW, Workspace

_OPEN = ("unanswered", "in next build", "came back", "less often")


class Offer(Struct, frozen=True, kw_only=True):
    """Something to consider, and the lines that would do it, each with its file."""

    text: str
    lines: tuple[str, ...]


def lessons_answered(
    workspace: Workspace, build: BuildRef, changes: Sequence[ChangeView]
) -> tuple[Offer, ...]:
    """Lessons that are still open and about things that were changed, with the line for `done_in`."""
    try:
        judge = LessonJudge(judge_of(workspace))
        return tuple(
            _lesson(judge, lesson, build)
            for lesson in workspace.lessons.values()
            if lesson.dropped is None
            and build not in lesson.done_in
            and (_is_meant(lesson, build) or _is_open(judge, lesson, build, changes))
        )
    except LineageError:
        return ()  # a file that cannot be read is told by `check`; a build can be recorded all the same


def _is_open(judge: LessonJudge, lesson: Lesson, build: BuildRef, changes: Sequence[ChangeView]) -> bool:
    touched = any(_touches(change, lesson, build.design) for change in changes)
    return touched and judge.view(lesson).state in _OPEN


def _is_meant(lesson: Lesson, build: BuildRef) -> bool:
    return BuildRef(build.design, NOW) in lesson.done_in


def _touches(change: ChangeView, lesson: Lesson, design: str) -> bool:
    """Whether a change is at, in or around a thing that a lesson is about."""
    if change.described_better or change.kind == "part renamed":
        return False
    refs = [ref.partition(".")[2] for ref in lesson.about if ref.partition(".")[0] == design]
    return any(_is_near(ref, change.where) for ref in refs)


def _is_near(ref: str, where: str) -> bool:
    return ref == where or ref.startswith(f"{where}.") or where.startswith(f"{ref}.")


def _lesson(judge: LessonJudge, lesson: Lesson, build: BuildRef) -> Offer:
    done = [str(ref) for ref in lesson.done_in if ref != BuildRef(build.design, NOW)]
    view = judge.view(lesson)
    return Offer(
        text=f"lesson {lesson.name} ({view.state}: {lesson.lesson}) may be answered by this",
        lines=(f"lessons/{lesson.name}.yaml: done_in: [{', '.join([*done, str(build)])}]",),
    )


def could_take(workspace: Workspace, now: State, build: BuildRef) -> tuple[Offer, ...]:
    """Designs with an older build of a module, one by one, with the line of each place."""
    if workspace.kind(build.design) != "module":
        return ()
    found = (_of_design(workspace, name, now, build) for name in workspace.designs if name != build.design)
    return tuple(offer for offer in found if offer is not None)


def _of_design(workspace: Workspace, name: str, now: State, build: BuildRef) -> Offer | None:
    if not workspace.designs[name]:
        return None
    try:
        design = workspace.spec(BuildRef(name, NOW)).design
    except BadInput:
        return None  # told by `check`
    older = [
        (path, use)
        for path, use in uses_of(design)
        if use.use.design == build.design and use.use.label not in {NOW, build.label}
    ]
    if not older:
        return None
    has = ", ".join(dict.fromkeys(str(use.use) for _, use in older))
    would = " ".join(f"--with {path[-1]}.use={build}" for path, _ in older)
    return Offer(
        text=f"{name} has {has} and could take {build}{_mass(now, [use.use for _, use in older])}: "
        f"lineage compare {name}@now {name}@now {would}",
        lines=tuple(_line(design, path, build) for path, _ in older),
    )


def _line(design: Design, path: Path, build: BuildRef) -> str:
    """Where a place stands, and what to write there."""
    at = design.places.get((*path, "use"))
    if at is not None:
        return f"{at.file}:{at.line}: use: {build}"
    at = design.places[path]
    return f"{at.file}:{at.line}: {path[-1]}: {build}"


def _mass(now: State, older: Sequence[BuildRef]) -> str:
    """What all places would come to together; nothing where that is not known."""
    change = 0.0
    for ref in older:
        try:
            found = pair(State(now.amounts, ref), now)
        except LineageError:
            return ""
        if found.missing_mass or found.totals.mass_g.change is None:
            return ""
        change += found.totals.mass_g.change
    return f", mass {said.signed_grams(change)} in all"
