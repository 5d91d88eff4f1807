"""Taking apart, against examples with a source."""

from statistics import NormalDist

import pytest

from lineage.figures.engagement import screw_of, turns_out
from lineage.figures.removal import Item, Removals, Route
from lineage.figures.service import WayIn, service_load
from lineage.figures.service_times import Elements, seconds_of_group, timing_from
from lineage.values.uncertain import exact
from tests.hand_built import mm, screws

# Precedence of a small machine with alternatives: times in s worked out beside it as top plate 8·6 + 3, bottom plate
# 4·6 + 3, battery 10, belt 5, axle 2·8 + 4, motor 4·6 + 5; the axle needs the belt, the belt the top plate or the
# bottom plate and the battery, the battery either plate, the motor the belt and either of those.
# Answers: computed with a reference method (uniform-cost search over sets of what is off), not ours.
PRECEDENCE = {
    "top plate": ((), 51.0),
    "bottom plate": ((), 27.0),
    "battery": ((("top plate",), ("bottom plate",)), 10.0),
    "belt": ((("top plate",), ("bottom plate", "battery")), 5.0),
    "axle": ((("belt",),), 20.0),
    "motor": ((("belt", "top plate"), ("belt", "bottom plate", "battery")), 29.0),
}


def precedence(without: tuple[str, ...] = ()) -> Removals:
    items = [
        Item(
            ref=ref,
            routes=tuple(Route(needs) for needs in (alternatives or ((),)) if not set(needs) & set(without)),
            seconds=seconds,
        )
        for ref, (alternatives, seconds) in PRECEDENCE.items()
    ]
    return Removals(items, tool_seconds=0.0)


@pytest.mark.parametrize(
    ("ref", "seconds", "gone"),
    [
        ("battery", 37.0, {"bottom plate", "battery"}),
        ("belt", 42.0, {"bottom plate", "battery", "belt"}),
        ("axle", 62.0, {"bottom plate", "battery", "belt", "axle"}),
        ("motor", 71.0, {"bottom plate", "battery", "belt", "motor"}),
    ],
)
def test_the_cheapest_removal_with_alternatives(ref, seconds, gone):
    removals = precedence()
    order = removals.of(ref).order
    assert order is not None
    assert set(order) == gone
    assert sum(PRECEDENCE[name][1] for name in order) == seconds


@pytest.mark.parametrize(("ref", "seconds"), [("belt", 56.0), ("motor", 85.0)])
def test_the_removal_by_the_top_plate_alone(ref, seconds):
    order = precedence(without=("bottom plate",)).of(ref).order
    assert order is not None
    assert sum(PRECEDENCE[name][1] for name in order) == seconds


# MTM-1 data card (seen in a copy of the source, scribd.com 685645331): 1 TMU = 0.036 s, turn by 180°, small: 9.4 TMU.
HALF_TURN_S = 9.4 * 0.036


def test_turning_time_of_a_screw_by_the_half_turns_of_mtm_1():
    # 6 mm of 0.5 mm pitch: 12 turns, 24 half turns, 8.1216 s
    group = screws("M3x10 cap", 1, "lid", grip=mm(4), depth=mm(6))
    elements = Elements(screw=0.0, turn=2 * HALF_TURN_S)
    assert seconds_of_group(group, elements) == pytest.approx(8.1216, abs=0.00005)


def test_turning_time_with_equal_return_turns():
    group = screws("M3x10 cap", 1, "lid", grip=mm(4), depth=mm(6))
    elements = Elements(screw=0.0, turn=4 * HALF_TURN_S)
    assert seconds_of_group(group, elements) == pytest.approx(16.2432, abs=0.00005)


def test_a_screw_of_whole_length_where_nothing_is_said():
    # ISO 261 coarse pitch of M4 is 0.7 mm (seen in a copy of the source)
    group = screws("ISO 4762 M4x14", 1, "lid")
    screw = screw_of(group)
    assert screw is not None
    assert turns_out(group, screw) == pytest.approx(20.0)


def test_mean_time_of_a_system_of_three_parts():
    # Σ λ·t ÷ Σ λ of λ .01, .02, .005 and t .5, .2, 1.0: .4; formula seen in a copy of a maintainability handbook,
    # the numbers are arithmetic beside it
    shares = {"a": 0.01, "b": 0.02, "c": 0.005}
    ways = {ref: WayIn(ref=ref, seconds=exact(t)) for ref, t in {"a": 0.5, "b": 0.2, "c": 1.0}.items()}
    load = service_load(ways, shares)
    assert load.seconds_per_failure == pytest.approx(0.4)
    assert load.seconds_per_bout == pytest.approx(0.014)


def test_the_spread_of_normal_scatter_is_its_standard_deviation():
    # 1.4826 × the median absolute deviation estimates σ: Rousseeuw and Croux 1993 (from memory); quantiles of the
    # normal distribution are those of the standard library
    normal = NormalDist(1.0, 0.2)
    timing = timing_from([normal.inv_cdf((n + 0.5) / 4999) for n in range(4999)])
    assert timing.spread == pytest.approx(0.2, rel=1e-3)
    assert timing.factor == pytest.approx(1.0)
