"""What the counts say of every change: one answer wherever it is seen, pooled over robots with the same step."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from lineage.changes.ops import Change
from lineage.evidence.bouts import RobotBout
from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.sentences import sentence_for_counts
from lineage.evidence.verdicts import Judged, judge_counts, to_settle
from lineage.evidence.windows import Side, Step, Touched, Window, side, window
from lineage.problems import LineageError
from lineage.spec.records import BuildRef
from lineage.tasks.running import all_bouts
from lineage.tasks.steps import ChangedStep, ModuleStep, Steps, module_step, with_head
from lineage.tasks.workspace import Workspace


class Evidence(Struct, frozen=True, kw_only=True):
    """What failures say of one change. `designs` names the strata; `others` are changes of the same things."""

    judged: Judged
    designs: tuple[str, ...]
    others: tuple[str, ...]
    to_settle: int | None
    text: str


class OneRobot(Struct, frozen=True, kw_only=True):
    """One robot's counts on both sides of a change."""

    design: str
    before: Side
    after: Side

    @property
    def stratum(self) -> Stratum:
        """Its counts as a stratum."""
        return Stratum(
            Counts(self.before.failures, self.before.exposure),
            Counts(self.after.failures, self.after.exposure),
        )


def judge_of(workspace: Workspace) -> "Judge":
    """The one judge of a workspace: what it has read stands as long as the workspace does."""
    judge = workspace.worked_out.setdefault("judge", None) or Judge(workspace)
    workspace.worked_out["judge"] = judge
    assert isinstance(judge, Judge)
    return judge


