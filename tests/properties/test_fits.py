"""Laws of dimension chains, and agreement with reference methods."""

from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from uncertainties import ufloat

from lineage.figures.fits import FitFigure, work_out
from tests.hand_built import assembled, fit, mm, need, part, robot, term

LENGTHS = st.floats(0.5, 200).map(lambda x: round(x, 3))
LIMITS = st.floats(0, 1).map(lambda x: round(x, 3))
COEFFICIENTS = st.sampled_from((-2.0, -1.0, -0.5, 0.5, 1.0, 2.0))


@st.composite
def chains(draw):
    """Dimensions, and terms over them in which some occur more than once."""
    dims = {f"d{n}": (draw(LENGTHS), draw(LIMITS), draw(LIMITS)) for n in range(draw(st.integers(1, 5)))}
    terms = draw(st.lists(st.tuples(COEFFICIENTS, st.sampled_from(sorted(dims))), min_size=1, max_size=7))
    return dims, terms


def worked_out(dims, terms, low=0.0) -> FitFigure:
    block = part(dims={name: mm(value, plus=up, minus=down) for name, (value, up, down) in dims.items()})
    chain = fit(need(low=low), *(term(c, f"block.{name}") for c, name in terms))
    return work_out(chain, assembled(robot(parts={"block": block})))


@settings(max_examples=80, deadline=None)
@given(chains())
def test_worst_case_bounds_root_sum_square_which_is_about_the_middle(chain):
    found = worked_out(*chain)
    assert found.worst_mm[0] <= found.rss_mm[0] + 1e-9
    assert found.rss_mm[1] <= found.worst_mm[1] + 1e-9
    assert isclose(sum(found.worst_mm), sum(found.rss_mm), abs_tol=1e-9)
    assert found.worst_mm[0] - 1e-9 <= found.nominal_mm <= found.worst_mm[1] + 1e-9


@settings(max_examples=80, deadline=None)
@given(chains())
def test_shares_add_up_to_one_and_terms_to_the_nominal(chain):
    found = worked_out(*chain)
    shares = [c.share for c in found.contributors if c.share is not None]
    assert not shares or sum(shares) == pytest.approx(1)
    assert sum(t.coefficient * t.nominal_mm for t in found.terms) == pytest.approx(found.nominal_mm)
    assert sum(c.coefficient * c.nominal_mm for c in found.contributors) == pytest.approx(found.nominal_mm)


@settings(max_examples=60, deadline=None)
@given(chains(), st.sampled_from((0.25, 0.5, 2.0, 25.4)))
def test_scaling_all_dimensions_scales_the_gap_and_leaves_shares_and_chance_as_they_are(chain, factor):
    dims, terms = chain
    found = worked_out(dims, terms, low=1.0)
    larger = worked_out(
        {name: tuple(factor * x for x in sizes) for name, sizes in dims.items()}, terms, low=factor
    )
    scaled = [factor * x for x in (found.nominal_mm, found.centred_mm, *found.worst_mm, *found.rss_mm)]
    assert [larger.nominal_mm, larger.centred_mm, *larger.worst_mm, *larger.rss_mm] == pytest.approx(
        scaled, abs=1e-7
    )
    assert larger.chance_missed == pytest.approx(found.chance_missed, abs=1e-6)
    for one, other in zip(found.contributors, larger.contributors, strict=True):
        assert (one.ref, one.share) == (other.ref, pytest.approx(other.share) if other.share else other.share)


def _about(value, u):
    return ufloat(value, u) if u else value


@settings(max_examples=80, deadline=None)
@given(chains(), st.floats(-50, 50))
def test_centre_and_spread_are_those_of_linear_propagation_and_the_chance_that_of_the_normal(chain, low):
    dims, terms = chain
    known = {n: _about(value + (up - down) / 2, (up + down) / 2 / 3) for n, (value, up, down) in dims.items()}
    gap = sum((c * known[name] for c, name in terms), start=ufloat(0, 1e-15))
    found = worked_out(dims, terms, low=low)
    assert found.centred_mm == pytest.approx(gap.nominal_value, abs=1e-9)
    assert (found.rss_mm[1] - found.rss_mm[0]) / 2 == pytest.approx(3 * gap.std_dev, abs=1e-9)
    if gap.std_dev > 1e-6:
        expected = stats.norm.cdf(low, gap.nominal_value, gap.std_dev)
        assert found.chance_missed == pytest.approx(expected, rel=1e-6, abs=1e-300)


@settings(max_examples=60, deadline=None)
@given(chains(), st.data())
def test_any_build_within_its_limits_has_a_gap_within_the_worst_case(chain, data):
    dims, terms = chain
    made = {n: value + data.draw(st.floats(-down, up)) for n, (value, up, down) in dims.items()}
    found = worked_out(dims, terms)
    gap = sum(c * made[name] for c, name in terms)
    assert found.worst_mm[0] - 1e-9 <= gap <= found.worst_mm[1] + 1e-9
