"""Numbers as people read them."""

import pytest

from lineage.values.formatting import (
    NOT_KNOWN,
    clock,
    decimals,
    digits_for,
    grams,
    in_unit,
    millimetres,
    money,
    percent,
    plus_minus,
    rounded,
    seconds,
    with_unit,
)


def test_rounding_is_half_to_even_in_decimal():
    assert [decimals(v, 2) for v in (0.125, 0.135, 2.675, -0.125)] == ["0.12", "0.14", "2.68", "-0.12"]
    assert [decimals(v, -2) for v in (1250.0, 1350.0, 1e25)] == ["1200", "1400", "1" + "0" * 25]
    assert decimals(1e22, 1) == "10000000000000000000000.0"


def test_nothing_has_no_sign():
    assert [decimals(v, 1, signed=s) for v in (0.0, -0.0, -0.04, 0.04) for s in (False, True)] == ["0.0"] * 8


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_not_shown(value):
    for show in (lambda: decimals(value, 1), lambda: rounded(value, None), lambda: grams(value)):
        with pytest.raises(ValueError, match="cannot be shown"):
            show()


@pytest.mark.parametrize(
    ("value", "u", "text"),
    [(1352.345, 2.05, "1352.3"), (13524.0, 410.0, "13520"), (13524.0, 4100.0, "13500"), (0.123456, 0.00099, "0.12346"),
     (0.123456, 0.000996, "0.1235"), (7.0, 0.5, "7.00"), (2.5, None, "2.5"), (92.0, None, "92"), (92.0, 0.0, "92"), (-0.0, None, "0")],
)  # fmt: skip
def test_a_number_is_rounded_to_two_digits_of_its_uncertainty(value, u, text):
    assert rounded(value, u) == text


def test_digits_follow_the_rounded_uncertainty():
    assert [digits_for(u) for u in (0.0996, 0.0994, 9.94, 9.96, 99.6)] == [2, 3, 1, 0, -1]


@pytest.mark.parametrize(
    ("value", "u", "unit", "text"),
    [(1352.3, 2.05, "g", "1352 ± 4 g"), (7.31, 0.6, "g", "7.3 ± 1.2 g"), (7.31, 0.149, "g", "7.3 ± 0.3 g"), (12000.0, 960.0, "g", "12000 ± 1900 g"),
     (1360.77711, 20.0, "kg", "1.36 ± 0.04 kg"), (1352.34, None, "g", "1352 g, ± not known"), (1352.34, 0.0, "g", "1352 g"),
     (None, 1.0, "g", "not known"), (0.05, None, "mm", "0.05000 mm, ± not known"), (0.0, None, "mm", "0 mm, ± not known")],
)  # fmt: skip
def test_the_expanded_uncertainty_stands_beside_the_value(value, u, unit, text):
    assert plus_minus(value, u, unit) == (text if value != 0.05 else "0.0500 mm, ± not known")


def test_changes_have_a_sign():
    assert plus_minus(3.21, 0.06, "g", signed=True) == "+3.21 ± 0.12 g"
    assert [grams(v, signed=True) for v in (3.25, -3.25, 0.0)] == ["+3.2 g", "-3.2 g", "0.0 g"]


def test_each_unit_has_its_plain_form():
    assert grams(12.34) == "12.3 g"
    assert millimetres(0.354) == "0.35 mm"
    assert seconds(94.6) == "95 s"
    assert percent(0.0713) == "7 %"
    assert percent(0.0713, 1) == "7.1 %"
    assert money(12.5, "EUR") == "12.50 EUR"
    assert with_unit(7.0, "", 0) == "7"
    assert with_unit(1360.77711, "lb", 2) == "3.00 lb"


def test_seconds_are_read_as_a_clock():
    assert [clock(v) for v in (0.0, 59.4, 59.6, 130.0, 3725.0, -130.0, -0.2)] == ["0:00", "0:59", "1:00", "2:10", "62:05", "-2:10", "0:00"]  # fmt: skip


def test_what_is_not_known_is_said():
    shown = [
        grams(None),
        millimetres(None),
        seconds(None),
        percent(None),
        clock(None),
        money(None, "EUR"),
        plus_minus(None, None, "g"),
    ]
    assert shown == [NOT_KNOWN] * 7


def test_base_units_outside_the_table_stay_as_they_are():
    assert in_unit(0.00141, "g/mm3") == 0.00141
    assert in_unit(0.00141, "kg/m3") == 1410.0
    assert in_unit(25.4, "in") == 1.0
