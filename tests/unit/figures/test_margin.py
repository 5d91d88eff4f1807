"""What is left of a limit, and for whom."""

from datetime import date
from math import erfc, sqrt

import pytest

from lineage.figures.margin import (
    ballast,
    chance_over,
    gap_of,
    limit_of,
    margin_of,
    materials_against,
    role_may_be,
    size_fits,
    usual_gap,
)
from lineage.figures.weight import weigh
from lineage.spec.records import Event, Family, WeightClass
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, box, robot
from tests.weighing_bench import bolts, material, piece, q, stock

CLASS = WeightClass(limit=q("1500 g"))


def known(value, u):
    return Uncertain(value, {("made by hand", value): u} if u else {})


def event(**limits):
    day = date(2026, 3, 7)
    return Event(name="e", title="e", first_day=day, last_day=day, limits=limits)


def weight_of(**keys):
    return weigh(assembled(robot(**keys)), {})


WHOLE = weight_of(parts={"body": piece(mass="1400 g ± 10 g")})
LACKING = weight_of(parts={"body": piece(mass="1400 g"), "odd": piece(stock="none", area="1 cm2")})


def test_an_events_own_limit_comes_before_the_classs():
    assert limit_of("light", CLASS, event(light=q("1450 g"))) == 1450
    assert limit_of("light", CLASS, event(heavy=q("1450 g"))) == 1500
    assert limit_of("light", CLASS, None) == 1500
    assert limit_of(None, None, event(light=q("1450 g"))) is None


# --- usual gap -------------------------------------------------------------------------------------------


def test_one_gap_has_itself_as_its_uncertainty():
    gap = usual_gap([known(20, 3)])
    assert (gap.value, gap.u, gap.builds) == (20, 20, 1)


def test_one_gap_is_at_least_as_uncertain_as_it_was_measured():
    assert usual_gap([known(2, 3)]).u == 3
    assert usual_gap([Uncertain(2.0, {}, frozenset(("thickness",)))]).u is None


def test_of_two_gaps_the_larger_says_how_uncertain_they_are():
    gap = usual_gap([known(-30, 1), known(10, 50)])
    assert (gap.value, gap.u, gap.builds) == (-10, 30, 2)


def test_from_three_gaps_their_scatter_counts():
    gap = usual_gap([known(10, 50), known(20, 50), known(30, 50)])
    # s = 10, t(0.975, 2) = 4.303 (any table of Student's t)
    assert gap.value == 20
    assert gap.u == pytest.approx(10 * sqrt(4 / 3) * 4.302652730 / 1.96)


def test_no_gap_says_nothing():
    assert usual_gap([]) is None


def test_a_gap_needs_a_weighing_and_a_mass_for_every_item():
    assert gap_of(known(1420, 1), WHOLE).value == 20
    assert gap_of(None, WHOLE) is None
    assert gap_of(known(1420, 1), LACKING) is None


# --- margin and chance -----------------------------------------------------------------------------------


def test_a_weighed_build_leaves_limit_less_measured():
    margin = margin_of(1500, WHOLE, known(1420, 2), usual_gap([known(20, 3)]))
    assert (margin.counted, margin.margin.value) == ("measured", 80)
    assert margin.chance_over == pytest.approx(erfc(80 / 2 / sqrt(2)) / 2)


def test_an_unweighed_build_is_counted_with_the_usual_gap():
    margin = margin_of(1500, WHOLE, None, usual_gap([known(20, 3)]))
    assert margin.margin.value == pytest.approx(80)
    assert margin.margin.u == pytest.approx(sqrt(5**2 + 20**2))
    assert margin.chance_over == pytest.approx(erfc(80 / sqrt(425) / sqrt(2)) / 2)


def test_without_a_usual_gap_the_chance_of_an_unweighed_build_is_not_known():
    margin = margin_of(1500, WHOLE, None, None)
    assert margin.margin.value == 100
    assert margin.chance_over is None


def test_while_an_item_lacks_a_mass_there_is_no_margin_unless_it_was_weighed():
    margin = margin_of(1500, LACKING, None, usual_gap([known(20, 3)]))
    assert (margin.margin, margin.chance_over) == (None, None)
    assert margin_of(1500, LACKING, known(1510, 5), None).chance_over == pytest.approx(erfc(-2 / sqrt(2)) / 2)


@pytest.mark.parametrize("left, chance", [(-1, 1), (0, 0), (1, 0)])
def test_without_uncertainty_a_build_is_over_or_it_is_not(left, chance):
    assert chance_over(known(left, 0)) == chance


def test_a_margin_of_unknown_uncertainty_has_no_chance():
    assert chance_over(Uncertain(5.0, {}, frozenset(("thickness",)))) is None


# --- room and ballast ------------------------------------------------------------------------------------


def test_a_role_may_take_the_margin_less_reserve_and_two_uncertainties():
    found = role_may_be({"weapon": 300, "fasteners": 20, "other": 5}, known(80, 10), reserve_g=15)
    assert list(found) == ["weapon"]
    assert (found["weapon"].now_g, found["weapon"].may_be_g) == (300, 345)


def test_what_a_role_may_be_is_not_known_without_a_margin_or_its_uncertainty():
    assert role_may_be({"weapon": 300}, None) is None
    unsure = role_may_be({"weapon": 300}, Uncertain(80.0, {}, frozenset(("gap",))))
    assert unsure["weapon"].may_be_g is None


def test_ballast_uses_the_class_to_the_full_at_a_chosen_chance():
    assert ballast(known(80, 10), 0.5) == pytest.approx(80)
    assert ballast(known(80, 10), 0.025) == pytest.approx(80 - 19.59963984540054)
    assert chance_over(known(80 - ballast(known(80, 10), 0.01), 10)) == pytest.approx(0.01)
    assert ballast(None, 0.01) is None
    with pytest.raises(ValueError, match="a chance above 0"):
        ballast(known(80, 10), 0)


# --- size and materials ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "size, limit, fits",
    [
        (box(200, 100, 50), box(100, 200, 50), True),
        (box(200, 100, 50), box(100, 200, None), True),
        (box(200, 100, None), box(200, 100, None), True),
        (box(100, 100, 200), box(200, 100, 100), False),
        (box(200, 101, 50), box(200, 100, 50), False),
        (box(200, 100, None), box(200, 100, 50), None),
        (None, box(200, 100, 50), None),
        (box(200, 100, 50), None, None),
    ],
)
def test_a_robot_may_turn_on_the_floor_to_fit_but_not_tip(size, limit, fits):
    assert size_fits(size, limit) is fits


def test_materials_a_class_does_not_allow_are_named():
    family = Family(
        title="rules",
        materials={"pc-smoked": material(like="polycarbonate")},
        stock={"pc": stock("polycarbonate"), "smoked": stock("pc-smoked"), "ti": stock("titanium-6al4v")},
    )
    assembly = assembled(
        robot(
            parts={
                "lid": piece(role="armour", stock="pc", area="1 cm2"),
                "tinted": piece(role="armour", stock="smoked", area="1 cm2"),
                "plate": piece(role="armour", stock="ti", area="1 cm2"),
                "print": piece(role="chassis", mass="9 g", material="tpu"),
                "bought": piece(role="armour", mass="9 g"),
            },
            fasteners={"deck": bolts("M3x10 cap", 4)},
        ),
        family=family,
    )
    assert materials_against(assembly, {"armour": ("polycarbonate", "hdpe")}) == ("plate",)
    assert materials_against(assembly, {"fasteners": ("nylon",), "chassis": ("tpu",)}) == ("deck",)
