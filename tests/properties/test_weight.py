"""Laws of weight: what adds up, what is shared, and what other ways of working it out say."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from lineage.changes.shapley import shapley
from lineage.figures.balance import balance, position
from lineage.figures.factors import mass_factors, mass_of
from lineage.figures.weight import weigh
from lineage.spec.records import Turn
from lineage.values.quantity import Position
from tests.hand_built import assembled, module, place, robot
from tests.properties.strategies_weight import DRAWINGS, MEASURES, designs, weighed_assemblies
from tests.weighing_bench import bolts, piece, stock

few = settings(max_examples=60, deadline=None)


@few
@given(weighed_assemblies())
def test_every_way_of_sharing_adds_up_to_predicted(drawn):
    _, weight, _ = drawn
    items = sum(item.mass.value for item in weight.items)
    assert items == pytest.approx(weight.predicted.value, abs=1e-9)
    for shares in (weight.by_role, weight.by_material, weight.by_module):
        assert sum(shares.values()) == pytest.approx(weight.predicted.value, abs=1e-9)


@few
@given(weighed_assemblies())
def test_an_outermost_weighed_place_weighs_what_the_scale_said(drawn):
    assembly, weight, weighed = drawn
    for place_ in assembly.places:
        if place_.ref in weighed:
            assert weight.places[place_.ref] == weighed[place_.ref]


@few
@given(designs())
def test_the_whole_is_never_known_better_than_its_least_known_part(design):
    weight = weigh(assembled(*design, drawings=DRAWINGS), MEASURES)
    assert weight.is_complete
    worst = max((item.mass.u for item in weight.items), default=0.0)
    assert weight.predicted.u >= worst - 1e-12


@few
@given(st.integers(1, 400), st.integers(1, 400), st.sampled_from(["± 0.1 mm", "", "+0.3/-0"]))
def test_a_plate_cut_in_two_weighs_what_it_did(left, right, tolerance):
    sheet = {"s": stock("aluminium-2024", thickness=f"3 mm {tolerance}".strip())}
    whole = {"plate": piece(stock="s", area=f"{left + right} cm2")}
    halves = {"left": piece(stock="s", area=f"{left} cm2"), "right": piece(stock="s", area=f"{right} cm2")}
    one, two = (weigh(assembled(robot(stock=sheet, parts=parts)), {}).predicted for parts in (whole, halves))
    assert two.value == pytest.approx(one.value)
    assert two.u == pytest.approx(one.u)


@few
@given(designs())
def test_factors_give_every_mass_back(design):
    assembly = assembled(*design, drawings=DRAWINGS)
    for ref, mass in weigh(assembly, MEASURES).masses.items():
        found = mass_factors(assembly.things[ref], MEASURES, mass)
        assert mass_of(found.factors) == pytest.approx(mass.value, rel=1e-12)


factor_values = st.fixed_dictionaries(
    {name: st.floats(0, 50) for name in ("count", "thickness", "density", "basis")}
)


@few
@given(factor_values, factor_values)
def test_shares_of_factors_add_up_to_the_change_and_turn_with_it(before, after):
    there, back = shapley(before, after, mass_of), shapley(after, before, mass_of)
    assert sum(there.values()) == pytest.approx(mass_of(after) - mass_of(before), abs=1e-6)
    assert there == pytest.approx({name: -share for name, share in back.items()}, abs=1e-6)


# --- beside other ways of working it out -----------------------------------------------------------------

PLATES = {
    "pom": stock("acetal", thickness="3 mm ± 0.15 mm"),
    "rod": stock("steel", section="6 ± 0.2 mm round", density="7.85 g/cm3 ± 0.1 g/cm3"),
}
MIXED = assembled(
    robot(
        stock=PLATES,
        parts={
            "side": piece(stock="pom", area="80 cm2 ± 2 cm2", count=2),
            "lid": piece(stock="pom", area="120 cm2"),
            "axle": piece(stock="rod", length="90 mm ± 1 mm", count=2),
            "battery": piece(mass="92 g"),
        },
        modules={"left": place("pod"), "right": place("pod")},
        fasteners={"deck": bolts("M3x10 cap", 12)},
    ),
    module("pod", parts={"motor": piece(mass="41 g ± 1 g"), "box": piece(mass="23.0 g weighed")}),
)  # fmt: skip


def test_the_uncertainty_equals_that_of_an_independent_library():
    # source: uncertainties, E. O. Lebigot; computed with a reference library
    thickness, acetal = ufloat(3, 0.15 / sqrt(3)), ufloat(1.410e-3, 0.020e-3 / sqrt(3))
    diameter, steel = ufloat(6, 0.2 / sqrt(3)), ufloat(7.85e-3, 0.05e-3)
    sheet = thickness * acetal
    expected = 2 * ufloat(8000, 200 / sqrt(3)) * sheet + 12000 * sheet
    expected += 2 * np.pi / 4 * diameter**2 * ufloat(90, 1 / sqrt(3)) * steel
    expected += ufloat(92, 2.3) + 2 * (ufloat(41, 0.5) + ufloat(23, 0.1 / sqrt(12)))
    expected += 12 * ufloat(0.9, 0.9 * 0.025)
    predicted = weigh(MIXED, {}).predicted
    assert predicted.value == pytest.approx(expected.nominal_value, rel=1e-12)
    assert predicted.u == pytest.approx(expected.std_dev, rel=1e-9)


def test_the_uncertainty_equals_that_of_a_hundred_thousand_draws():
    n, chance = 100_000, np.random.default_rng(20260307)

    def limit(middle, half):
        return chance.uniform(middle - half, middle + half, n)

    def gauss(middle, u):
        return chance.normal(middle, u, n)

    sheet = limit(3, 0.15) * limit(1.410e-3, 0.020e-3)
    robots = 2 * limit(8000, 200) * sheet + 12000 * sheet
    robots += 2 * np.pi / 4 * limit(6, 0.2) ** 2 * limit(90, 1) * gauss(7.85e-3, 0.05e-3)
    robots += gauss(92, 2.3) + 2 * (gauss(41, 0.5) + limit(23, 0.05)) + 12 * gauss(0.9, 0.9 * 0.025)
    predicted = weigh(MIXED, {}).predicted
    # a standard deviation from n draws is itself known to 1/√(2n); the terms of second order are smaller than that
    assert predicted.u == pytest.approx(robots.std(ddof=1), rel=4 / sqrt(2 * n))
    assert predicted.value == pytest.approx(robots.mean(), abs=4 * predicted.u / sqrt(n) + 0.02)


# --- balance ---------------------------------------------------------------------------------------------

coordinates = st.integers(-200, 200).map(float)
points = st.builds(lambda x, y, z: Position(text="", x=x, y=y, z=z), coordinates, coordinates, coordinates)
turns = st.builds(Turn, st.sampled_from("xyz"), st.sampled_from([90.0, 180.0, 270.0, 30.0, None]))


@few
@given(st.lists(points, min_size=1, max_size=4), points, st.lists(turns, max_size=3))
def test_the_centre_of_a_module_is_turned_and_moved_as_its_parts_are(centres, origin, steps):
    parts = {f"p-{n}": piece(mass=f"{n + 1} g", centre=centre) for n, centre in enumerate(centres)}
    pod = module("pod", parts={**parts})
    alone = assembled(pod)
    middle = balance(alone, weigh(alone, {}).masses).centre
    there = Position(text="", x=middle[0].value, y=middle[1].value, z=middle[2].value)
    mark = module("mark", parts={"dot": piece(mass="1 g", centre=there)})
    use = {"centre": origin, "turned": tuple(steps)}
    host = assembled(robot(modules={"at": place("pod", **use), "dot": place("mark", **use)}), pod, mark)
    masses = {ref: mass for ref, mass in weigh(host, {}).masses.items() if ref.startswith("at.")}
    found = tuple(axis.value for axis in balance(host, masses).centre)
    assert found == pytest.approx(position(host, "dot.dot"), abs=1e-9)
