"""Which lessons a build taught, and which it answers."""

from collections.abc import Iterator, Mapping

from lineage.evidence.bouts import same_mode
from lineage.reports.views.history import LearnedView
from lineage.spec.records import BuildRef, Lesson, LessonSource, Snag
from lineage.tasks.judging import judge_of
from lineage.tasks.lesson_states import LessonJudge
from lineage.tasks.running import all_bouts, build_of_result
from lineage.tasks.workspace import Workspace


def learned(workspace: Workspace, design: str) -> Mapping[str, tuple[LearnedView, ...]]:
    """Label → lessons that the build taught, or that it was made to answer.

    A module's build taught what its robot learned of it while the robot carried that build.
    """
    judge = LessonJudge(judge_of(workspace))
    found: dict[str, list[LearnedView]] = {}
    for lesson in workspace.lessons.values():
        taught = set(_taught(workspace, design, lesson))
        answers = set(_answering(workspace, design, lesson))
        for label in workspace.labels(design):
            if label in taught | answers:
                view = LearnedView(
                    lesson=lesson.name,
                    title=lesson.lesson,
                    state=judge.view(lesson).state,
                    answers=label in answers,
                )
                found.setdefault(label, []).append(view)
    return {label: tuple(views) for label, views in found.items()}


def _answering(workspace: Workspace, design: str, lesson: Lesson) -> Iterator[str]:
    """Labels of a design's builds that were made to answer a lesson, or were the first to take a build that does."""
    done = set(map(str, lesson.done_in))
    for label in workspace.labels(design):
        record = workspace.record_of(BuildRef(design, label))
        before = record.before if record.before in workspace.labels(design) else None
        had = set() if before is None else set(workspace.record_of(BuildRef(design, before)).uses)
        if f"{design}@{label}" in done or (before is not None and done & (set(record.uses) - had)):
            yield label


def _taught(workspace: Workspace, design: str, lesson: Lesson) -> Iterator[str]:
    """Labels of a design's builds that taught a lesson."""
    for source in lesson.from_:
        for build in _builds_of(workspace, source):
            if build.design == design:
                yield build.label
            elif any(ref.partition(".")[0] == design for ref in lesson.about):
                uses = workspace.record_of(build).uses
                yield from (
                    label for name, _, label in (use.partition("@") for use in uses) if name == design
                )


def _builds_of(workspace: Workspace, source: LessonSource) -> Iterator[BuildRef]:
    """The builds that were there when something was learned."""
    if source.snag is not None:
        for result in workspace.results(source.snag) if source.snag in workspace.designs else ():
            if isinstance(result, Snag) and result.on == source.on and _is_of_mode(result, source):
                label = build_of_result(workspace, result).label
                if label is not None:
                    yield BuildRef(source.snag, label)
        return
    for bout in all_bouts(workspace):
        is_it = bout.event == source.event and bout.robot == source.robot
        if is_it and bout.label is not None and (not source.bouts or bout.bout in source.bouts):
            yield BuildRef(bout.robot, bout.label)


def _is_of_mode(snag: Snag, source: LessonSource) -> bool:
    return source.mode is None or same_mode(snag.mode) == same_mode(source.mode)
