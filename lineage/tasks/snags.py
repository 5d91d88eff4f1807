"""Snags by kind over the whole family: which keep coming back, what they cost, what they taught."""

from collections.abc import Iterator, Sequence

from lineage.evidence.bouts import same_mode
from lineage.reports.views.family import SnagKindView
from lineage.spec.records import Lesson, Snag
from lineage.tasks.running import build_of_result
from lineage.tasks.workspace import Workspace


def snag_kinds(workspace: Workspace) -> tuple[SnagKindView, ...]:
    """Every mode of snag; first what was met in most builds, then what cost most time, then what was met most often.

    A snag whose build is not certain counts and is of no build. Hours are the sum of those typed.
    """
    groups: dict[str, list[tuple[Snag, str | None]]] = {}
    for design in workspace.designs:
        for result in workspace.results(design):
            if isinstance(result, Snag):
                made = build_of_result(workspace, result)
                build = f"{design}@{made.label}" if made.is_certain and made.label is not None else None
                groups.setdefault(same_mode(result.mode), []).append((result, build))
    kinds = [_kind(workspace, mode, group) for mode, group in groups.items()]
    return tuple(sorted(kinds, key=lambda k: (-len(k.builds), -(k.cost_s or 0.0), -k.count, k.mode)))


def _kind(workspace: Workspace, mode: str, group: Sequence[tuple[Snag, str | None]]) -> SnagKindView:
    snags = [snag for snag, _ in group]
    times = [snag.took.value for snag in snags if snag.took is not None]
    return SnagKindView(
        mode=snags[0].mode,
        count=len(snags),
        during=tuple(dict.fromkeys(snag.during for snag in snags)),
        designs=tuple(dict.fromkeys(snag.design for snag in snags)),
        builds=tuple(dict.fromkeys(build for _, build in group if build is not None)),
        cost_s=sum(times) if times else None,
        not_timed=len(snags) - len(times),
        lessons=tuple(lesson.name for lesson in workspace.lessons.values() if mode in set(_modes(lesson))),
    )


def _modes(lesson: Lesson) -> Iterator[str]:
    """Modes of the snags that a lesson is from."""
    for source in lesson.from_:
        if source.snag is not None:
            yield from (same_mode(mode) for mode in (source.mode, lesson.mode) if mode is not None)
