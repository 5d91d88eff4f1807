"""Dimension chains against printed examples. Inches of a source are put in as mm: a sum does not mind."""

from math import sqrt

import pytest

from lineage.figures.fits import FitFigure, work_out
from tests.hand_built import assembled, fit, mm, need, part, robot, term

SHIGLEY = "Shigley, Mechanical Engineering Design, example 1-3 (seen in a copy of the source)"


def stack(dims: dict, *terms: tuple[float, str], low: float = 0.0) -> FitFigure:
    design = robot(parts={"block": part(dims=dims)})
    chain = fit(need(low=low), *(term(c, f"block.{dim}") for c, dim in terms))
    return work_out(chain, assembled(design))


def shigley(d: float) -> FitFigure:
    dims = {"a": mm(1.750, 0.003), "b": mm(0.750, 0.001), "c": mm(0.120, 0.005), "d": mm(d, 0.001)}
    return stack(dims, (1, "a"), (-1, "b"), (-1, "c"), (-1, "d"))


def test_shigley_example_1_3_worst_case():
    found = shigley(0.875)
    assert found.nominal_mm == pytest.approx(0.005, abs=0.0005), SHIGLEY
    assert found.worst_mm == pytest.approx((-0.005, 0.015), abs=0.0005), SHIGLEY


def test_shigley_example_1_3_root_sum_square():
    # ± .006 exactly: computed with a reference library (√(3² + 1² + 5² + 1²) = 6)
    assert shigley(0.875).rss_mm == pytest.approx((-0.001, 0.011), abs=1e-12)


def test_shigley_example_1_3_with_the_dimension_that_keeps_the_least_gap():
    found = shigley(0.867)
    assert found.worst_mm is not None
    assert found.worst_mm[0] == pytest.approx(0.003, abs=0.0005), SHIGLEY


def test_shigley_o_ring_counts_its_section_twice_as_one():
    # outer 4.012 ± .036 (seen in a copy of the source); root-sum-square .0291204396 (computed with a reference
    # library, sensitivity 2)
    dims = {"inner": mm(3.734, 0.028), "section": mm(0.139, 0.004)}
    for terms in ([(1, "inner"), (2, "section")], [(1, "inner"), (1, "section"), (1, "section")]):
        found = stack(dims, *terms)
        assert found.nominal_mm == pytest.approx(4.012, abs=0.0005)
        assert found.worst_mm == pytest.approx((4.012 - 0.036, 4.012 + 0.036), abs=0.0005)
        assert found.rss_mm is not None
        assert (found.rss_mm[1] - found.rss_mm[0]) / 2 == pytest.approx(0.0291204396, abs=5e-11)


def test_ten_parts_of_a_tenth():
    # worst ± 1.0, root-sum-square ± .316 (seen in a copy of the source)
    found = stack({f"d{n}": mm(5, 0.1) for n in range(10)}, *((1, f"d{n}") for n in range(10)))
    assert found.worst_mm == pytest.approx((49.0, 51.0), abs=0.05)
    assert found.rss_mm is not None
    assert (found.rss_mm[1] - found.rss_mm[0]) / 2 == pytest.approx(0.316, abs=0.0005)


def test_a_lopsided_dimension_is_centred_before_stacking():
    # 20 +0/−.1 is 19.95 ± .05 (arithmetic)
    found = stack({"a": mm(20, plus=0.0, minus=0.1)}, (1, "a"))
    assert found.centred_mm == pytest.approx(19.95)
    assert found.contributors[0].tolerance_mm == pytest.approx(0.05)


@pytest.mark.parametrize(
    ("size", "grades", "least", "most", "source"),
    [
        (
            25,
            ("H7", "g6"),
            0.007,
            0.041,
            "a fits calculator, torqyx.vercel.app (seen in a copy of the source)",
        ),
        (25, ("H7", "h6"), 0.0, 0.034, "metricmech (seen in a copy of the source)"),
        (50, ("H8", "f7"), 0.025, 0.089, "an encyclopedia's page on fits (seen in a copy of the source)"),
        (29, ("H7", "h8"), 0.0, 0.054, "isoFits README (seen in a copy of the source)"),
        (10, ("H7", "p6"), -0.024, 0.0, "ISO 286-1 tables (computed with a reference library)"),
    ],
)
def test_clearance_of_a_hole_and_a_shaft_by_grade(size, grades, least, most, source):
    dims = {"hole": mm(size, grade=grades[0]), "shaft": mm(size, grade=grades[1])}
    found = stack(dims, (1, "hole"), (-1, "shaft"))
    assert found.nominal_mm == 0
    assert found.worst_mm == pytest.approx((least, most), abs=0.0005), source


def test_chance_missed_of_three_sigma():
    # beyond 3 σ on one side: .00135 (normal table, from memory)
    found = stack({"a": mm(10, 0.3), "b": mm(5, 0.4)}, (1, "a"), (-1, "b"), low=4.5)
    assert sqrt(0.3**2 + 0.4**2) == pytest.approx(0.5)
    assert found.chance_missed == pytest.approx(0.00135, abs=0.000005)
