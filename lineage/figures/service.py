"""The way in to every part and place: what comes off, what is undone, how many screws, which tools, how long."""

from collections.abc import Iterable, Mapping
from math import fsum

from msgspec import Struct

from lineage.figures.engagement import screw_of
from lineage.figures.removal import Item, Removal, Removals, Route
from lineage.figures.rings import Ring, Rings
from lineage.figures.service_times import (
    Elements,
    Timing,
    chance_within,
    elements_from,
    off_and_on,
    seconds_of_group,
    seconds_of_thing,
    timing_from,
)
from lineage.spec.assembly import Assembly, Thing, places_around
from lineage.spec.records import Times, Way
from lineage.values.uncertain import Uncertain

__all__ = [
    "LoadItem",
    "Ring",
    "ServiceLoad",
    "Timing",
    "WayIn",
    "chance_in_time",
    "fits_turnaround",
    "rings",
    "service_load",
    "timing_from",
    "ways_in",
]


class WayIn(Struct, frozen=True, kw_only=True):
    """The cheapest way to take one thing off and put it back.

    `off` are the things taken off before it, `undo` the groups, both in order; `steps` are both together, in the
    order in which they go. `ways` says how many of its own ways are open. Without a way `screws` and `seconds` are
    None, and `blocked_by` is the ring it waits for; `over_budget` says that there were more combinations of ways
    than are searched. `seconds` alone is None where a group on the way has no pitch.
    """

    ref: str
    screws: int | None = None
    seconds: Uncertain | None = None
    tools: tuple[str, ...] = ()
    undo: tuple[str, ...] = ()
    off: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    ways: int = 0
    blocked_by: tuple[str, ...] | None = None
    over_budget: bool = False


def ways_in(assembly: Assembly, times: Times, timing: Timing) -> Mapping[str, WayIn]:
    """The cheapest way in to every part and place, at every depth.

    What a thing and the places around it are behind comes off first, each by its own way in; then every group is
    undone that holds it or goes into it or into anything in it, its own inside excepted. A typed list of ways
    stands in place of that. The cheapest combination of ways counts, by seconds, then screws, then names; what is
    shared is counted once. Seconds = 2 · factor · (tool · tools + Σ count · (screw + turns · turn) + Σ parts off).
    times: the family's own seconds of the elements. timing: factor and spread of the family's timed services.
    Result: by full reference; a thing without a way has screws and seconds None, and says what blocks it.
    Source: the search is for the cheapest sound choice of one route an item in an AND/OR graph of precedence
    (L. S. Homem de Mello, A. C. Sanderson, AND/OR graph representation of assembly plans, 1990; from memory).
    """
    removals = _removals(assembly, elements_from(times))
    blocked = Rings(removals)
    found = {}
    for thing in assembly.things.values():
        if thing.kind != "fasteners":
            found[thing.ref] = _way_in(thing.ref, assembly, removals, blocked, timing)
    return found


def rings(assembly: Assembly) -> tuple[Ring, ...]:
    """Rings among what things, groups and typed ways wait for, in the order of the specs."""
    return tuple(Rings(_removals(assembly, Elements())).found.values())


def _way_in(ref: str, assembly: Assembly, removals: Removals, blocked: Rings, timing: Timing) -> WayIn:
    removal = removals.of(ref)
    if removal.order is None:
        return WayIn(
            ref=ref,
            ways=removal.open_routes,
            over_budget=removal.over_budget,
            blocked_by=None if removal.over_budget else blocked.blocking(ref),
        )
    undo = tuple(r for r in removal.order if assembly.things[r].kind == "fasteners")
    return WayIn(
        ref=ref,
        screws=sum(assembly.things[group].group.count for group in undo),
        seconds=_seconds(ref, removal, removals, timing),
        tools=removal.tools,
        undo=undo,
        off=tuple(r for r in removal.order[:-1] if assembly.things[r].kind != "fasteners"),
        steps=removal.order[:-1],
        ways=removal.open_routes,
    )


def _seconds(ref: str, removal: Removal, removals: Removals, timing: Timing) -> Uncertain | None:
    once = [removals.tool_seconds * len(removal.tools)]
    for gone in removal.order or ():
        seconds = removals.items[removals.number[gone]].seconds
        if seconds is None:
            return None
        once.append(seconds)
    return off_and_on(fsum(once), ref, timing)


def _removals(assembly: Assembly, elements: Elements) -> Removals:
    """Every thing and group of an assembly with the routes by which it goes."""
    holding = _groups_that_hold(assembly)
    items = []
    for thing in assembly.things.values():
        if thing.kind == "fasteners":
            items.append(_group_item(thing, elements))
        else:
            routes = _routes(thing, assembly, holding.get(thing.ref, ()))
            items.append(Item(ref=thing.ref, routes=routes, seconds=seconds_of_thing(thing, elements)))
    return Removals(items, elements.tool)


def _group_item(thing: Thing, elements: Elements) -> Item:
    screw = screw_of(thing.group)
    return Item(
        ref=thing.ref,
        routes=(Route(thing.behind),),
        seconds=seconds_of_group(thing.group, elements),
        screws=thing.group.count,
        tool=screw.tool if screw else None,
    )


