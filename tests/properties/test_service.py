"""Laws of ways in, and agreement with a search that tries everything."""

from itertools import product

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lineage.figures.service import WayIn, rings, timing_from, ways_in
from lineage.spec.records import Design, Times
from tests.hand_built import assembled, module, place, robot
from tests.properties.strategies_figures import groups_among, robots_to_take_apart, ways_among

TURNS = {"M3x10 cap": (10, 0.5, "2.5 mm hex key"), "M3x6 cap": (6, 0.5, "2.5 mm hex key"),
         "M5x16 cap": (16, 0.8, "4 mm hex key")}  # fmt: skip


def found_in(design: Design) -> dict[str, WayIn]:
    return dict(ways_in(assembled(design), Times(), timing_from([])))


# --- a search that tries everything, written from the rules alone ----------------------------------------


def tries(design: Design, name: str) -> list[tuple[set[str], set[str], set[str]]]:
    """Each way of a part: what is off before, what is undone, what tools it names."""
    groups = design.fasteners
    if name in design.access:
        return [
            (
                {r for r in (*w.behind, *w.undo) if r not in groups},
                {r for r in (*w.behind, *w.undo) if r in groups},
                set(w.tools),
            )
            for w in design.access[name]
        ]
    holding = {g for g, group in groups.items() if name in (*group.holds, *group.into)}
    return [(set(design.parts[name].behind), holding, set())]


def everything_gone(design: Design, start: str, chosen: dict) -> tuple[set[str], set[str]] | None:
    """Walks through the shop: whatever can go goes, until `start` went or nothing more can go."""
    wanted_parts, wanted_groups, open_ends = {start}, set(), [start]
    while open_ends:
        ref = open_ends.pop()
        if ref in design.parts:
            behind, undo, _ = chosen[ref]
        else:
            behind, undo = set(design.fasteners[ref].behind), set()
        open_ends += [r for r in behind | undo if r not in wanted_parts | wanted_groups]
        wanted_parts |= behind
        wanted_groups |= undo
    gone: set[str] = set()
    while True:
        more = {
            ref
            for ref in (wanted_parts | wanted_groups) - gone
            if (chosen[ref][0] | chosen[ref][1] if ref in design.parts else set(design.fasteners[ref].behind))
            <= gone
        }
        if not more:
            return (wanted_parts, wanted_groups) if start in gone else None
        gone |= more


def once(design: Design, parts: set[str], groups: set[str], chosen: dict) -> tuple:
    """Seconds once (None where a pitch is lacking), screws, tools."""
    tools = {tool for name in parts for tool in chosen[name][2]}
    seconds, timed = 0.0, True
    for name in parts:
        seconds += {"plugged": 3.0, "clipped": 4.0}.get(design.parts[name].joined or "", 3.0)
    for name in groups:
        group = design.fasteners[name]
        if group.type not in TURNS:
            timed = False
            continue
        length, pitch, tool = TURNS[group.type]
        if group.grip is not None:
            length = min(length - group.grip.value, group.depth.value)
        tools.add(tool)
        seconds += group.count * (3.0 + length / pitch * 0.6)
    screws = sum(design.fasteners[name].count for name in groups)
    return (seconds + 4.0 * len(tools)) if timed else None, screws, tools


def by_trying_everything(design: Design, start: str) -> tuple | None:
    names = list(design.parts)
    best = None
    for combination in product(*(tries(design, name) for name in names)):
        chosen = dict(zip(names, combination, strict=True))
        gone = everything_gone(design, start, chosen)
        if gone is None:
            continue
        seconds, screws, tools = once(design, *gone, chosen)
        rank = (
            seconds is None,
            round(seconds or 0.0, 7),
            screws,
            sorted(gone[0] | gone[1]),
            sorted(tools),
        )
        if best is None or rank < best[0]:
            best = (rank, gone, seconds, screws, tools)
    return best


