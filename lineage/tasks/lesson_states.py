"""Lessons: where they were followed, whether they held, and where else the same flaw lives."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from lineage.changes.pairing import own_things
from lineage.evidence.bouts import RobotBout, same_mode
from lineage.evidence.lessons import State, state_of
from lineage.evidence.sentences import sentence_for_counts
from lineage.evidence.verdicts import Judged, judge_counts, to_settle
from lineage.evidence.windows import Side, Touched, counted, window
from lineage.reports.views.lessons import AlsoView, HereView, LessonView
from lineage.spec.assembly import Assembly, Thing, join
from lineage.spec.records import BuildRef, Lesson, Snag
from lineage.tasks.chain import follow
from lineage.tasks.judging import Judge, OneRobot, Sides, beside_it, counted_robot
from lineage.tasks.running import build_of_result
from lineage.tasks.steps import with_head
from lineage.tasks.workspace import NOW
from lineage.values.formatting import count_of


class Followed(Struct, frozen=True, kw_only=True):
    """What the counts say of a lesson: per design before and after, failures since it was done, clean bouts since."""

    robots: tuple[OneRobot, ...]
    failures_since: int
    clean_since: int
    judged: Judged | None


class LessonJudge:
    """Works out the states of lessons of one workspace."""

    def __init__(self, judge: Judge) -> None:
        self.judge, self.workspace = judge, judge.workspace
        self._grew: dict[str, frozenset[str]] = {}

    def view(self, lesson: Lesson, event: str | None = None) -> LessonView:
        """A lesson with its state and where else it may matter; at an event also whether it was kept there."""
        recorded = [ref for ref in lesson.done_in if ref.label != NOW]
        followed = self._followed(lesson, recorded) if recorded and lesson.about else None
        verdict = followed.judged.verdict if followed and followed.judged else None
        state = state_of(
            is_dropped=lesson.dropped is not None,
            is_answered=bool(lesson.done_in and lesson.about),
            is_only_drawn=bool(lesson.done_in) and not recorded,
            failures_since=followed.failures_since if followed else 0,
            verdict=verdict,
        )
        return LessonView(
            lesson=lesson.name,
            state=state,
            about=lesson.about,
            also_in=tuple(self._also_in(lesson)),
            title=lesson.lesson,
            do=lesson.do,
            text=self._text(lesson, state, followed),
            here=self._here(lesson, recorded, event)
            if event and recorded and not _is_from_snag(lesson)
            else None,
        )

    def _here(self, lesson: Lesson, recorded: Sequence[BuildRef], event: str) -> HereView:
        """Robot-bouts of an event in which what a lesson is about was in as the lesson wants it."""
        followed: dict[str, list[bool]] = {}
        for robot, bouts in self.judge.bouts.items():
            labels = self.workspace.labels(robot)
            here = [
                bout for bout in bouts if bout.event == event and bout.is_exposure and bout.label in labels
            ]
            touched = self._touched(robot, labels, lesson) if here else None
            if touched is None or not touched.refs:
                continue
            for bout in here:
                if self.judge.is_in(bout, touched) and self.has_it(
                    BuildRef(robot, str(bout.label)), recorded
                ):
                    failed = any(f.counts and touched.owns(f) for f in bout.failures)
                    followed.setdefault(robot, []).append(failed)
        failures = sum(sum(found) for found in followed.values())
        word = "broken" if failures else "kept" if followed else "not tried"
        return HereView(
            word=word,
            bouts=sum(map(len, followed.values())),
            failures=failures,
            robots=tuple(followed),
        )

    def _text(self, lesson: Lesson, state: State, followed: Followed | None) -> str | None:
        if state == "dropped":
            return lesson.dropped
        if followed is None or followed.judged is None:
            return None
        is_snag = _is_from_snag(lesson)
        whole = [robot for robot in followed.robots if robot.stratum.has_both_sides]
        text = sentence_for_counts(
            followed.judged,
            counting="build" if is_snag else "bout",
            designs=tuple(robot.design for robot in whole),
            circumstances=beside_it(whole),
            after_bad_run=self.judge.after_bad_run(whole),
        )
        if state != "trying":
            return text
        clean = count_of(followed.clean_since, "clean build" if is_snag else "clean bout")
        settle = self._to_settle(followed)
        return f"{text} {clean} so far{settle}."

    def _to_settle(self, followed: Followed) -> str:
        strata = [robot.stratum for robot in followed.robots]
        numbers = [
            to_settle(strata, at, [r.after.unmatched for r in followed.robots]) for at in range(len(strata))
        ]
        known = [number for number in numbers if number]
        return f"; {min(known)} more would settle it" if known else ""

    # --- counts ------------------------------------------------------------------------------------------

    def _followed(self, lesson: Lesson, recorded: Sequence[BuildRef]) -> Followed:
        counted = self._by_builds if _is_from_snag(lesson) else self._by_bouts
        robots, since, clean = [], 0, 0
        for design in self.workspace.designs:
            found = counted(design, lesson, recorded)
            if found is not None:
                robot, failures, exposure = found
                robots.append(robot)
                since, clean = since + failures, clean + exposure - failures
        judged = None
        if robots:
            judged = judge_counts([r.stratum for r in robots], [r.after.unmatched for r in robots])
        return Followed(robots=tuple(robots), failures_since=since, clean_since=clean, judged=judged)

    def _by_bouts(
        self, design: str, lesson: Lesson, recorded: Sequence[BuildRef]
    ) -> tuple[OneRobot, int, int] | None:
        if design not in self.judge.bouts:
            return None
        labels = self.workspace.labels(design)
        touched = self._touched(design, labels, lesson)
        has = {label: self.has_it(BuildRef(design, label), recorded) for label in labels}
        if not touched.refs or not any(has.values()):
            return None

        def is_in(bout: RobotBout) -> bool:
            return self.judge.is_in(bout, touched)

        def exposed(wanted: Sequence[str]) -> Sequence[RobotBout]:
            return self.judge.exposed(design, wanted, is_in)

        since = counted(exposed([label for label in labels if has[label]]), touched)
        steps = [step.as_step for step in self.judge.steps.of(design)]
        turn = next((at for at, s in enumerate(steps) if has[s.after] and not has[s.before]), None)
        if turn is None:
            sides: Sides = (), exposed([label for label in labels if has[label]])
            return counted_robot(design, sides, touched), since.failures, since.exposure
        found = window(steps, turn, touched)
        before = exposed([label for label in found.before if not has[label]])
        after = exposed([label for label in found.after if has[label]])
        robot = counted_robot(design, (before, after), touched, steps[turn].after)
        return robot, since.failures, since.exposure

    def _by_builds(
        self, design: str, lesson: Lesson, recorded: Sequence[BuildRef]
    ) -> tuple[OneRobot, int, int] | None:
        """A lesson from a snag counts builds made, with and without the trouble."""
        labels = [
            label for label in self.workspace.labels(design) if self._refs(BuildRef(design, label), lesson)
        ]
        has = {label: self.has_it(BuildRef(design, label), recorded) for label in labels}
        if not any(has.values()):
            return None
        troubled = set(self._troubled(design, lesson))
        sides = []
        for wanted in (False, True):
            made = [label for label in labels if has[label] is wanted]
            sides.append(
                Side(failures=sum(label in troubled for label in made), exposure=len(made), unmatched=0)
            )
        robot = OneRobot(design=design, before=sides[0], after=sides[1], touched=Touched(refs=frozenset()))
        return robot, sides[1].failures, sides[1].exposure

    def _troubled(self, design: str, lesson: Lesson) -> Iterator[str]:
        """Labels of builds with a snag of the lesson's mode; one at another thing is not its own."""
        mode = lesson.mode or next((s.mode for s in lesson.from_ if s.snag and s.mode), None)
        for result in self.workspace.results(design):
            if not isinstance(result, Snag) or (mode and same_mode(result.mode) != same_mode(mode)):
                continue
            build = build_of_result(self.workspace, result)
            if (
                build.label is not None
                and build.is_certain
                and self._may_be_at(design, build.label, result, lesson)
            ):
                yield build.label

    def _may_be_at(self, design: str, label: str, snag: Snag, lesson: Lesson) -> bool:
        ref = BuildRef(design, label)
        things = self.workspace.assembly(ref).resolve(snag.at or "")
        about = Touched(refs=self._refs(ref, lesson))
        return not things or about.overlaps(things)

    def _touched(self, design: str, labels: Sequence[str], lesson: Lesson) -> Touched:
        refs = [
            {with_head(ref, self.judge.steps.last_names(design, label)) for ref in self._refs(at, lesson)}
            for label, at in ((label, BuildRef(design, label)) for label in labels)
        ]
        modes = frozenset({same_mode(lesson.mode)}) if lesson.mode else frozenset()
        return Touched(refs=frozenset().union(*refs), modes=modes)

    def _refs(self, ref: BuildRef, lesson: Lesson) -> frozenset[str]:
        """What a lesson is about, by reference in one build."""
        assembly = self.workspace.assembly(ref)
        return frozenset(r for about in lesson.about for r in self._named(assembly, about))

    def _named(self, assembly: Assembly, about: str) -> Iterator[str]:
        """References of `DESIGN.thing`, under the name that the design's build there has for it."""
        found = tuple(refs_of(assembly, about))
        yield from found
        design, _, thing = about.partition(".")
        for place, spec in assembly.inner.items() if thing and not found else ():
            if spec.ref.design == design:
                names = {self._name_in(spec.ref, label, thing) for label in self.workspace.labels(design)}
                yield from (
                    join(place, name) for name in names if name and join(place, name) in assembly.things
                )

    def _name_in(self, ref: BuildRef, label: str, thing: str) -> str | None:
        """What a build calls a thing that another build of its design has under this name; None where that has none."""
        if thing.partition(".")[0] not in own_things(self.workspace.spec(BuildRef(ref.design, label)).design):
            return None
        return follow(self.workspace, ref.design, label, ref.label, thing)

    def has_it(self, ref: BuildRef, recorded: Sequence[BuildRef]) -> bool:
        """Whether a build is from one of these on, itself or by a module in it."""
        inner = self.workspace.assembly(ref).inner.values()
        return any(self._is_from(spec.ref, done) for spec in inner for done in recorded)

    def _is_from(self, ref: BuildRef, done: BuildRef) -> bool:
        labels = self.workspace.labels(ref.design)
        if ref.design != done.design or done.label not in labels:
            return False
        return ref.label == NOW or (
            ref.label in labels and labels.index(ref.label) >= labels.index(done.label)
        )

    # --- where else --------------------------------------------------------------------------------------

    def _also_in(self, lesson: Lesson) -> Iterator[AlsoView]:
        """Things of latest builds that are what it is about, grew from that, or have its features; where it is done
        already stays out."""
        if lesson.dropped is not None:
            return
        for design in self.workspace.designs:
            last = self.workspace.last(design)
            if last is None or not self._is_looked_at(design):
                continue
            assembly = self.workspace.assembly(last)
            said: dict[str, str] = {}
            for about in lesson.about:
                for ref, why in self._alike(assembly, about):
                    said.setdefault(ref, why)
            if lesson.where:
                for thing in assembly.things.values():
                    if all(_has(thing, assembly, key, wanted) for key, wanted in lesson.where.items()):
                        said.setdefault(thing.ref, _features_said(thing, assembly, lesson))
            for ref, why in said.items():
                if not self._is_done_at(assembly, ref, lesson.done_in):
                    yield AlsoView(design=design, build=last.label, ref=ref, why=why)

    def _is_looked_at(self, design: str) -> bool:
        """Robots, and modules that no robot's latest build has: the others are looked at where they are used."""
        if self.workspace.kind(design) == "robot":
            return True
        lasts = (self.workspace.last(r) for r in self.workspace.designs if self.workspace.kind(r) == "robot")
        return not any(
            spec.ref.design == design
            for last in lasts
            if last is not None
            for spec in self.workspace.assembly(last).inner.values()
        )

    def _alike(self, assembly: Assembly, about: str) -> Iterator[tuple[str, str]]:
        """What `DESIGN.thing` names in an assembly, and what it names in designs that grew from that design."""
        design, _, thing = about.partition(".")
        for place, spec in assembly.inner.items():
            if spec.ref.design == design:
                at_home = "not done here yet" if not place else f"it is {about} too"
                yield from ((ref, at_home) for ref in self._named_at(assembly, place, about))
            elif (
                thing and join(place, thing) in assembly.things and design in self._ancestors(spec.ref.design)
            ):
                yield join(place, thing), f"{spec.ref.design} grew from {design}, and has {thing} too"

    def _named_at(self, assembly: Assembly, place: str, about: str) -> Iterator[str]:
        """What `DESIGN.thing` names at one place of its design."""
        start = f"{place}." if place else ""
        for ref in self._named(assembly, about):
            if ref == place or ref.startswith(start):
                yield ref

    def _ancestors(self, design: str) -> frozenset[str]:
        """Designs that a design grew from."""
        if design not in self._grew:
            self._grew[design] = frozenset()
            last = self.workspace.last(design)
            from_ = None if last is None else self.workspace.spec(last).design.from_
            if from_ is not None and from_.design != design:
                older = (
                    self._ancestors(from_.design) if from_.design in self.workspace.designs else frozenset()
                )
                self._grew[design] = older | {from_.design}
        return self._grew[design]

    def _is_done_at(self, assembly: Assembly, ref: str, done: Sequence[BuildRef]) -> bool:
        """Whether a thing, or a module or robot around it, is of a build from one of these on."""
        places = [place for place in (ref, *assembly.around(ref), "") if place in assembly.inner]
        return any(self._is_from(assembly.inner[place].ref, build) for place in places for build in done)


