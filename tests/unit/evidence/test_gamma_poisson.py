"""What to pack of an item."""

import pytest

from lineage.evidence.gamma_poisson import (
    Demand,
    Gamma,
    chance_any_short,
    chance_of_more,
    chance_short,
    prior_of,
    quantity_for,
)

NEVER_USED = Demand(0, 120)
FAMILY = Demand(6, 120)


def test_the_prior_is_worth_half_a_piece_at_the_rate_of_the_family():
    prior = prior_of(FAMILY)
    assert prior == Gamma(0.5, 10.0)
    assert prior.shape / prior.rate == pytest.approx(6 / 120)


def test_where_the_family_used_none_nothing_is_known():
    assert prior_of(NEVER_USED) is None
    assert chance_short(Demand(0, 20), NEVER_USED, 8, 0) is None
    assert quantity_for(Demand(0, 20), NEVER_USED, 8) is None


def test_own_demand_weighs_more_than_the_family():
    calm, hungry = Demand(0, 20), Demand(5, 20)
    assert quantity_for(calm, FAMILY, 8) < quantity_for(hungry, FAMILY, 8)
    assert chance_short(calm, FAMILY, 8, 1) < chance_short(hungry, FAMILY, 8, 1)


def test_a_robot_without_bouts_of_its_own_is_taken_as_the_family():
    """Shape ½, rate 10 and 10 bouts: none is wanted with chance (10/20)^½."""
    assert chance_short(Demand(0, 0), FAMILY, 10, 0) == pytest.approx(1 - 0.5**0.5, rel=1e-12)


def test_no_bouts_want_no_spares():
    assert quantity_for(Demand(3, 10), FAMILY, 0) == 0
    assert chance_of_more(Gamma(0.5, 10), 0, 0) == 0


def test_any_number_of_bouts_is_answered():
    assert quantity_for(Demand(3, 10), FAMILY, 100_000) > 5_000
    assert quantity_for(Demand(3, 10), FAMILY, 10**9) is None


def test_a_box_runs_short_when_any_item_does():
    assert chance_any_short([]) == 0
    assert chance_any_short([0.04, 0.0, 0.05]) == pytest.approx(1 - 0.96 * 0.95)
    assert chance_any_short([0.3, 1.0]) == 1
    assert chance_any_short([1e-20, 2e-20]) == pytest.approx(3e-20)
