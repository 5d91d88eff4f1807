"""Which robot-bouts lie before and after a change: from the last change of the same things to the next."""

from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from lineage.evidence.bouts import Failure, RobotBout, same_mode
from lineage.problems import nearest
from lineage.spec.assembly import places_around


class Touched(Struct, frozen=True, kw_only=True, gc=False):
    """What a change is answerable for: failures at these things, in these modes (none named: in any)."""

    refs: frozenset[str]
    modes: frozenset[str] = frozenset()

    def owns(self, failure: Failure) -> bool:
        """Whether a failure is this change's to answer for."""
        if self.modes and same_mode(failure.mode) not in self.modes:
            return False
        return self._is_at(failure)

    def may_own(self, failure: Failure) -> bool:
        """Whether a failure that it does not own may be its own for all that: at a place that nobody knows, or in a
        mode that is hardly another word."""
        if not failure.things:
            return True
        mode = same_mode(failure.mode)
        return mode not in self.modes and nearest(mode, self.modes) is not None and self._is_at(failure)

    def _is_at(self, failure: Failure) -> bool:
        return not self.refs or any(
            thing in self.refs or not self.refs.isdisjoint(places_around(thing)) for thing in failure.things
        )

    def overlaps(self, others: Iterable[str]) -> bool:
        """Whether any of these things is one of its own, in one, or around one."""
        theirs = frozenset(others)
        return (
            not self.refs.isdisjoint(theirs)
            or any(not theirs.isdisjoint(places_around(own)) for own in self.refs)
            or any(not self.refs.isdisjoint(places_around(other)) for other in theirs)
        )


class Step(Struct, frozen=True, kw_only=True):
    """From one build to the next: which things it touched (what is only described better left out)."""

    before: str
    after: str
    touched: frozenset[str]


class Window(Struct, frozen=True, kw_only=True):
    """Labels of the builds before and after a change, in order."""

    before: tuple[str, ...]
    after: tuple[str, ...]


def window(steps: Sequence[Step], first: int, touched: Touched, last: int | None = None) -> Window:
    """The builds before and after the change in step `first` (to `last`, where it took several steps).

    Before: from the last earlier step that touched the same things up to this one; after: from this one up to
    the next that does.
    """
    last = first if last is None else last
    start = first
    while start > 0 and not touched.overlaps(steps[start - 1].touched):
        start -= 1
    end = last
    while end + 1 < len(steps) and not touched.overlaps(steps[end + 1].touched):
        end += 1
    return Window(
        before=tuple(step.before for step in steps[start : first + 1]),
        after=tuple(step.after for step in steps[last : end + 1]),
    )


class Side(Struct, frozen=True, kw_only=True, gc=False):
    """Counts on one side: robot-bouts, those with an owned failure, those with only one that may be its own."""

    failures: int
    exposure: int
    unmatched: int


def exposed(
    bouts: Iterable[RobotBout], labels: Iterable[str], is_in: Callable[[RobotBout], bool]
) -> tuple[RobotBout, ...]:
    """The robot-bouts of some builds of one robot that put things to the test.

    `is_in` says of a robot-bout whether the things were in it, with its choices: exposure is only while they were.
    """
    wanted = frozenset(labels)
    return tuple(bout for bout in bouts if bout.label in wanted and bout.is_exposure and is_in(bout))


def counted(bouts: Iterable[RobotBout], touched: Touched) -> Side:
    """What failed in some robot-bouts that a change answers for."""
    failures = exposure = unmatched = 0
    for bout in bouts:
        exposure += 1
        found = [failure for failure in bout.failures if failure.counts]
        if any(failure.things and touched.owns(failure) for failure in found):
            failures += 1
        elif any(touched.may_own(failure) for failure in found):
            unmatched += 1
    return Side(failures=failures, exposure=exposure, unmatched=unmatched)


def side(
    bouts: Iterable[RobotBout], labels: Iterable[str], touched: Touched, is_in: Callable[[RobotBout], bool]
) -> Side:
    """Counts over the robot-bouts of some builds of one robot while the things were in."""
    return counted(exposed(bouts, labels, is_in), touched)
