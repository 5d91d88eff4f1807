"""Dimension chains: each tolerance from where it belongs, and what follows."""

from math import sqrt
from statistics import NormalDist

import pytest

from lineage.figures.fits import FitFigure, against_reading, work_out_fits
from lineage.spec.assembly import Assembly
from lineage.spec.records import Choice, Design, Family, Part
from lineage.values.quantity import Tolerance
from lineage.values.uncertain import Uncertain, from_source
from tests.hand_built import assembled, box, fit, mm, module, need, option, part, place, robot, sheet, term

FAMILY = Family(
    title="waders",
    stock={"pc-3": sheet(mm(3, 0.15), "polycarbonate", cut="router")},
    tolerances={
        "print": Tolerance(text="± 0.3 mm", plus=0.3, minus=0.3),
        "router": Tolerance(text="± 0.1 mm", plus=0.1, minus=0.1),
        "mill": Tolerance(text="ISO 2768-1 m", general="m"),
        "saw": Tolerance(text="+0.5/-0.1 mm", plus=0.5, minus=0.1),
    },
)


def plate(**keys) -> Part:
    return Part(stock="pc-3", area=None, outline="plates/lid.dxf", **keys)


def figures(design: Design, *modules: Design, choices=None) -> dict[str, FitFigure]:
    def with_choices(chosen) -> Assembly:
        return assembled(design, *modules, family=FAMILY, choices=chosen)

    return dict(work_out_fits(with_choices(choices or {}), with_choices))


def one(parts: dict, *terms, needed=None, **keys) -> FitFigure:
    design = robot(parts=parts, fits={"gap": fit(needed or need(low=1.0), *terms)}, **keys)
    return figures(design)["gap"]


# --- where a tolerance comes from ------------------------------------------------------------------------


def test_deck_over_battery_as_worked_by_hand():
    found = one(
        {"side": part(dims={"bay-height": mm(22, 0.2)}), "battery": part(size=box(68, 35, 17, 0.5))},
        term(1, "side.bay-height"),
        term(-1, "battery.height"),
        needed=need(low=4.5),
    )
    assert found.nominal_mm == pytest.approx(5.0)
    assert found.worst_mm == pytest.approx((4.3, 5.7))
    root = sqrt(0.2**2 + 0.5**2)
    assert found.rss_mm == pytest.approx((5 - root, 5 + root))
    assert found.chance_missed == pytest.approx(NormalDist(5, root / 3).cdf(4.5))
    assert [c.ref for c in found.contributors] == ["side.bay-height", "battery.height"]
    assert [c.share for c in found.contributors] == pytest.approx([0.04 / 0.29, 0.25 / 0.29])
    assert [c.source for c in found.contributors] == ["typed", "typed"]
    assert found.tighten == "battery.height"
    assert found.holds == "nominally"


def test_without_a_typed_one_the_process_of_the_part_says_it():
    (c,) = one({"horn": part(process="print", dims={"bore": mm(8)})}, term(1, "horn.bore")).contributors
    assert (c.tolerance_mm, c.source) == (0.3, "process")


def test_without_a_process_the_cut_of_its_stock_says_it():
    (c,) = one({"lid": plate(dims={"slot": mm(8)})}, term(1, "lid.slot")).contributors
    assert (c.tolerance_mm, c.source) == (0.1, "process")


def test_the_part_s_own_process_goes_before_the_cut_of_its_stock():
    (c,) = one({"lid": plate(process="print", dims={"slot": mm(8)})}, term(1, "lid.slot")).contributors
    assert c.tolerance_mm == 0.3


def test_a_process_by_class_goes_by_the_size():
    parts = {"lid": part(process="mill", dims={"a": mm(6), "b": mm(6.5), "c": mm(31)})}
    found = one(parts, *(term(1, f"lid.{dim}") for dim in "abc"))
    assert [c.tolerance_mm for c in found.contributors] == [0.1, 0.2, 0.3]


def test_a_lopsided_process_is_centred():
    found = one({"rod": part(process="saw", dims={"cut": mm(40)})}, term(1, "rod.cut"))
    assert found.nominal_mm == 40
    assert found.centred_mm == pytest.approx(40.2)
    assert found.worst_mm == pytest.approx((39.9, 40.5))
    assert found.contributors[0].tolerance_mm == pytest.approx(0.3)


def test_a_negative_coefficient_turns_a_lopsided_tolerance_round():
    found = one({"rod": part(dims={"cut": mm(40, plus=0.5, minus=0.1)})}, term(-2, "rod.cut"))
    assert found.worst_mm == pytest.approx((-81.0, -79.8))


def test_a_process_that_the_family_does_not_know_gives_nothing():
    found = one({"lid": plate(process="laser", dims={"slot": mm(8)})}, term(1, "lid.slot"))
    assert found.nominal_mm == 8
    assert (found.worst_mm, found.rss_mm, found.chance_missed, found.tighten) == (None, None, None, None)
    assert (found.contributors[0].tolerance_mm, found.contributors[0].share) == (None, None)
    assert found.no_tolerance == ("lid.slot",)


