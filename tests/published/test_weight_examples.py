"""Weight, readings, normalised error, spin and shares against worked examples."""

from math import pi, sqrt

import pytest

from lineage.changes.shapley import shapley
from lineage.figures.factors import mass_of
from lineage.figures.margin import chance_over
from lineage.figures.scale import normalised_error
from lineage.figures.spin import spinning
from lineage.figures.weighings import reading
from lineage.figures.weight import weigh
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, robot
from tests.weighing_bench import drawn, piece, q, stock, weighing


def known(value: float, u: float) -> Uncertain:
    return Uncertain(value, {("made by hand", value): u})


# Readings of GUM 4.4.3; source: JCGM 100:2008, table 1 (data from memory): mean 100.14, s of the mean 0.33.
GUM_READINGS = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11,
    101.20, 101.57, 101.84, 102.36, 102.72,
)  # fmt: skip


def test_repeated_readings_have_the_mean_and_scatter_of_the_guide():
    found = reading(weighing(*(f"{value:.2f} g" for value in GUM_READINGS)), {})
    assert found.value == pytest.approx(100.145, abs=0.0005)
    digit = 0.01 / sqrt(12)
    assert sqrt(found.u**2 - digit**2) == pytest.approx(0.33, abs=0.005)


# Plate 100(.1) x 50(.1) x 3(.05) mm at 1.41e-3(.01e-3) g/mm3: 21.15 g, u .3859959359 g; computed with a reference
# library. Limits and U are chosen so that the standard uncertainties are those.
def test_a_plate_has_the_mass_and_uncertainty_of_the_product():
    area_u = 5000 * sqrt(0.001**2 + 0.002**2)
    plate = piece(stock="acetal-3", area=f"5000 mm2 ± {area_u * sqrt(3)!r} mm2")
    sheet = stock("acetal", thickness=f"3 mm ± {0.05 * sqrt(3)!r} mm", density="1410 kg/m3 ± 20 kg/m3")
    weight = weigh(assembled(robot(parts={"plate": plate}, stock={"acetal-3": sheet})), {})
    assert weight.predicted.value == pytest.approx(21.15, abs=1e-9)
    assert weight.predicted.u == pytest.approx(0.3859959359, abs=5e-11)


# NIST dataplot En score page, GEAR.DAT batch 1; source: itl.nist.gov dataplot refman2 auxillar enscore; seen in a
# copy of the source (.393, -.262, -.131, 0.000 printed). U of either side is twice the standard deviation given here.
@pytest.mark.parametrize("x, printed", [(1.006, 0.393), (0.996, -0.262), (0.998, -0.131), (1.000, 0.000)])
def test_normalised_errors_are_those_printed(x, printed):
    found = normalised_error(known(x, 0.0043461349), known(1.0, 0.0062789049))
    assert found == pytest.approx(printed, abs=0.0005)


# U_lab, U_ref: arithmetic, 1.060660172, 1.000, 1.2; computed with a reference library.
@pytest.mark.parametrize(
    "measured, u_m, predicted, u_p, expected",
    [(100.3, 0.2, 100.0, 0.2, 1.060660172), (52.10, 0.30, 51.60, 0.40, 1.0), (152.0, 1.5, 149.0, 2.0, 1.2)],
)
def test_normalised_error_takes_expanded_uncertainties(measured, u_m, predicted, u_p, expected):
    found = normalised_error(known(measured, u_m / 2), known(predicted, u_p / 2))
    assert found == pytest.approx(expected, abs=5e-9)


# Standard normal distribution; source: Abramowitz and Stegun, table 26.1; from memory.
@pytest.mark.parametrize("z, printed, digit", [(0.0, 0.5, 1e-6), (1.0, 0.158655, 1e-6), (1.96, 0.024998, 1e-6), (3.0, 0.00134990, 1e-8)])  # fmt: skip
def test_the_chance_of_being_over_is_the_normal_tail(z, printed, digit):
    assert chance_over(known(z * 2.5, 2.5)) == pytest.approx(printed, abs=digit / 2)


# Steel 7850: disc d 100 t 6, ring 120/80 t 8, bar 200 x 30 x 8; computed with a reference library from the closed
# forms m·r²/2, m·(R² + r²)/2 and m·(L² + W²)/12 (any handbook, from memory).
SPINS = [
    ("disc", pi * 50**2, pi * 50**4 / 2, 50.0, 6, 10000, 4.624031687e-4, 253.540908271, 52.359877560),
    ("ring", pi * (60**2 - 40**2), pi * (60**4 - 40**4) / 2, 60.0, 8, 10000, 1.0259184970e-3, 562.522761818, 62.831853072),
    ("bar", 6000.0, 6000.0 * (200**2 + 30**2) / 12, sqrt(100**2 + 15**2), 8, 6000, 1.28426e-3, 253.502762963, 63.534779452),
]  # fmt: skip


