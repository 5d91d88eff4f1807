"""Laws of comparing: what must not matter does not, what must turn round turns round."""

from fractions import Fraction
from itertools import product
from math import comb, inf

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import beta, binom, fisher_exact, nbinom
from scipy.stats.contingency import odds_ratio as scipy_odds_ratio

from lineage.evidence.exact import Counts, Stratum, compare_counts, distribution_of, share_of
from lineage.evidence.gamma_poisson import Demand, Gamma, chance_of_more, chance_short, enough, quantity_for
from lineage.evidence.homogeneity import chance_of_differing_so
from lineage.evidence.readings import difference, log_ratio, side_of, verdict_of_difference
from lineage.evidence.verdicts import to_settle, verdict_of_counts
from tests.properties.strategies_evidence import counts, readings, strata, uninformative

few = settings(max_examples=60, deadline=None)

OPPOSITE = {
    "helped": "made it worse",
    "made it worse": "helped",
    "leaning better": "leaning worse",
    "leaning worse": "leaning better",
    "too few to tell": "too few to tell",
}
ORDER = ["helped", "leaning better", "too few to tell", "leaning worse", "made it worse"]


def swapped(tables):
    return [Stratum(table.after, table.before) for table in tables]


def mirrored(tables):
    """What did not fail, counted instead."""
    return [Stratum(turned(table.before), turned(table.after)) for table in tables]


def turned(counted):
    return Counts(counted.of - counted.count, counted.of)


def number(value):
    """None of an odds ratio or of its limits stands for infinite."""
    return inf if value is None else value


def inverse(value):
    return inf if value == 0 else 1 / number(value)


@few
@given(counts(most=30, least=1))
def test_equal_data_has_ratio_one_and_says_nothing(same):
    found = compare_counts([Stratum(same, same)])
    assert found.ratio == (1.0 if same.count else None)
    assert found.p_value == 1.0
    assert found.interval95[0] < 1
    assert found.interval95[1] is None or found.interval95[1] > 1
    if 0 < same.count < same.of:
        assert found.odds_ratio == pytest.approx(1, abs=1e-12)


@few
@given(strata(least=1))
def test_exchanging_before_and_after_inverts(tables):
    found, other = compare_counts(tables), compare_counts(swapped(tables))
    assert other.p_value == found.p_value
    assert (other.chance_as_few, other.chance_as_many) == (found.chance_as_many, found.chance_as_few)
    assert verdict_of_counts(swapped(tables)) == OPPOSITE[verdict_of_counts(tables)]
    if len(distribution_of(tables).weights) > 1:
        assert number(other.odds_ratio) == pytest.approx(inverse(found.odds_ratio), rel=1e-10)
        low, high = found.interval95
        assert number(other.interval95[0]) == pytest.approx(inverse(high), rel=1e-10)
        assert number(other.interval95[1]) == pytest.approx(inverse(low), rel=1e-10)


@few
@given(strata(least=1))
def test_counting_what_did_not_fail_turns_the_verdict_round(tables):
    assert verdict_of_counts(mirrored(tables)) == OPPOSITE[verdict_of_counts(tables)]


@few
@given(strata(least=1), uninformative(), st.integers(0, 4))
def test_a_stratum_that_can_come_out_one_way_only_changes_nothing(tables, extra, where):
    found, more = compare_counts(tables), compare_counts([*tables[:where], extra, *tables[where:]])
    for name in ("odds_ratio", "interval95", "chance_as_few", "chance_as_many", "p_value"):
        assert getattr(more, name) == getattr(found, name)
    assert verdict_of_counts([*tables, extra]) == verdict_of_counts(tables)


@few
@given(st.data())
def test_the_order_of_strata_changes_nothing(data):
    tables = data.draw(strata())
    shuffled = data.draw(st.permutations(tables))
    found, other = compare_counts(tables), compare_counts(shuffled)
    for name in ("before", "after", "ratio", "odds_ratio", "interval95", "p_value"):
        assert getattr(other, name) == getattr(found, name)
    assert chance_of_differing_so(shuffled) == chance_of_differing_so(tables)


@few
@given(strata(least=1))
def test_the_interval_excludes_one_exactly_where_p_is_below_one_in_twenty(tables):
    found, distribution = compare_counts(tables), distribution_of(tables)
    low, high = found.interval95
    p = Fraction(2 * min(distribution.as_few, distribution.as_many), distribution.total)
    assert (low > 1 or (high is not None and high < 1)) == (p < Fraction(1, 20))
    if len(distribution.weights) > 1 and found.odds_ratio is not None:
        assert low <= found.odds_ratio
        assert high is None or found.odds_ratio <= high


@few
@given(counts(most=60, least=1), counts(most=60, least=1))
def test_one_table_agrees_with_the_reference_library(before, after):
    found = compare_counts([Stratum(before, after)])
    table = [[after.count, after.of - after.count], [before.count, before.of - before.count]]
    assert found.chance_as_few == pytest.approx(fisher_exact(table, alternative="less").pvalue, rel=1e-9)
    assert found.chance_as_many == pytest.approx(fisher_exact(table, alternative="greater").pvalue, rel=1e-9)
    if 0 < before.count < before.of and 0 < after.count < after.of:
        reference = scipy_odds_ratio(table)
        limits = reference.confidence_interval(0.95)
        assert found.odds_ratio == pytest.approx(reference.statistic, rel=1e-8)
        assert found.interval95 == pytest.approx((limits.low, limits.high), rel=1e-7)


