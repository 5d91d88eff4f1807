"""The paper for the pits: what each robot has to meet, what to pack, how to get at it, and room to write."""

from collections.abc import Iterator, Sequence

from lineage.figures.margin import limit_of
from lineage.figures.service import WayIn
from lineage.problems import AskedWrongly
from lineage.reports.views import form as views
from lineage.reports.views.cautions import cautions_for
from lineage.spec.assembly import Assembly
from lineage.spec.records import BuildRef, Event, WeightClass
from lineage.tasks.judging import judge_of
from lineage.tasks.packing import Packer
from lineage.tasks.states import Asker, State

BOUTS = 6


def form(asker: Asker, event: Event, robots: Sequence[str] = (), bouts: int = BOUTS) -> views.PitForm:
    """A sheet for each robot named, else for each entered, else for each that has a build."""
    turnaround = event.turnaround or asker.workspace.family.turnaround
    packer = Packer(judge_of(asker.workspace))
    return views.PitForm(
        event=event.name,
        title=event.title,
        on=str(event.first_day),
        turnaround_s=None if turnaround is None else turnaround.value,
        bouts=bouts,
        sheets=tuple(_sheet(state, event, packer, bouts) for state in _states(asker, event, robots)),
    )


def _states(asker: Asker, event: Event, robots: Sequence[str]) -> Iterator[State]:
    workspace = asker.workspace
    asked = [workspace.named(robot) for robot in robots]
    for robot in asked:
        if workspace.kind(robot) != "robot":
            raise AskedWrongly(f"{robot} is a module", "a robot: it is the robot that fights", "")
    entered = [robot for robot in event.entries if robot in workspace.designs]
    built = [name for name in workspace.designs if workspace.labels(name) and workspace.kind(name) == "robot"]
    for robot in asked or entered or built:
        entry = event.entries.get(robot)
        label = entry.build if entry is not None else None
        if label is not None and label in workspace.labels(robot):
            yield State(asker.amounts, BuildRef(robot, label), choices=entry.fitted if entry else {})
        else:
            yield asker.last_build(robot)


def _sheet(state: State, event: Event, packer: Packer, bouts: int) -> views.PitSheetView:
    design, assembly = state.spec.design, state.assembly
    entry = event.entries.get(state.ref.design)
    name = (entry.class_ if entry is not None else None) or design.class_
    weight_class = state.spec.family.classes.get(name or "")
    weight = state.amounts.weight(state.ref, state.choices)
    predicted = weight.predicted.value if weight.known_items else None
    measured = state.amounts.measured(state.ref, state.choices)
    turnaround = event.turnaround or state.workspace.family.turnaround
    ways = _Ways(state, None if turnaround is None else turnaround.value)
    return views.PitSheetView(
        robot=state.ref.design,
        build=state.label,
        class_=name,
        limit_g=limit_of(name, weight_class, event),
        predicted_g=predicted,
        weighed_g=None if measured is None else measured.mass.value,
        weighed_on=None if measured is None else str(measured.weighing.on),
        size=_size(weight_class),
        inspect=_inspect(event, weight_class),
        packing=packer.box(state.ref.design, bouts).packing,
        things=tuple(ways.outer()),
        inside=tuple(ways.inside()),
        gaps=tuple(_gaps(state)),
        choices=tuple(f"{option}: {' / '.join(choices)}" for option, choices in design.options.items()),
        fitted=", ".join(f"{option} {choice}" for option, choice in assembly.fitted[""].items()),
        cautions=cautions_for(assembly, predicted),
    )


def _size(weight_class: WeightClass | None) -> str | None:
    """The size that the class allows; that of an event is of its box."""
    size = weight_class.size if weight_class is not None else None
    return None if size is None else size.text


def _inspect(event: Event, weight_class: WeightClass | None) -> tuple[str, ...]:
    of_class = weight_class.inspect if weight_class is not None else ()
    return tuple(dict.fromkeys((*of_class, *event.inspect)))


def _gaps(state: State) -> Iterator[views.ToMeasureView]:
    for name, figure in state.amounts.fits(state.ref, state.choices).items():
        yield views.ToMeasureView(fit=name, need_mm=figure.need_mm)


class _Ways:
    """Things numbered: those of the robot itself first, then what is inside its modules, once a module build."""

    def __init__(self, state: State, turnaround_s: float | None) -> None:
        self.state, self.turnaround_s = state, turnaround_s
        self.ways = state.amounts.ways(state.ref, state.choices)
        self.outer_refs = [ref for ref in self.ways if "." not in ref]
        self.numbers = {ref: str(number) for number, ref in enumerate(self.outer_refs, 1)}

    def outer(self) -> Iterator[views.ThingView]:
        """What a builder takes off by name."""
        for ref in self.outer_refs:
            yield self._thing(self.numbers[ref], ref, self.ways[ref])

    def inside(self) -> Iterator[views.InsideView]:
        """The first place of each module build stands for the others: they are the same inside."""
        assembly = self.state.assembly
        for module, places in _places(assembly).items():
            inner = [ref for ref in self.ways if ref.startswith(f"{places[0]}.")]
            if not inner:
                continue
            yield views.InsideView(
                module=module,
                places=tuple(
                    f"{self.numbers[place]} {place}" if place in self.numbers else place for place in places
                ),
                things=tuple(
                    self._thing(f".{number}", ref.removeprefix(f"{places[0]}."), self.ways[ref])
                    for number, ref in enumerate(inner, 1)
                ),
            )

    def _thing(self, number: str, name: str, way: WayIn) -> views.ThingView:
        seconds = None if way.seconds is None else way.seconds.value
        late = self.turnaround_s is not None and seconds is not None and seconds > self.turnaround_s
        return views.ThingView(
            number=number,
            name=name,
            screws=way.screws,
            seconds=seconds,
            tools=tuple(way.tools),
            first_off=tuple(way.off),
            is_slow=late,
        )


def _places(assembly: Assembly) -> dict[str, list[str]]:
    """Module build → its places in the robot itself, in order."""
    found: dict[str, list[str]] = {}
    for thing in assembly.places:
        if not thing.place:
            found.setdefault(str(thing.use.use), []).append(thing.ref)
    return found