class Judge:
    """Answers for changes of one workspace."""

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace
        self.steps = Steps(workspace)
        self._in_bouts: dict[tuple[str, str, tuple[tuple[str, str], ...]], frozenset[str]] = {}
        self._in_modules: dict[tuple[BuildRef, BuildRef], ChangedStep | None] = {}

    @cached_property
    def bouts(self) -> Mapping[str, Sequence[RobotBout]]:
        """Every robot's bouts; what failed under the names that things have in the robot's last build."""
        found: dict[str, list[RobotBout]] = {}
        for bout in all_bouts(self.workspace):
            found.setdefault(bout.robot, []).append(self._lasting(bout))
        return found

    def _lasting(self, bout: RobotBout) -> RobotBout:
        names = self.steps.last_names(bout.robot, bout.label or "")
        if not names or not bout.failures:
            return bout
        failures = tuple(
            replace(
                failure,
                things=tuple(with_head(ref, names) for ref in failure.things),
                used={with_head(ref, names): n for ref, n in failure.used.items()},
            )
            for failure in bout.failures
        )
        return replace(bout, failures=failures)

    def of_change(self, change: Change, step: ChangedStep) -> Evidence | None:
        """What failures say of a change in a step between builds; None where nothing failed at its things."""
        touched = step.touched.get(change.id)
        if touched is None or step.is_described_better(change):
            return None
        moved = module_step(change) or self._own_step_of_module(step)
        robots = (
            tuple(self._strata_of_module(moved, touched, step))
            if moved is not None
            else tuple(self._own(step, touched))
        )
        return self._answer(robots, step, change, touched)

    def of_module_step(self, before: BuildRef, after: BuildRef) -> Evidence | None:
        """What failures say of a whole step of a module, over all robots that made it; None where nothing failed."""
        step = self.steps.between(before, after)
        touched = Touched(refs=self.steps.inner(before, after))
        robots = tuple(self._strata_of_module(ModuleStep("", before, after), touched, step))
        return self._answer(robots, step, None, touched) if touched.refs else None

    # --- strata ------------------------------------------------------------------------------------------

    def _own(self, step: ChangedStep, touched: Touched) -> Iterator[OneRobot]:
        steps = self._line(step)
        if steps is not None:
            yield self._one(step.design, steps, touched)

    def _line(self, step: ChangedStep) -> tuple[list[Step], int, int] | None:
        """The steps of a design up to and after this one, and where in them it lies."""
        line = [other.as_step for other in self.steps.of(step.design)]
        firsts = [at for at, other in enumerate(line) if other.before == step.before]
        lasts = [at for at, other in enumerate(line) if other.after == step.after]
        if firsts and lasts and firsts[0] <= lasts[0]:
            return line, firsts[0], lasts[0]
        if (
            firsts
        ):  # to a state that is no later build of the line: what came after the first build is another line
            return [*line[: firsts[0]], step.as_step], firsts[0], firsts[0]
        if not line or line[-1].after == step.before:
            return [*line, step.as_step], len(line), len(line)
        return None

    def _one(self, design: str, line: tuple[list[Step], int, int], touched: Touched) -> OneRobot:
        steps, first, last = line
        first, last = _narrowed(steps, first, last, touched)
        windows = window(steps, first, touched, last)
        return self._counted(design, windows, touched)

    def _counted(self, design: str, windows: Window, touched: Touched) -> OneRobot:
        bouts = self.bouts.get(design, ())

        def is_in(bout: RobotBout) -> bool:
            return self.is_in(bout, touched)

        return OneRobot(
            design=design,
            before=side(bouts, windows.before, touched, is_in),
            after=side(bouts, windows.after, touched, is_in),
        )

    def is_in(self, bout: RobotBout, touched: Touched) -> bool:
        """Whether any of the things was in a bout, with its choices; what is only a mode is everywhere."""
        return not touched.refs or not touched.refs.isdisjoint(self._things_in(bout))

    def _things_in(self, bout: RobotBout) -> frozenset[str]:
        """References of what was in a bout, by the names of the robot's last build."""
        assert bout.label is not None
        key = (bout.robot, bout.label, tuple(sorted(bout.fitted.items())))
        if key not in self._in_bouts:
            names = self.steps.last_names(bout.robot, bout.label)
            try:
                things = self.workspace.assembly(BuildRef(bout.robot, bout.label), bout.fitted).things
            except LineageError:
                things = {}  # a choice or build that cannot be told is told by `check`
            self._in_bouts[key] = frozenset(with_head(ref, names) for ref in things)
        return self._in_bouts[key]

    def _strata_of_module(self, moved: ModuleStep, touched: Touched, step: ChangedStep) -> Iterator[OneRobot]:
        """Every robot that went from exactly that build to that one, at whichever places, in one step or more."""
        place = with_head(moved.place, self.steps.last_names(step.design, step.after))
        start = f"{place}." if place else ""
        meant = frozenset(ref.removeprefix(start) for ref in touched.refs if ref.startswith(start))
        seen = False
        for design in self.workspace.designs if meant or not touched.refs else ():
            found = [(other, self._places(other, moved)) for other in self.steps.of(design)]
            found = [(other, places) for other, places in found if places]
            # a step that is not recorded yet, or goes over several builds, is none of the design's own
            if not found and design == step.design and moved.place:
                found = [(step, self._places(step, moved))]
            lines = [line for other, _ in found if (line := self._line(other)) is not None]
            if not lines or design not in self.bouts:
                continue
            seen = seen or design == step.design
            refs = frozenset(f"{place}.{ref}" for _, places in found for place in places for ref in meant)
            whole = (lines[0][0], lines[0][1], lines[-1][2])
            yield self._one(design, whole, Touched(refs=refs, modes=touched.modes))
        if not seen:
            yield from self._own(step, touched)

    def _own_step_of_module(self, step: ChangedStep) -> ModuleStep | None:
        """A step of a module as the robots that have it see it; a robot's own is none."""
        if step.design in self.bouts:
            return None
        return ModuleStep("", BuildRef(step.design, step.before), BuildRef(step.design, step.after))

    def _places(self, step: ChangedStep, moved: ModuleStep) -> list[str]:
        """Places of a step that made just that move, by the names of the design's last build."""
        names = self.steps.last_names(step.design, step.after)
        return [with_head(place, names) for place in self._places_in(step, moved)]

    def _places_in(self, step: ChangedStep, moved: ModuleStep) -> Iterator[str]:
        """Places that made just that move, those inside modules that moved on for it among them."""
        for other in step.module_steps:
            if (other.before, other.after) == (moved.before, moved.after):
                yield other.place
                continue
            inside = self._inside(other.before, other.after)
            if inside is not None:
                yield from (f"{other.place}.{place}" for place in self._places_in(inside, moved))

    def _inside(self, before: BuildRef, after: BuildRef) -> ChangedStep | None:
        """What changed between two builds of a module."""
        key = (before, after)
        if key not in self._in_modules:
            try:
                self._in_modules[key] = self.steps.between(before, after)
            except LineageError:
                self._in_modules[key] = None  # a build that cannot be read is told by `check`
        return self._in_modules[key]

    # --- the answer --------------------------------------------------------------------------------------

    def _answer(
        self, robots: Sequence[OneRobot], step: ChangedStep, change: Change | None, touched: Touched
    ) -> Evidence | None:
        if not any(robot.before.failures or robot.after.failures for robot in robots):
            return None
        whole = [robot for robot in robots if robot.stratum.has_both_sides]
        strata = [robot.stratum for robot in robots]
        unmatched = [robot.after.unmatched for robot in robots]
        judged = judge_counts(strata, unmatched)
        others = [] if change is None else self._others(step, change, touched)
        own = next((at for at, robot in enumerate(robots) if robot.design == step.design), None)
        is_robot = step.design in self.bouts
        return Evidence(
            judged=judged,
            designs=tuple(robot.design for robot in whole),
            others=tuple(other.id for other in others),
            to_settle=to_settle(strata, own, unmatched) if own is not None and is_robot else None,
            text=sentence_for_counts(
                judged,
                designs=tuple(robot.design for robot in whole),
                others=tuple(other.text for other in others),
                after_bad_run=self._after_bad_run(step, touched),
            ),
        )

    def _others(self, step: ChangedStep, change: Change, touched: Touched) -> list[Change]:
        """Other changes of the same step at the same things; the same module step elsewhere is not another."""
        moved = module_step(change)
        found = []
        for other in step.changes:
            theirs = step.touched.get(other.id)
            is_same = other.id == change.id or step.is_described_better(other)
            if is_same or theirs is None or not touched.overlaps(theirs.refs):
                continue
            elsewhere = module_step(other)
            if moved and elsewhere and (moved.before, moved.after) == (elsewhere.before, elsewhere.after):
                continue
            found.append(other)
        return found

    def _after_bad_run(self, step: ChangedStep, touched: Touched) -> bool:
        """Whether the thing failed at the robot's last event before the change."""
        labels = self.workspace.labels(step.design)
        if step.after not in labels:
            return False
        on = self.workspace.record_of(BuildRef(step.design, step.after)).on
        before = [bout for bout in self.bouts.get(step.design, ()) if bout.day < on]
        if not before:
            return False
        last = max(before, key=lambda bout: (bout.day, bout.event)).event
        return any(
            f.counts and touched.owns(f) for bout in before if bout.event == last for f in bout.failures
        )


def _narrowed(steps: Sequence[Step], first: int, last: int, touched: Touched) -> tuple[int, int]:
    """Of several steps the first and last that touched the things."""
    touching = [at for at in range(first, last + 1) if touched.overlaps(steps[at].touched)]
    return (touching[0], touching[-1]) if touching else (first, last)
