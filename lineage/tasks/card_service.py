"""Service on a card: ways in step by step, timed services, screws that could go, mending to expect."""

from collections.abc import Iterator, Mapping, Sequence

from lineage.evidence.bouts import RobotBout, is_at
from lineage.evidence.readings import side_of
from lineage.figures.engagement import screw_of
from lineage.figures.service import WayIn, chance_in_time, fits_turnaround, service_load
from lineage.figures.spare_screws import spare_screws
from lineage.reports.views import card_more as views
from lineage.reports.views.card import AccessView, StepView
from lineage.reports.views.figures import ValueU, value_u
from lineage.spec.assembly import Assembly
from lineage.spec.records import Event, Result, ServiceReading
from lineage.tasks.readings import readings_of
from lineage.tasks.states import State


def turnaround_s(state: State, event: Event | None) -> float | None:
    """The time between bouts: an event's own, else the family's usual one."""
    own = event.turnaround if event is not None else None
    turnaround = own or state.workspace.family.turnaround
    return None if turnaround is None else turnaround.value


def access_views(state: State, event: Event | None) -> Mapping[str, AccessView]:
    """The cheapest way in to everything, step by step, and the chance that it fits the time between bouts."""
    timing, limit = state.amounts.timing, turnaround_s(state, event)
    return {
        ref: AccessView(
            screws=way.screws,
            seconds=value_u(way.seconds),
            tools=way.tools,
            undo=way.undo,
            off=way.off,
            ways=way.ways,
            fits_turnaround=fits_turnaround(way, limit, timing),
            steps=tuple(_steps(way, state.assembly)),
            chance_in_time=chance_in_time(way, limit, timing),
            blocked_by=way.blocked_by,
            over_budget=way.over_budget,
        )
        for ref, way in state.amounts.ways(state.ref, state.choices).items()
    }


def _steps(way: WayIn, assembly: Assembly) -> Iterator[StepView]:
    for ref in way.steps:
        thing = assembly.things[ref]
        if thing.kind != "fasteners":
            yield StepView(do="off", ref=ref)
            continue
        screw = screw_of(thing.group)
        yield StepView(
            do="undo",
            ref=ref,
            screws=thing.group.count,
            type=thing.group.type,
            tool=screw.tool if screw else None,
        )


def pace_view(state: State, event: Event | None) -> views.PaceView:
    """What timed services say of worked-out times."""
    timing = state.amounts.timing
    return views.PaceView(
        factor=timing.factor,
        spread=timing.spread,
        timed=timing.timed,
        turnaround_s=turnaround_s(state, event),
    )


def timed_views(state: State, results: Sequence[Result]) -> Iterator[views.TimedView]:
    """The latest timed service of each thing of this very build beside what was worked out for it."""
    latest = {result.of: result for result in results if isinstance(result, ServiceReading)}
    ways = state.amounts.ways(state.ref, state.choices)
    for of, result in latest.items():
        side = side_of(readings_of(result.is_))
        assert side is not None
        seconds = ways[of].seconds if of in ways else None
        known = seconds is not None and seconds.value > 0
        yield views.TimedView(
            of=of,
            on=str(result.on),
            timed_s=ValueU(side.value, side.u),
            predicted_s=value_u(seconds),
            ratio=side.value / seconds.value if seconds is not None and known else None,
        )


def spare_screw_views(state: State) -> tuple[views.SpareScrewsView, ...]:
    """Screws that could go by the builder's own rules; none of a weapon, armour, battery or stored energy."""
    family = state.workspace.family
    masses = state.amounts.weight(state.ref, state.choices).masses
    grams = {ref: mass.value for ref, mass in masses.items()}
    found = spare_screws(state.assembly, family.rules, grams, family.times, state.amounts.timing)
    return tuple(
        views.SpareScrewsView(
            ref=s.ref,
            count=s.count,
            enough=s.enough,
            could_go=s.could_go,
            role=s.role,
            holes=state.assembly.things[s.ref].group.holes,
            grams=s.grams,
            seconds=s.seconds,
        )
        for s in found
    )


def empty_holes(state: State) -> Mapping[str, int]:
    """How many holes each group leaves empty."""
    left = {t.ref: t.group.holes - t.group.count for t in state.assembly.groups if t.group.holes is not None}
    return {ref: holes for ref, holes in left.items() if holes > 0}


def load_view(state: State, bouts: Sequence[RobotBout]) -> views.LoadView | None:
    """Expected service load of a build: failures a bout times the seconds of each way in."""
    fought = [bout for bout in bouts if bout.is_exposure]
    failing = {f.at: f.things for bout in fought for f in bout.failures if f.counts and f.things}
    if not failing:
        return None
    ways = state.amounts.ways(state.ref, state.choices)
    shares = {
        things[0]: sum(any(f.counts and is_at(f, things) for f in bout.failures) for bout in fought)
        / len(fought)
        for things in failing.values()
    }
    load = service_load(ways, shares)
    return views.LoadView(
        seconds_per_bout=load.seconds_per_bout,
        dominant=load.dominant,
        items={item.ref: item.load_s for item in load.items},
        not_known=load.not_known,
    )