def _routes(thing: Thing, assembly: Assembly, groups: Iterable[str]) -> tuple[Route, ...]:
    """A thing's ways: those of the outermost list, else by what it is behind and what holds it."""
    listed = assembly.ways.get(thing.ref)
    if listed is None or not listed.ways:
        around = _in_front_of_places(thing, assembly, places_around(thing.ref))
        return (Route((*thing.behind, *around, *_by_tool(groups, assembly))),)
    outside = (p for p in places_around(thing.ref) if _is_in_or_at(listed.given_by, p))
    around = _in_front_of_places(thing, assembly, outside)
    return tuple(_typed_route(way, around, assembly) for way in listed.ways)


def _typed_route(way: Way, around: tuple[str, ...], assembly: Assembly) -> Route:
    groups = [ref for ref in way.undo if assembly.things[ref].kind == "fasteners"]
    others = [ref for ref in way.undo if assembly.things[ref].kind != "fasteners"]
    return Route((*way.behind, *around, *others, *_by_tool(groups, assembly)), way.tools)


def _in_front_of_places(thing: Thing, assembly: Assembly, places: Iterable[str]) -> tuple[str, ...]:
    """What places are behind, from the inside out; a thing is not in front of itself."""
    return tuple(ref for place in places for ref in assembly.things[place].behind if ref != thing.ref)


def _is_in_or_at(ref: str, place: str) -> bool:
    return ref == place or ref.startswith(f"{place}.")


def _by_tool(groups: Iterable[str], assembly: Assembly) -> list[str]:
    """Groups by tool, then name; those whose tool is not known last."""

    def order(ref: str) -> tuple[bool, str, str]:
        screw = screw_of(assembly.things[ref].group)
        tool = screw.tool if screw else None
        return tool is None, tool or "", ref

    return sorted(dict.fromkeys(groups), key=order)


def _groups_that_hold(assembly: Assembly) -> Mapping[str, list[str]]:
    """For every thing the groups that hold it or go into it or anything in it, its own inside excepted."""
    holding: dict[str, list[str]] = {}
    for group in assembly.groups:
        ends = (end for ref in (*group.holds, *group.into) for end in (ref, *places_around(ref)))
        for end in dict.fromkeys(ends):
            if not group.ref.startswith(f"{end}."):
                holding.setdefault(end, []).append(group.ref)
    return holding


# --- between bouts ---------------------------------------------------------------------------------------


def chance_in_time(way_in: WayIn, turnaround_s: float | None, timing: Timing) -> float | None:
    """Chance that a job fits the time between bouts, Φ((turnaround − seconds) ÷ u).

    way_in: gives seconds and their u. turnaround_s: time there is, s. timing: how many services were timed.
    Result: None before one service of the family was timed, and where seconds or the turnaround are not known.
    Source: normal distribution.
    """
    if not timing.timed or way_in.seconds is None or turnaround_s is None:
        return None
    return chance_within(way_in.seconds, turnaround_s)


def fits_turnaround(way_in: WayIn, turnaround_s: float | None, timing: Timing) -> bool | None:
    """Whether a job more likely than not fits the time between bouts; None as for its chance."""
    chance = chance_in_time(way_in, turnaround_s, timing)
    return None if chance is None else chance >= 0.5


class LoadItem(Struct, frozen=True, kw_only=True):
    """What one thing's failures are expected to cost a bout."""

    ref: str
    share: float
    seconds: float
    load_s: float
    part_of_load: float | None


class ServiceLoad(Struct, frozen=True, kw_only=True):
    """Expected seconds of service a bout; `not_known` failed too, but nobody knows how long it takes."""

    seconds_per_bout: float | None
    seconds_per_failure: float | None
    items: tuple[LoadItem, ...]
    dominant: str | None
    not_known: tuple[str, ...]


def service_load(found: Mapping[str, WayIn], shares: Mapping[str, float]) -> ServiceLoad:
    """Expected service load of a build: Σ p·t a bout, and Σ p·t ÷ Σ p a failure.

    found: ways in by reference, whose seconds are t, s. shares: failures of a thing per bout, p.
    Result: s; items by load, greatest first; None where nothing that failed has a known time.
    Source: mean time to repair of a system of parts, Σ λ·t ÷ Σ λ, as reliability handbooks print it (seen in a
    copy).
    """
    loads: list[tuple[float, str, float, float]] = []
    not_known = []
    for ref, share in shares.items():
        seconds = found[ref].seconds if ref in found else None
        if seconds is None:
            not_known.append(ref)
        else:
            loads.append((-share * seconds.value, ref, share, seconds.value))
    total = fsum(-load for load, *_ in loads)
    failures = fsum(share for *_, share, _ in loads)
    items = tuple(
        LoadItem(ref=ref, share=p, seconds=t, load_s=-load, part_of_load=-load / total if total else None)
        for load, ref, p, t in sorted(loads)
    )
    return ServiceLoad(
        seconds_per_bout=total if loads else None,
        seconds_per_failure=total / failures if failures else None,
        items=items,
        dominant=items[0].ref if total else None,
        not_known=tuple(not_known),
    )