@pytest.mark.parametrize("case", SPINS, ids=lambda case: case[0])
def test_spinning_plates_store_what_the_closed_forms_say(case):
    name, area, polar, radius, thickness, rpm, inertia, energy, tip = case
    blade = piece(stock="steel", outline="blade.dxf", spin=f"{rpm} rpm")
    sheet = stock("steel", thickness=f"{thickness} mm ± 0.1 mm", density="7850 kg/m3 ± 10 kg/m3")
    assembly = assembled(robot(parts={name: blade}, stock={"steel": sheet}), drawings={"blade.dxf": "id"})
    (found,) = spinning(assembly, {"id": drawn(area, polar=polar, radius=radius)})
    assert found.inertia_kg_m2.value == pytest.approx(inertia, rel=1e-9)
    assert found.energy_j.value == pytest.approx(energy, rel=1e-9)
    assert found.tip_m_s == pytest.approx(tip, rel=1e-9)


def game(worths):
    """A game's value as a function of factors that are 0 before and 1 after."""

    def value(factors):
        return worths("".join(name for name, there in factors.items() if there))

    return value


def players(names):
    return dict.fromkeys(names, 0), dict.fromkeys(names, 1)


# Airport games: costs 8, 11, 13, 18 → 2, 3, 4, 9; source: an encyclopedia's page on the airport problem,
# hellenicaworld.com; 1500, 2200, 3000 → 500, 850, 1650, with 3500 → 500, 850, 2150; source: thoughtfulexaminations.com;
# seen in a copy of the source.
@pytest.mark.parametrize(
    "costs, printed", [((8, 11, 13, 18), (2, 3, 4, 9)), ((1500, 2200, 3000), (500, 850, 1650)), ((1500, 2200, 3500), (500, 850, 2150))]
)  # fmt: skip
def test_airport_games_are_shared_as_printed(costs, printed):
    cost = dict(zip("abcd", costs, strict=False))
    before, after = players(cost)
    shares = shapley(before, after, game(lambda who: float(max((cost[p] for p in who), default=0))))
    assert tuple(shares.values()) == pytest.approx(printed)


# Runways 40, 50, …, 90 → (40, 52, 67, 87, 117, 177)/6; source: math.techqa.club 4152535; seen in a copy of the source.
def test_a_longer_airport_game_is_shared_as_printed():
    cost = dict(zip("abcdef", range(40, 100, 10), strict=True))
    before, after = players(cost)
    shares = shapley(before, after, game(lambda who: float(max((cost[p] for p in who), default=0))))
    assert [6 * share for share in shares.values()] == pytest.approx([40, 52, 67, 87, 117, 177])


# v(1)=1, v(2)=2, v(3)=3, v(12)=4, v(13)=5, v(23)=6, v(123)=10 → 7/3, 10/3, 13/3; computed with a reference library.
# Glove game 1/6, 1/6, 2/3; from memory.
def test_small_games_are_shared_exactly():
    worth = {"": 0, "1": 1, "2": 2, "3": 3, "12": 4, "13": 5, "23": 6, "123": 10}
    before, after = players("123")
    assert [*shapley(before, after, game(worth.__getitem__)).values()] == pytest.approx(
        [7 / 3, 10 / 3, 13 / 3]
    )
    gloves = shapley(before, after, game(lambda who: float("3" in who and len(who) > 1)))
    assert [*gloves.values()] == pytest.approx([1 / 6, 1 / 6, 2 / 3])


# Products; arithmetic: 10·5 → 12·4 is 9, −11; a plate 100·3.0·.00141 → 90·4.0·.00141 is −.04935, .13395.
def test_changed_factors_of_a_mass_are_shared_exactly():
    thicker = {"thickness": 4.0, "area": (90.0, 0.0), "density": 0.00141, "count": 1.0}
    thinner = {"thickness": 3.0, "area": (100.0, 0.0), "density": 0.00141, "count": 1.0}
    shares = shapley(thinner, thicker, mass_of)
    assert shares == pytest.approx({"area": -0.04935, "thickness": 0.13395})
    assert shapley({"count": 10.0, "mass": 5.0}, {"count": 12.0, "mass": 4.0}, mass_of) == pytest.approx(
        {"count": 9.0, "mass": -11.0}
    )


# 2·3·4 → 3·4·5: 15.833333333, 11.333333333, 8.833333333; arithmetic.
def test_three_factors_share_a_product():
    shares = shapley({"a": 2.0, "b": 3.0, "c": 4.0}, {"a": 3.0, "b": 4.0, "c": 5.0}, mass_of)
    assert [*shares.values()] == pytest.approx([15.833333333, 11.333333333, 8.833333333], abs=5e-10)


# 1 lb = 453.59237 g; source: NIST SP 811, from memory.
def test_a_limit_in_pounds_is_exact():
    assert q("3 lb").value == pytest.approx(1360.77711, abs=5e-6)
