"""What the counts say of every change: one answer wherever it is seen, pooled over robots with the same step."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from lineage.changes.ops import Change
from lineage.evidence.bouts import RobotBout
from lineage.evidence.circumstances import circumstances, said_of
from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.sentences import sentence_for_counts
from lineage.evidence.verdicts import Judged, Verdict, judge_counts, to_settle, verdict_of_counts
from lineage.evidence.windows import Side, Step, Touched, counted, window
from lineage.problems import LineageError
from lineage.spec.assembly import places_around
from lineage.spec.records import BuildRef
from lineage.tasks.moves import Move, Moves
from lineage.tasks.running import all_bouts
from lineage.tasks.steps import ChangedStep, ModuleStep, Steps, module_step, with_head
from lineage.tasks.workspace import Workspace
from lineage.values.formatting import count_of


class Evidence(Struct, frozen=True, kw_only=True):
    """What failures say of one change. `designs` names the strata; `others` are changes of the same things."""

    judged: Judged
    designs: tuple[str, ...]
    others: tuple[str, ...]
    to_settle: int | None
    text: str
    circumstances: tuple[str, ...] = ()
    after_bad_run: tuple[str, ...] = ()


Sides = tuple[Sequence[RobotBout], Sequence[RobotBout]]  # before and after
Line = tuple[Sequence[Step], int, int]  # steps of a design, and the first and last of them that are meant


class Refit(Struct, frozen=True):
    """An option of a robot that went from one choice to another."""

    option: str
    before: str
    after: str


class OneRobot(Struct, frozen=True, kw_only=True):
    """One robot's counts on both sides of a change, and the bouts that they are of.

    `changed_in` is the build that made the change, `left_out` a word on bouts that are on neither side, `others` what
    else this robot changed in the same steps at the same things.
    """

    design: str
    before: Side
    after: Side
    sides: Sides = ((), ())
    touched: Touched
    changed_in: str | None = None
    refit: Refit | None = None
    left_out: tuple[str, ...] = ()
    others: tuple[str, ...] = ()

    @property
    def stratum(self) -> Stratum:
        """Its counts as a stratum."""
        return Stratum(
            Counts(self.before.failures, self.before.exposure),
            Counts(self.after.failures, self.after.exposure),
        )

    @property
    def has_failures(self) -> bool:
        """Whether anything failed on either side."""
        return bool(self.before.failures or self.after.failures)


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
        self._failed: dict[str, set[str]] = {}
        self._lines: dict[str, Sequence[Step]] = {}
        self.moves = Moves(self.steps)

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
        robots = self._robots(change, step)
        return self._answer(robots, step, change, step.touched[change.id]) if robots else None

    def verdict_of_change(self, change: Change, step: ChangedStep) -> Verdict | None:
        """The verdict alone."""
        robots = self._robots(change, step)
        if not any(robot.has_failures for robot in robots):
            return None
        return verdict_of_counts([r.stratum for r in robots], [r.after.unmatched for r in robots])

    def _robots(self, change: Change, step: ChangedStep) -> tuple[OneRobot, ...]:
        touched = step.touched.get(change.id)
        if touched is None or step.is_described_better(change):
            return ()
        moved = module_step(change) or self._own_step_of_module(step)
        if moved is None:
            return tuple(self._own(step, touched, change))
        return tuple(self._strata_of_module(moved, touched, step, change))

    def of_module_step(self, before: BuildRef, after: BuildRef) -> Evidence | None:
        """What failures say of a whole step of a module, over all robots that made it; None where nothing failed."""
        step = self.steps.between(before, after)
        touched = Touched(refs=self.steps.inner(before, after))
        robots = tuple(self._strata_of_module(ModuleStep("", before, after), touched, step, None))
        return self._answer(robots, step, None, touched) if touched.refs else None

    # --- strata ------------------------------------------------------------------------------------------

    def _own(self, step: ChangedStep, touched: Touched, change: Change | None) -> Iterator[OneRobot]:
        line = self._line(step) if self._ever_failed(step.design, touched) else None
        if line is not None:
            yield self._one(step.design, line, touched, _refit(change))

    def _steps(self, design: str) -> Sequence[Step]:
        """The steps of a design as windows see them."""
        if design not in self._lines:
            self._lines[design] = [step.as_step for step in self.steps.of(design)]
        return self._lines[design]

    def _line(self, step: ChangedStep) -> Line | None:
        """The steps of a design up to and after this one, and where in them it lies."""
        line = self._steps(step.design)
        first = next((at for at, other in enumerate(line) if other.before == step.before), None)
        last = next((at for at, other in enumerate(line) if other.after == step.after), None)
        if first is not None and last is not None and first <= last:
            return line, first, last
        if (
            first is not None
        ):  # to what is no later build of the line: what came after the first is another line
            return [*line[:first], step.as_step], first, first
        if not line or line[-1].after == step.before:
            return [*line, step.as_step], len(line), len(line)
        return None

    def _one(self, design: str, line: Line, touched: Touched, refit: Refit | None = None) -> OneRobot:
        steps, first, last = line
        first, last = _narrowed(steps, first, last, touched)
        windows = window(steps, first, touched, last)

        def is_in(bout: RobotBout) -> bool:
            return self.is_in(bout, touched)

        sides: Sides = self.exposed(design, windows.before, is_in), self.exposed(design, windows.after, is_in)
        left_out: tuple[str, ...] = ()
        if refit is not None:
            sides, left_out = _with_choices(sides, refit)
        return replace(
            counted_robot(design, sides, touched, steps[first].after), refit=refit, left_out=left_out
        )

    def exposed(
        self, design: str, labels: Sequence[str], is_in: Callable[[RobotBout], bool]
    ) -> tuple[RobotBout, ...]:
        """The robot-bouts of some builds of a robot that put things to the test."""
        by_label = self._by_label.get(design, {})
        groups = [group for label in dict.fromkeys(labels) for group in by_label.get(label, ())]
        return tuple(bout for group in groups if is_in(group[0]) for bout in group)

    @cached_property
    def _by_label(self) -> Mapping[str, Mapping[str, Sequence[Sequence[RobotBout]]]]:
        """Robot-bouts that are exposure by robot and build, those with the same choices together."""
        found: dict[str, dict[str, dict[object, list[RobotBout]]]] = {}
        for robot, bouts in self.bouts.items():
            for bout in bouts:
                if bout.is_exposure:
                    by_label = found.setdefault(robot, {}).setdefault(str(bout.label), {})
                    by_label.setdefault(tuple(sorted(bout.fitted.items())), []).append(bout)
        return {
            robot: {label: tuple(groups.values()) for label, groups in by_label.items()}
            for robot, by_label in found.items()
        }

    def _ever_failed(self, robot: str, touched: Touched) -> bool:
        """Whether anything that a change answers for ever failed in a robot; modes left aside."""
        if robot not in self._failed:
            things = {
                ref for b in self.bouts.get(robot, ()) for f in b.failures if f.counts for ref in f.things
            }
            self._failed[robot] = things.union(*map(places_around, things))
        return not touched.refs or not touched.refs.isdisjoint(self._failed[robot])

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

    def _strata_of_module(
        self, moved: ModuleStep, touched: Touched, step: ChangedStep, change: Change | None
    ) -> Iterator[OneRobot]:
        """Every robot that went from exactly that build to that one, at whichever places, in one step or more."""
        place = with_head(moved.place, self.steps.last_names(step.design, step.after))
        start = f"{place}." if place else ""
        meant = frozenset(ref.removeprefix(start) for ref in touched.refs if ref.startswith(start))
        moves = self.moves.of(moved.before, moved.after) if meant or not touched.refs else {}
        made = {design: self._made(design, found) for design, found in moves.items()}
        if step.design not in made and moved.place and (line := self._line(step)) is not None:
            # a step that is not recorded yet, or to a state of another line, is none of the design's own
            made[step.design] = line, frozenset(self.moves.places_in(step, moved.before, moved.after))
        for design in self.workspace.designs:
            if design in made and design in self.bouts:
                line, places = made[design]
                refs = frozenset(f"{at}.{ref}" for at in places for ref in meant)
                one = self._one(design, line, Touched(refs=refs, modes=touched.modes))
                if design != step.design and one.has_failures:
                    one = replace(one, others=self._others_in(design, line, moved, refs))
                yield one
        if step.design not in made or step.design not in self.bouts:
            yield from self._own(step, touched, change)

    def _made(self, design: str, found: Sequence[Move]) -> tuple[Line, frozenset[str]]:
        """From the first to the last step that made some moves, and their places."""
        first, last = min(move.first for move in found), max(move.last for move in found)
        return (self._steps(design), first, last), frozenset(move.place for move in found)

    def _own_step_of_module(self, step: ChangedStep) -> ModuleStep | None:
        """A step of a module as the robots that have it see it; a robot's own is none."""
        if step.design in self.bouts:
            return None
        return ModuleStep("", BuildRef(step.design, step.before), BuildRef(step.design, step.after))

    # --- the answer --------------------------------------------------------------------------------------

    def _answer(
        self, robots: Sequence[OneRobot], step: ChangedStep, change: Change | None, touched: Touched
    ) -> Evidence | None:
        if not any(robot.has_failures for robot in robots):
            return None
        whole = [robot for robot in robots if robot.stratum.has_both_sides]
        strata = [robot.stratum for robot in robots]
        unmatched = [robot.after.unmatched for robot in robots]
        judged = judge_counts(strata, unmatched)
        others = [] if change is None else self._others(step, change, touched)
        own = next((at for at, robot in enumerate(robots) if robot.design == step.design), None)
        is_robot = step.design in self.bouts
        elsewhere = [f"{robot.design}: {text}" for robot in whole for text in robot.others]
        beside = beside_it(whole or robots)
        bad_run = tuple(self.after_bad_run(whole or robots))
        return Evidence(
            judged=judged,
            designs=tuple(robot.design for robot in whole),
            others=tuple(other.id for other in others),
            to_settle=to_settle(strata, own, unmatched) if own is not None and is_robot else None,
            circumstances=beside,
            after_bad_run=bad_run,
            text=sentence_for_counts(
                judged,
                designs=tuple(robot.design for robot in whole),
                others=(*(other.text for other in others), *elsewhere),
                circumstances=beside,
                after_bad_run=bad_run,
            ),
        )

    def _others_in(self, design: str, line: Line, moved: ModuleStep, refs: frozenset[str]) -> tuple[str, ...]:
        """What else another robot changed at the things that it moved on, in the same steps."""
        _, first, last = line
        at = Touched(refs=refs)
        return tuple(
            other.text
            for step in self.steps.of(design)[first : last + 1]
            for other in step.changes
            if not step.is_described_better(other)
            and other.id in step.touched
            and at.overlaps(step.touched[other.id].refs)
            and ((move := module_step(other)) is None or move.before.design != moved.before.design)
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

    def after_bad_run(self, robots: Sequence[OneRobot]) -> list[str]:
        """Robots whose thing failed at the last event before the build that changed it."""
        return [robot.design for robot in robots if self._is_after_bad_run(robot)]

    def _is_after_bad_run(self, robot: OneRobot) -> bool:
        if robot.changed_in not in self.workspace.labels(robot.design):
            return False
        on = self.workspace.record_of(BuildRef(robot.design, robot.changed_in)).on
        before = [bout for bout in self.bouts.get(robot.design, ()) if bout.day < on]
        if not before:
            return False
        last = max(before, key=lambda bout: (bout.day, bout.event)).event
        return any(
            f.counts and robot.touched.owns(f) for bout in before if bout.event == last for f in bout.failures
        )


def counted_robot(design: str, sides: Sides, touched: Touched, changed_in: str | None = None) -> OneRobot:
    """A robot's bouts on both sides as counts."""
    before, after = (counted(side, touched) for side in sides)
    return OneRobot(
        design=design, before=before, after=after, sides=sides, touched=touched, changed_in=changed_in
    )


def beside_it(robots: Sequence[OneRobot]) -> tuple[str, ...]:
    """What else was different between the sides, and what is left out of them."""
    differing = [
        (r.design, circumstances(*r.sides, None if r.refit is None else r.refit.option)) for r in robots
    ]
    said = said_of(differing)
    return (*(text for robot in robots for text in robot.left_out), *said)


def _refit(change: Change | None) -> Refit | None:
    """Which choice an option change took out, and which it put in."""
    if change is None or change.kind != "option":
        return None
    fitted = [edit for edit in change.edits if edit.leaf == ("fitted", change.where)]
    if len(fitted) != 1 or not isinstance(fitted[0].before, str) or not isinstance(fitted[0].after, str):
        return None
    return Refit(change.where, fitted[0].before, fitted[0].after)


def _with_choices(sides: Sides, refit: Refit) -> tuple[Sides, tuple[str, ...]]:
    """Bouts before with the choice that was taken out, bouts after with the one put in; a word on the others."""
    before, after = sides
    then = [bout for bout in before if bout.choices.get(refit.option, refit.before) == refit.before]
    now = [bout for bout in after if bout.choices.get(refit.option, refit.after) == refit.after]
    left = len(before) + len(after) - len(then) - len(now)
    if not left:
        return sides, ()
    bouts = count_of(left, "bout with another choice stays", "bouts with another choice stay")
    said = f"{bouts} out: before is with {refit.option} {refit.before}, after with {refit.after}."
    return (then, now), (said,)


def _narrowed(steps: Sequence[Step], first: int, last: int, touched: Touched) -> tuple[int, int]:
    """Of several steps the first and last that touched the things."""
    touching = [at for at in range(first, last + 1) if touched.overlaps(steps[at].touched)]
    return (touching[0], touching[-1]) if touching else (first, last)