def test_one_unknown_tolerance_leaves_all_shares_unknown():
    parts = {"lid": part(dims={"a": mm(8, 0.1), "b": mm(2)})}
    found = one(parts, term(1, "lid.a"), term(-1, "lid.b"))
    assert [c.tolerance_mm for c in found.contributors] == [0.1, None]
    assert [c.share for c in found.contributors] == [None, None]


def test_a_plain_quantity_without_a_tolerance_is_exact():
    found = one({"lid": part(dims={"a": mm(8, 0.1)})}, term(1, "lid.a"), term(-1, mm(2)))
    assert found.worst_mm == pytest.approx((5.9, 6.1))
    assert (found.contributors[1].tolerance_mm, found.contributors[1].share) == (0.0, 0.0)
    assert found.contributors[1].source is None


def test_a_grade_stands_in_place_of_a_tolerance():
    found = one({"seat": part(dims={"bore": mm(22, grade="H7")})}, term(1, "seat.bore"))
    assert found.worst_mm == pytest.approx((22.0, 22.021))
    assert found.nominal_mm == 22
    assert found.contributors[0].source == "typed"


def test_a_grade_that_no_table_has_is_not_replaced_by_a_process():
    parts = {"seat": part(process="print", dims={"bore": mm(22, grade="Z7")})}
    assert one(parts, term(1, "seat.bore")).no_tolerance == ("seat.bore",)


# --- thickness -------------------------------------------------------------------------------------------


def test_a_thickness_is_never_that_of_a_process():
    found = one({"lid": plate(process="print")}, term(1, "lid.thickness"))
    assert (found.contributors[0].tolerance_mm, found.contributors[0].source) == (0.15, "stock")
    assert found.tighten is None


def test_a_stock_without_a_tolerance_has_the_built_in_spread_of_its_kind():
    stock = {"al-3": sheet(mm(3), "aluminium-6061")}
    found = one({"lid": Part(stock="al-3", outline="l.dxf")}, term(1, "lid.thickness"), stock=stock)
    assert (found.contributors[0].tolerance_mm, found.contributors[0].source) == (0.11, "stock")


def test_a_stock_of_no_known_kind_has_none():
    stock = {"odd": sheet(mm(3), "our own")}
    found = one({"lid": Part(stock="odd", outline="l.dxf")}, term(1, "lid.thickness"), stock=stock)
    assert found.no_tolerance == ("lid.thickness",)


def test_one_stock_in_several_terms_is_one_variable():
    parts = {"lid": plate(), "floor": plate(), "side": part(dims={"height": mm(30, 0.1)})}
    found = one(parts, term(1, "side.height"), term(-1, "lid.thickness"), term(-1, "floor.thickness"))
    assert [(c.ref, c.coefficient, c.nominal_mm) for c in found.contributors] == [
        ("side.height", 1, 30),
        ("lid.thickness, floor.thickness", -2, 3),
    ]
    assert found.nominal_mm == 24
    assert found.worst_mm == pytest.approx((24 - 0.4, 24 + 0.4))
    half = sqrt(0.1**2 + 0.3**2)
    assert found.rss_mm == pytest.approx((24 - half, 24 + half))
    assert [(t.ref, t.coefficient, t.nominal_mm) for t in found.terms] == [
        ("side.height", 1, 30),
        ("lid.thickness", -1, 3),
        ("floor.thickness", -1, 3),
    ]


def test_what_cancels_needs_no_tolerance():
    stock = {"odd": sheet(mm(3), "our own")}
    parts = {
        "a": Part(stock="odd", outline="a.dxf"),
        "b": Part(stock="odd", outline="b.dxf"),
        "c": part(dims={"gap": mm(2, 0.1)}),
    }
    found = one(parts, term(1, "a.thickness"), term(-1, "b.thickness"), term(1, "c.gap"), stock=stock)
    assert found.worst_mm == pytest.approx((1.9, 2.1))


def test_a_dimension_twice_in_a_chain_is_one_variable_and_two_places_are_two():
    pod = module("pod", parts={"wheel": part(dims={"diameter": mm(40, 0.2)})})
    design = robot(
        modules={"left": place("pod"), "right": place("pod")},
        fits={
            "one": fit(need(1), term(0.5, "left.wheel.diameter"), term(0.5, "left.wheel.diameter")),
            "two": fit(need(1), term(0.5, "left.wheel.diameter"), term(0.5, "right.wheel.diameter")),
        },
    )
    found = figures(design, pod)
    assert found["one"].rss_mm == pytest.approx((39.8, 40.2))
    assert found["two"].rss_mm == pytest.approx((40 - 0.2 / sqrt(2), 40 + 0.2 / sqrt(2)))


def test_a_box_has_its_third_side_as_thickness_and_a_name_in_dims_wins():
    receiver = part(size=box(28, 19, 9, 0.2), dims={"length": mm(30, 0.5)})
    found = one(
        {"receiver": receiver},
        term(1, "receiver.thickness"),
        term(-1, "receiver.height"),
        term(1, "receiver.length"),
    )
    assert found.nominal_mm == 30
    assert found.worst_mm == pytest.approx((29.5, 30.5))