def _features_said(thing: Thing, assembly: Assembly, lesson: Lesson) -> str:
    """`same joined (glued)`: what a thing has of the features that a lesson looks for."""
    said = []
    for key, wanted in lesson.where.items():
        meant = set(map(same_mode, wanted))
        found = [value for value in _features(thing, assembly, key) if same_mode(value) in meant]
        said.append(f"{key} ({', '.join(dict.fromkeys(found))})")
    return "same " + ", ".join(said)


def _is_from_snag(lesson: Lesson) -> bool:
    return bool(lesson.from_) and all(source.snag is not None for source in lesson.from_)


def refs_of(assembly: Assembly, about: str) -> Iterator[str]:
    """Full references of `DESIGN.thing` in an assembly, wherever that design is in it."""
    design, _, thing = about.partition(".")
    for place, spec in assembly.inner.items():
        if spec.ref.design != design:
            continue
        ref = ".".join(part for part in (place, thing) if part)
        if ref in assembly.things:
            yield ref
        elif not ref:
            yield from (t.ref for t in assembly.things.values() if t.place == "")


def _has(thing: Thing, assembly: Assembly, key: str, wanted: Sequence[str]) -> bool:
    """Whether a thing has one of the wanted values of a feature."""
    found = {" ".join(value.casefold().split()) for value in _features(thing, assembly, key)}
    return any(" ".join(value.casefold().split()) in found for value in wanted)


def _features(thing: Thing, assembly: Assembly, key: str) -> Iterator[str]:
    if key == "role":
        yield thing.role
    elif key == "module":
        yield from (assembly.inner[place].ref.design for place in assembly.around(thing.ref))
        if thing.kind == "place":
            yield thing.use.use.design
    elif thing.kind == "fasteners":
        if key == "type":
            yield thing.group.type
        elif key == "material" and thing.group.material:
            yield thing.group.material
    elif thing.kind == "part":
        yield from _part_features(thing, key)


def _part_features(thing: Thing, key: str) -> Iterator[str]:
    part, stock = thing.part, thing.stock
    if key == "tags":
        yield from part.tags
    elif key == "material":
        yield from filter(None, (stock.stock.material if stock else None, part.material))
    elif key == "process":
        yield from filter(None, (part.process, stock.stock.cut.how if stock and stock.stock.cut else None))
    elif key in {"joined", "item"}:
        yield from filter(None, (getattr(part, key),))
