"""The report after an event: what broke, what it cost, what to do first, what to pack."""

from collections.abc import Iterator, Sequence
from typing import Any

from lineage.evidence.bouts import Failure, RobotBout, Tally, same_mode, tallied, unmatched_bouts
from lineage.figures.margin import limit_of
from lineage.figures.weighings import weighed_ref
from lineage.problems import LineageError
from lineage.reports.views import lessons as views
from lineage.reports.views.card import SnagView
from lineage.reports.views.cautions import OVER_ALL, cautions_for
from lineage.reports.views.compare import ChangeView
from lineage.spec.records import BuildRef, Event, Snag, Weighing
from lineage.tasks.amounts import amounts_of
from lineage.tasks.card import snag_views
from lineage.tasks.judging import judge_of
from lineage.tasks.lesson_states import LessonJudge, refs_of
from lineage.tasks.packing import Packer
from lineage.tasks.pairs import pair
from lineage.tasks.states import State
from lineage.tasks.workspace import Workspace
from lineage.values.formatting import count_of


def lessons(workspace: Workspace, event: Event) -> views.Lessons:
    """Everything that an event taught."""
    return _Report(workspace, event).view()


class _Report:
    def __init__(self, workspace: Workspace, event: Event) -> None:
        self.workspace, self.event = workspace, event
        self.amounts = amounts_of(workspace)
        self.judge = judge_of(workspace)
        self.states = LessonJudge(self.judge)
        names = list(workspace.events)
        at = names.index(event.name)
        self.before = names[:at]
        self.previous = workspace.events[names[at - 1]] if at else None
        fought = (
            robot for robot, bouts in self.judge.bouts.items() if any(b.event == event.name for b in bouts)
        )
        self.robots = tuple(dict.fromkeys([*event.entries, *fought]))

    def bouts(self, robot: str) -> list[RobotBout]:
        """A robot's bouts at the event."""
        return [bout for bout in self.judge.bouts.get(robot, ()) if bout.event == self.event.name]

    def earlier(self, robot: str) -> list[RobotBout]:
        """A robot's bouts at earlier events."""
        return [bout for bout in self.judge.bouts.get(robot, ()) if bout.event in self.before]

    def view(self) -> views.Lessons:
        """The whole report."""
        broke = tuple(self._broke())
        found = tuple(self.states.view(lesson, self.event.name) for lesson in self.workspace.lessons.values())
        packer = Packer(self.judge)
        return views.Lessons(
            event=self.event.name,
            on=str(self.event.first_day),
            title=self.event.title,
            entries=tuple(self._entry(robot) for robot in self.robots),
            broke=broke,
            time=self._time(),
            changes=tuple(self._changes()),
            snags=tuple(self._snags()),
            lessons=found,
            first=tuple(self._first(broke, found)),
            pit_left=tuple(self._pit_left()),
            pit_notes=tuple(self._pit_notes()),
            packing={robot: packer.box(robot, len(self.bouts(robot)) or 1) for robot in self.robots},
            cautions=self._cautions(),
            said=tuple(self._said()),
        )

    # --- entries -----------------------------------------------------------------------------------------

    def _build(self, robot: str) -> str | None:
        """The build at the event: the entry's, else that of its bouts."""
        entry = self.event.entries.get(robot)
        if entry is not None and entry.build is not None:
            return entry.build
        return next((bout.label for bout in self.bouts(robot) if bout.label is not None), None)

    def _entry(self, robot: str) -> views.EntryView:
        bouts = self.bouts(robot)
        outcomes = [bout.outcome for bout in bouts]
        weighed = self._weighed(robot)
        limit = self._limit(robot)
        return views.EntryView(
            robot=robot,
            build=self._build(robot),
            weighed_g=weighed,
            margin_g=None if weighed is None or limit is None else limit - weighed,
            bouts=len(bouts),
            won=outcomes.count("won"),
            lost=outcomes.count("lost"),
            drawn=outcomes.count("drawn"),
            lost_because=tuple(text for bout in bouts if bout.outcome == "lost" for text in bout.because),
        )

    def _weighed(self, robot: str) -> float | None:
        """The latest whole weighing that names the event."""
        if robot not in self.workspace.designs:
            return None
        found = [
            known.weighing
            for known in self.amounts.weighings(robot)
            if known.weighing.event == self.event.name and weighed_ref(known) == ""
        ]
        return _mean(found[-1]) if found else None

    def _limit(self, robot: str) -> float | None:
        label = self._build(robot)
        if label is None or label not in self.workspace.labels(robot):
            return None
        spec = self.workspace.spec(BuildRef(robot, label))
        entry = self.event.entries.get(robot)
        name = (entry.class_ if entry is not None else None) or spec.design.class_
        return limit_of(name, spec.family.classes.get(name or ""), self.event)

    # --- what broke --------------------------------------------------------------------------------------

    def _broke(self) -> Iterator[views.BrokeView]:
        rows = [(robot, tally) for robot in self.robots for tally in tallied(self.bouts(robot))]
        rows.sort(key=lambda row: _cost(row[1]), reverse=True)
        for rank, (robot, tally) in enumerate(rows, 1):
            yield views.BrokeView(
                robot=robot,
                at=tally.at,
                mode=tally.mode,
                severity=tally.severity,
                count=tally.failures or tally.listed,
                cost_s=tally.cost_s,
                cost_bout=tally.cost_bouts,
                **self._before(robot, tally),
                rank=rank,
                took_s=tuple(f.took_s for f in self._same(self.bouts(robot), tally) if f.took_s is not None),
            )

    def _before(self, robot: str, tally: Tally) -> dict[str, Any]:
        """The same robot, thing and mode at all earlier events: robot-bouts, those it cost, seconds typed."""
        bouts = [found for bout in self.earlier(robot) if (found := tuple(self._same([bout], tally)))]
        times = [f.took_s for found in bouts for f in found if f.took_s is not None]
        return {
            "seen_before": len(bouts),
            "cost_bout_before": sum(any(f.cost_bout for f in found) for found in bouts),
            "cost_s_before": sum(times) if times else None,
        }

    def _same(self, bouts: Sequence[RobotBout], tally: Tally) -> Iterator[Failure]:
        """Damage of one thing and mode, what was only found left out."""
        mode = same_mode(tally.mode)
        for bout in bouts:
            yield from (
                f for f in bout.failures if f.at == tally.at and same_mode(f.mode) == mode and not f.was_found
            )

    def _first(
        self, broke: Sequence[views.BrokeView], found: Sequence[views.LessonView]
    ) -> Iterator[views.FirstView]:
        """Things that broke and are not answered by a lesson that holds; the dearest first."""
        holding = [lesson for lesson in found if lesson.state == "holding"]
        for row in broke:
            if row.severity == "cosmetic" or any(self._answers(lesson.lesson, row) for lesson in holding):
                continue
            said = [
                f"in {row.count} of {count_of(len(self.bouts(row.robot)), 'bout')} here, {row.seen_before} before"
            ]
            if row.cost_bout or row.cost_bout_before:
                cost = f"cost {count_of(row.cost_bout, 'bout')} here"
                said.insert(0, f"{cost}, {row.cost_bout_before} before" if row.cost_bout_before else cost)
            if row.cost_s is not None or row.cost_s_before is not None:
                said.append(f"{_minutes(row.cost_s)} of mending here")
                if row.cost_s_before is not None:
                    said.append(f"{_minutes(row.cost_s_before)} before")
            yield views.FirstView(
                what=f"{row.robot} {row.at}: {row.mode}",
                why=", ".join(said),
                cost_bouts=row.cost_bout,
                cost_s=row.cost_s,
                count=row.count,
            )

    def _answers(self, name: str, row: views.BrokeView) -> bool:
        lesson = self.workspace.lessons[name]
        if lesson.mode is not None and same_mode(lesson.mode) != same_mode(row.mode):
            return False
        label = self._build(row.robot)
        if label is None or label not in self.workspace.labels(row.robot):
            return False
        assembly = self.workspace.assembly(BuildRef(row.robot, label))
        refs = {ref for about in lesson.about for ref in refs_of(assembly, about)}
        return any(row.at == ref or row.at.startswith(f"{ref}.") for ref in refs)

    # --- time in the pits --------------------------------------------------------------------------------

    def _time(self) -> views.TimeView:
        turnaround = self.event.turnaround or self.workspace.family.turnaround
        limit = None if turnaround is None else turnaround.value
        return views.TimeView(turnaround_s=limit, fixes=tuple(self._fixes(limit)))

    def _fixes(self, limit: float | None) -> Iterator[views.FixView]:
        for robot in self.robots:
            for bout in self.bouts(robot):
                for failure in bout.failures:
                    if failure.took_s is None:
                        continue
                    yield views.FixView(
                        robot=robot,
                        bout=bout.bout,
                        at=failure.at,
                        took_s=failure.took_s,
                        predicted_s=self._predicted(robot, bout, failure.things),
                        over=None if limit is None else failure.took_s > limit,
                    )

    def _predicted(self, robot: str, bout: RobotBout, things: tuple[str, ...]) -> float | None:
        """The way in to the slowest of what broke."""
        if bout.label is None or not things:
            return None
        try:
            ways = self.amounts.ways(BuildRef(robot, bout.label), bout.fitted)
        except LineageError:
            return None
        seconds = [ways[ref].seconds for ref in things if ref in ways]
        known = [figure.value for figure in seconds if figure is not None]
        return max(known) if known else None

    # --- changes, snags, pits ----------------------------------------------------------------------------

    def _changes(self) -> Iterator[ChangeView]:
        """What changed since each robot's last event before this one, what is only described better left out."""
        for robot in self.robots:
            label = self._build(robot)
            earlier = [bout.label for bout in self.earlier(robot) if bout.label is not None]
            if label is None or not earlier or earlier[-1] == label:
                continue
            known = self.workspace.labels(robot)
            if label in known and earlier[-1] in known:
                before = State(self.amounts, BuildRef(robot, earlier[-1]))
                changes = pair(before, State(self.amounts, BuildRef(robot, label))).changes
                yield from (change for change in changes if not change.described_better)

    def _snags(self) -> Iterator[SnagView]:
        start = None if self.previous is None else self.previous.last_day
        snags = [
            result
            for design in self.workspace.designs
            for result in self.workspace.results(design)
            if isinstance(result, Snag)
            and result.on is not None
            and (start is None or result.on > start)
            and result.on <= self.event.last_day
        ]
        return snag_views(snags)

    def _pit_left(self) -> Iterator[str]:
        """Damage that was not mended, or only for now."""
        for robot in self.robots:
            for bout in self.bouts(robot):
                for failure in bout.failures:
                    if failure.mended in {"no", "for now"}:
                        how = "not mended" if failure.mended == "no" else "mended for now"
                        yield f"{robot}, bout {bout.bout}: {failure.at}, {failure.mode}: {how}"

    def _pit_notes(self) -> Iterator[str]:
        """What was noted in the pits, done or left."""
        for robot in self.robots:
            for bout in self.bouts(robot):
                yield from (f"{robot}, bout {bout.bout}: {text}" for text in bout.pit)

    def _cautions(self) -> tuple[str, ...]:
        said: dict[str, None] = {}
        for robot in self.robots:
            last = self.workspace.last(robot) if robot in self.workspace.designs else None
            if last is not None:
                said |= dict.fromkeys(cautions_for(self.workspace.assembly(last)))
        said.pop(OVER_ALL, None)
        return (*said, OVER_ALL)

    def _said(self) -> Iterator[str]:
        """How it was counted, and what is left out."""
        yield "ranked by bouts it cost, then minutes of mending typed, then how often"
        for robot in self.robots:
            bouts = self.bouts(robot)
            unfought = sum(not bout.was_fought for bout in bouts)
            if unfought:
                yield f"{robot}: {unfought} of {count_of(len(bouts), 'bout')} won or lost without a fight"
            uncertain = sum(not bout.is_certain for bout in bouts)
            if uncertain:
                of = count_of(len(bouts), "bout")
                yield f"{robot}: the build of {uncertain} of {of} is not certain; see lineage check"
            unmatched = unmatched_bouts(bout for bout in bouts if bout.is_certain)
            if unmatched:
                lost = count_of(unmatched, "bout")
                yield f"{robot}: damage at a place that nobody knows in {lost}; see lineage check"


def _cost(tally: Tally) -> tuple[int, float, int]:
    return tally.cost_bouts, tally.cost_s or 0.0, tally.failures


def _minutes(seconds: float | None) -> str:
    return "not known" if seconds is None else f"{seconds / 60:.0f} min"


def _mean(weighing: Weighing) -> float:
    return sum(quantity.centred for quantity in weighing.is_) / len(weighing.is_)
