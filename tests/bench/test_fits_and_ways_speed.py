"""All fits and all ways in of a robot of two hundred parts are worked out while nobody notices."""

from statistics import median
from time import perf_counter

import pytest

from lineage.figures.fits import work_out_fits
from lineage.figures.service import timing_from, ways_in
from lineage.spec.records import Choice, Times
from tests.hand_built import assembled, fit, mm, need, option, part, robot, screws, term, way


def robot_of_two_hundred(two_way: int):
    """A stack in which everything is behind the one before, 40 groups, 40 fits, two options of three choices each;
    `two_way` of its parts can also be reached past the one before, by undoing screws somewhere else."""
    parts = {f"p{n}": part(*([f"p{n - 1}"] if n else []), dims={"x": mm(30 + n, 0.1)}) for n in range(194)}
    groups = {f"s{n}": screws("M3x10 cap", 2, f"p{n * 4}") for n in range(40)}
    beside = [n * 194 // two_way + 3 for n in range(two_way)]
    ways = {f"p{n}": (way(f"p{n - 1}"), way(f"p{n - 2}", undo=(f"s{n * 7 % 40}",))) for n in beside}
    fits = {f"f{n}": fit(need(1), term(1, f"p{n * 4 + 3}.x"), term(-1, f"p{n * 4}.x")) for n in range(36)}
    fits |= {
        f"g{n}": fit(need(1), term(1, f"p{n}.x"), term(-1, "fork.x"), term(-1, "gear.x")) for n in range(4)
    }
    choices = {
        of: option(**{f"c{n}": Choice(parts={f"{of}-{n}": part(dims={"x": mm(n, 0.1)})}) for n in range(3)})
        for of in ("fork", "gear")
    }
    return robot(
        parts=parts,
        fasteners=groups,
        access=ways,
        fits=fits,
        options=choices,
        fitted={"fork": "c0", "gear": "c0"},
    )


def milliseconds(work):
    times = []
    for _ in range(5):
        start = perf_counter()
        work()
        times.append((perf_counter() - start) * 1000)
    return median(times)


@pytest.mark.parametrize("two_way", [1, 6, 12])
def test_all_fits_and_ways_of_two_hundred_parts_take_a_tenth_of_a_second(two_way):
    design = robot_of_two_hundred(two_way)
    assembly = assembled(design)

    def everything():
        tried = {}

        def with_choices(choices):
            key = tuple(sorted(choices.items()))
            if key not in tried:
                tried[key] = assembled(design, choices=choices)
            return tried[key]

        return work_out_fits(assembly, with_choices), ways_in(assembly, Times(), timing_from([]))

    fits, ways = everything()
    assert (len(fits), len(ways)) == (40, 196)
    assert not any(way_in.over_budget for way_in in ways.values())
    took = milliseconds(everything)
    print(f"{two_way} two-way things: {took:.0f} ms")
    assert took < 100