def test_a_bar_is_as_long_as_it_is_cut():
    found = one({"axle": part(length=mm(60, 0.4), size=box(1, 2, 3))}, term(1, "axle.length"))
    assert found.worst_mm == pytest.approx((59.6, 60.4))


# --- what follows ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("low", "holds"),
    [
        (8.0, "in the worst case"),
        (8.4, "in the worst case"),
        (8.5, "by root sum square"),
        (8.7, "nominally"),
        (9.1, "not nominally"),
        (9.7, "never"),
    ],
)
def test_a_miss_that_only_the_worst_case_brings_is_told_from_one_sure_to_come(low, holds):
    parts = {"a": part(dims={"x": mm(20, 0.3)}), "b": part(dims={"x": mm(11, 0.3)})}
    found = one(parts, term(1, "a.x"), term(-1, "b.x"), needed=need(low=low))
    assert found.holds == holds  # worst 8.4 to 9.6, root sum square 8.576 to 9.424


def test_a_need_on_both_sides_is_missed_on_either():
    found = one({"a": part(dims={"x": mm(9, 0.3)})}, term(1, "a.x"), needed=need(low=8.9, high=9.1))
    assert found.need_mm == (8.9, 9.1)
    assert found.chance_missed == pytest.approx(2 * NormalDist().cdf(-1.0))


def test_an_exact_gap_is_missed_for_certain_or_not_at_all():
    exact = {"a": part(dims={"x": mm(0.3, 0.0)})}
    held = one(exact, term(1, "a.x"), term(-1, mm(0.1)), needed=need(low=0.2))
    missed = one(exact, term(1, "a.x"), term(-1, mm(0.1)), needed=need(low=0.21))
    assert (held.chance_missed, missed.chance_missed) == (0.0, 1.0)
    assert held.contributors[0].share is None


def test_a_stock_s_thickness_is_never_what_to_tighten():
    parts = {"lid": plate(), "side": part(process="router", dims={"height": mm(30)})}
    found = one(parts, term(1, "side.height"), term(-1, "lid.thickness"))
    assert max(found.contributors, key=lambda c: c.share or 0).ref == "lid.thickness"
    assert found.tighten == "side.height"


# --- choices ---------------------------------------------------------------------------------------------


def with_fork(fitted: str) -> FitFigure:
    design = robot(
        parts={"nose": part(dims={"reach": mm(30, 0.1)})},
        options={
            "fork": option(
                long=Choice(parts={"tine-long": part(dims={"tip": mm(35, 0.1)})}),
                short=Choice(parts={"tine-short": part(dims={"tip": mm(25, 0.1)})}),
            ),
            "paint": option(red=Choice(), blue=Choice()),
        },
        fitted={"fork": fitted, "paint": "red"},
        fits={
            "by-name": fit(need(high=0), term(1, "tine-long.tip"), term(-1, "nose.reach")),
            "by-option": fit(need(high=0), term(1, "fork.tip"), term(-1, "nose.reach")),
        },
    )
    return figures(design)


def test_a_fit_whose_choice_is_not_fitted_is_shown_with_nothing_worked_out():
    found = with_fork("short")["by-name"]
    assert (found.nominal_mm, found.contributors, found.not_in) == (None, (), ("tine-long.tip",))
    assert found.need_mm == (None, 0)
    assert found.fails_with == ({"fork": "long"},)


def test_an_option_in_a_chain_stands_for_what_is_fitted_and_every_choice_is_tried():
    found = with_fork("short")["by-option"]
    assert found.nominal_mm == -5
    assert found.contributors[0].ref == "tine-short.tip"
    assert found.fails_with == ({"fork": "long"},)
    assert found.all_tried


def test_choices_that_hold_no_term_are_not_listed():
    found = one(
        {"a": part(dims={"x": mm(1)})},
        term(1, "a.x"),
        needed=need(low=2),
        options={"paint": option(red=Choice(), blue=Choice())},
        fitted={"paint": "red"},
    )
    assert (found.holds, found.fails_with) == ("not nominally", ())


# --- measured --------------------------------------------------------------------------------------------


def measured(gap: Uncertain) -> tuple:
    figure = one({"a": part(dims={"x": mm(9, plus=0.9, minus=0.3)})}, term(1, "a.x"), needed=need(low=9))
    found = against_reading(figure, gap)
    return found.residual_mm, found.normalised_error, found.meets_need


def test_a_measured_gap_is_held_against_the_centred_chain():
    # centred 9.3, T 0.6, σ 0.2; √(0.2² + 0.15²) = 0.25, U 0.5
    residual, normalised, meets_need = measured(from_source(8.8, "scale", 0.15))
    assert residual == pytest.approx(-0.5)
    assert normalised == pytest.approx(-1.0)
    assert meets_need is False
    assert measured(from_source(9.0, "scale", 0.15))[2] is True


def test_without_the_reading_s_spread_there_is_no_normalised_error():
    residual, normalised, _ = measured(from_source(8.8, "scale", None))
    assert (residual, normalised) == (pytest.approx(-0.5), None)