@few
@given(counts(most=400, least=1), st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_limits_of_a_share_agree_with_the_reference_library(failed, level):
    k, n, tail = failed.count, failed.of, (1 - level) / 2
    share = share_of(k, n, level)
    assert share.low <= share.value <= share.high
    if k:
        assert share.low == pytest.approx(beta.ppf(tail, k, n - k + 1), rel=1e-10)
        assert binom.sf(k - 1, n, share.low) == pytest.approx(tail, rel=1e-10)
    if k < n:
        assert share.high == pytest.approx(beta.isf(tail, k + 1, n - k), rel=1e-10)


@few
@given(strata(most=4, least=1))
def test_differing_so_agrees_with_going_through_every_outcome(tables):
    def ways(table, after):
        k = table.before.count + table.after.count
        return comb(table.after.of, after) * comb(table.before.of, k - after) if k >= after else 0

    def weight(outcome):
        total = 1
        for table, after in zip(tables, outcome, strict=True):
            total *= ways(table, after)
        return total

    seen = tuple(table.after.count for table in tables)
    outcomes = product(*(range(table.after.of + 1) for table in tables))
    weights = [weight(outcome) for outcome in outcomes if sum(outcome) == sum(seen)]
    expected = Fraction(sum(w for w in weights if w <= weight(seen)), sum(weights))
    assert chance_of_differing_so(tables) == expected


@few
@given(st.data())
def test_unmatched_failures_never_make_a_verdict_better(data):
    tables = data.draw(strata(least=1))
    unmatched = [data.draw(st.integers(0, table.after.of - table.after.count)) for table in tables]
    plain, burdened = verdict_of_counts(tables), verdict_of_counts(tables, unmatched)
    assert ORDER.index(burdened) >= ORDER.index(plain)
    if plain != burdened:
        assert plain in {"helped", "leaning better"}
        assert ORDER.index(burdened) <= ORDER.index("too few to tell")


@few
@given(st.data())
def test_to_settle_is_the_least_number_of_clean_bouts_that_makes_it_helped(data):
    tables = data.draw(strata(most=9))
    own = data.draw(st.integers(0, len(tables) - 1))
    found = to_settle(tables, own)

    def verdict(further):
        asked = tables[own]
        longer = Stratum(asked.before, Counts(asked.after.count, asked.after.of + further))
        return verdict_of_counts([*tables[:own], longer, *tables[own + 1 :]])

    if found is None:
        assert verdict(100_000) != "helped"
    else:
        assert verdict(found) == "helped"
        assert found == 0 or verdict(found - 1) != "helped"


@few
@given(readings(), readings())
def test_exchanging_readings_turns_the_difference_round(before, after):
    one, other = side_of(before), side_of(after)
    there, back = difference(one, other), difference(other, one)
    assert back.value == -there.value
    assert back.interval95 == pytest.approx((-there.interval95[1], -there.interval95[0]))
    assert verdict_of_difference(back, "more") == OPPOSITE[verdict_of_difference(there, "more")]
    assert verdict_of_difference(there, "less") == OPPOSITE[verdict_of_difference(there, "more")]
    ratio, inverse_ratio = log_ratio(one, other), log_ratio(other, one)
    assert inverse_ratio.value == pytest.approx(-ratio.value, abs=1e-12)


@few
@given(st.integers(0, 40), st.floats(0.3, 50), st.floats(0.05, 50), st.floats(0.1, 60))
def test_prediction_agrees_with_the_reference_library(pieces, shape, rate, bouts):
    reference = nbinom.sf(pieces, shape, rate / (rate + bouts))
    assert chance_of_more(Gamma(shape, rate), pieces, bouts) == pytest.approx(reference, rel=1e-9, abs=1e-300)


@few
@given(st.integers(0, 20), st.integers(0, 60), st.integers(1, 40), st.integers(1, 300), st.integers(0, 40))
def test_the_packed_quantity_is_the_least_that_runs_short_at_most_once_in_twenty(
    k, n, family_k, family_n, bouts
):
    assume(family_k >= k and family_n >= n)
    own, family = Demand(k, n), Demand(family_k, family_n)
    quantity = quantity_for(own, family, bouts)
    assert chance_short(own, family, bouts, quantity) <= 0.05
    assert quantity == 0 or chance_short(own, family, bouts, quantity - 1) > 0.05


def test_a_greater_protection_never_wants_fewer_pieces():
    belief = Gamma(3.5, 10)
    wanted = [enough(belief, 8, short) for short in (0.5, 0.2, 0.1, 0.05, 0.01, 0.001)]
    assert wanted == sorted(wanted)
    assert wanted[0] < wanted[-1]
