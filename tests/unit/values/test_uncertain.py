"""Numbers with named sources of uncertainty."""

import pytest

from lineage.values.uncertain import Uncertain, exact, from_source, total


def test_sources_of_their_own_add_as_squares():
    assert from_source(10.0, "a", 3.0).plus(from_source(5.0, "b", 4.0)) == Uncertain(
        15.0, {"a": 3.0, "b": 4.0}
    )
    assert from_source(10.0, "a", 3.0).plus(from_source(5.0, "b", 4.0)).u == 5.0


def test_a_shared_source_adds_with_its_sign():
    sheet = from_source(3.0, "thickness", 0.1)
    assert sheet.plus(sheet).u == pytest.approx(0.2)
    assert sheet.plus(sheet).plus(sheet).expanded == pytest.approx(0.6)
    assert sheet.minus(sheet) == exact(0.0)


def test_four_parts_of_one_mass_share_its_error():
    assert from_source(8.0, "motor", 0.2).scaled(4).u == pytest.approx(0.8)


def test_an_unknown_source_makes_the_uncertainty_unknown_and_not_zero():
    guess = from_source(8.0, "glue", None)
    both = guess.plus(from_source(1.0, "a", 0.1))
    assert (both.value, both.u, both.expanded, both.unknown) == (9.0, None, None, frozenset({"glue"}))
    assert both.times(exact(2.0)).u is None
    assert exact(2.0).over(both).u is None


def test_nothing_of_an_unknown_is_exactly_nothing():
    guess = from_source(8.0, "glue", None)
    assert guess.scaled(0) == exact(0.0)
    assert exact(0.0).times(guess) == exact(0.0)
    assert exact(0.0).over(guess) == exact(0.0)


def test_products_and_quotients_combine_relative_uncertainties():
    a, b = from_source(20.0, "a", 0.6), from_source(10.0, "b", 0.4)
    assert a.times(b).value == 200.0
    assert a.times(b).u == pytest.approx(200 * 0.05)
    assert a.over(b).value == 2.0
    assert a.over(b).u == pytest.approx(2 * 0.05)
    assert a.over(a) == exact(1.0)
    with pytest.raises(ZeroDivisionError):
        a.over(exact(0.0))


def test_a_sum_of_nothing_is_exactly_zero():
    assert total([]) == exact(0.0)
    assert total([]).u == 0.0


def test_an_uncertain_number_has_no_truth_order_or_float():
    number = from_source(1.0, "a", 0.1)
    with pytest.raises(TypeError):
        bool(number)
    with pytest.raises(TypeError):
        number < number  # noqa: B015, PLR0124
    with pytest.raises(TypeError):
        float(number)