@settings(max_examples=100, deadline=None)
@given(robots_to_take_apart())
def test_the_cheapest_way_is_the_one_that_trying_everything_finds(design):
    found = found_in(design)
    for name, way_in in found.items():
        best = by_trying_everything(design, name)
        if best is None:
            assert (way_in.screws, way_in.seconds, way_in.ways) == (None, None, 0)
            assert way_in.blocked_by is not None
            continue
        _, (parts, groups), seconds, screws, tools = best
        assert set(way_in.off) == parts - {name}
        assert set(way_in.undo) == groups
        assert set(way_in.tools) == tools
        assert way_in.screws == screws
        if seconds is None:
            assert way_in.seconds is None
        else:
            assert way_in.seconds is not None
            assert way_in.seconds.value == pytest.approx(2 * seconds)


@settings(max_examples=60, deadline=None)
@given(robots_to_take_apart())
def test_as_many_ways_are_open_as_lead_to_an_end_when_tried_alone(design):
    for name, way_in in found_in(design).items():
        alone = 0
        for tried in tries(design, name):
            others = [n for n in design.parts if n != name]
            alone += any(
                everything_gone(design, name, {name: tried, **dict(zip(others, combination, strict=True))})
                for combination in product(*(tries(design, n) for n in others))
            )
        assert way_in.ways == alone


@settings(max_examples=100, deadline=None)
@given(robots_to_take_apart())
def test_each_thing_comes_off_once_and_after_what_it_waits_for(design):
    for name, way_in in found_in(design).items():
        assert name not in way_in.off
        assert len(set(way_in.off)) == len(way_in.off)
        assert len(set(way_in.undo)) == len(way_in.undo)
        for earlier, ref in enumerate(way_in.off):
            if ref not in design.access:
                assert set(design.parts[ref].behind) <= set(way_in.off[:earlier])


@settings(max_examples=100, deadline=None)
@given(robots_to_take_apart())
def test_what_has_no_way_waits_for_a_ring_that_is_an_error(design):
    errors = {ring.refs for ring in rings(assembled(design)) if ring.level == "error"}
    found = found_in(design).values()
    for way_in in found:
        assert (way_in.blocked_by is None) == (way_in.ways > 0)
        assert way_in.blocked_by is None or way_in.blocked_by in errors
    assert bool(errors) == any(way_in.ways == 0 for way_in in found)


def longer(after: WayIn, before: WayIn) -> bool:
    """Whether a way is at least as long as it was: no way is longer than any, unknown time than any time."""
    if before.screws is None:
        return after.screws is None
    if after.screws is None or after.seconds is None:
        return True
    return before.seconds is not None and after.seconds.value >= before.seconds.value - 1e-6


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_adding_a_group_never_shortens_a_way(data):
    design = data.draw(robots_to_take_apart())
    group = data.draw(groups_among(tuple(design.parts)))
    more = msgspec.structs.replace(design, fasteners={**design.fasteners, "further": group})
    before, after = found_in(design), found_in(more)
    for name, way_in in before.items():
        assert longer(after[name], way_in)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_further_way_never_lengthens_one(data):
    design = data.draw(robots_to_take_apart().filter(lambda d: d.access))
    listed = data.draw(st.sampled_from(sorted(design.access)))
    further = data.draw(ways_among(tuple(design.parts), tuple(design.fasteners)))
    access = {**design.access, listed: (*design.access[listed], further)}
    before, after = found_in(design), found_in(msgspec.structs.replace(design, access=access))
    for name, way_in in after.items():
        assert longer(before[name], way_in)


@settings(max_examples=60, deadline=None)
@given(robots_to_take_apart())
def test_a_module_in_a_free_place_is_taken_apart_as_it_is_alone(design):
    pod = module("pod", parts=design.parts, fasteners=design.fasteners, access=design.access)
    alone = found_in(design)
    in_place = ways_in(assembled(robot(modules={"left": place("pod")}), pod), Times(), timing_from([]))
    assert set(in_place) == {"left"} | {f"left.{ref}" for ref in alone}
    for ref, way_in in alone.items():
        placed = in_place[f"left.{ref}"]
        assert placed.off == tuple(f"left.{r}" for r in way_in.off)
        assert placed.undo == tuple(f"left.{r}" for r in way_in.undo)
        assert (placed.screws, placed.ways, placed.tools) == (way_in.screws, way_in.ways, way_in.tools)
