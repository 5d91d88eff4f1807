"""Laws of reading and showing quantities."""

import re
from fractions import Fraction
from math import isfinite

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lineage.values import parsing
from lineage.values.formatting import decimals, in_unit, plus_minus, rounded, with_unit
from lineage.values.parsing import (
    QuantityError,
    parse_need,
    parse_quantity,
    parse_reading,
    parse_section,
    parse_size,
)
from lineage.values.quantity import Quantity
from lineage.values.units import UNITS
from tests.properties.strategies_values import anything, lengths, number, physical, scribble, unsigned

quick = settings(max_examples=100, deadline=None)

PARSERS = {name: getattr(parsing, name) for name in parsing.__all__ if name.startswith("parse_")}
PARSERS |= {
    "parse_reading": lambda text: parse_reading(text, "stall push"),
    "parse_size, two or three": lambda text: parse_size(text, (2, 3), positive=True),
    "parse_quantity, of a few": lambda text: parse_quantity(text, "length", "share", "count", positive=True),
    "parse_need, of a few": lambda text: parse_need(text, "time", "count", "share"),
    "parse_section, positive": lambda text: parse_section(text, positive=True),
}


def fraction_of(text):
    """The value of a typed number, in exact arithmetic."""
    sign = -1 if text.startswith("-") else 1
    return sign * sum((Fraction(part) for part in text.lstrip("+-").split()), Fraction(0))


def refused_neatly(parse, text):
    """Parse; whatever is wrong is a QuantityError that points into the text and shows a cure."""
    try:
        return parse(text)
    except QuantityError as error:
        assert 0 <= error.offset <= error.end <= len(text)
        assert error.what and error.wanted
        assert re.search("`.+`", error.mend)
        return None


@pytest.mark.parametrize("parse", PARSERS.values(), ids=PARSERS)
@settings(max_examples=40, deadline=None)
@given(text=scribble | anything)
@example(text="")
@example(text=" ")
@example(text="\n")
@example(text="±")
@example(text="1e309 mm")
@example(text="9" * 1000)
@example(text="12 x x mm")
@example(text="10²² mm")
@example(text="²")
@example(text="99999:99")
@example(text="for for for")
def test_no_text_raises_anything_but_a_quantity_error_within_the_text(parse, text):
    refused_neatly(parse, text)


@pytest.mark.parametrize("parse", PARSERS.values(), ids=PARSERS)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_a_right_text_with_one_character_changed_is_read_or_refused_neatly(parse, data):
    right = data.draw(st.sampled_from([
        "92 g ± 1 g weighed for 2", "68 ± 1 x 35 x 17 mm", "68 x 35 x 17 mm ± 0.5 mm", "12 x 1 mm tube", "22 H7 mm",
        "between 1 mm and 2 mm", "-2 * drive-left.wheel.diameter", "+0.2/-0.1 mm", "ISO 2768-1 m", "2:10 ± 5 s",
        "12.50 EUR", "1 1/4 in ± 1/64", "1.5e-3 kgf.cm", "45 % ± 2", "10 x -20 x 5 mm", "22 mm +0.2/-0.1", "at least 1 mm",
    ]))  # fmt: skip
    at = data.draw(st.integers(0, len(right) - 1))
    new = data.draw(scribble.filter(lambda s: len(s) < 3))
    refused_neatly(parse, right[:at] + new + right[at + data.draw(st.integers(0, 1)) :])


@quick
@given(typed=number, unit=physical, gap=st.sampled_from(["", " ", "  "]))
def test_a_number_is_worth_what_exact_arithmetic_says(typed, unit, gap):
    found = parse_quantity(f"{typed}{gap}{unit}")
    known = UNITS[unit]
    factor = Fraction(known.factor) if known.tens is None else Fraction(10) ** known.tens
    assert found.value == pytest.approx(float(fraction_of(typed) * factor), rel=4e-16, abs=0)
    assert found.dimension == known.dimension
    if known.tens is not None and "/" not in typed:
        assert found.value == float(fraction_of(typed) * factor)


@quick
@given(typed=number, width=unsigned, unit=lengths, other=lengths)
def test_a_tolerance_is_worth_its_own_unit_or_that_of_its_number(typed, width, unit, other):
    own = parse_quantity(f"{typed} {unit} ± {width} {other}")
    same = parse_quantity(f"{typed} {unit} +/- {width}")
    assert own.plus == own.minus == parse_quantity(f"{width} {other}").value
    assert same.plus == same.minus == parse_quantity(f"{width} {unit}").value
    uneven = parse_quantity(f"{typed} {unit} +{width}/-{width}")
    assert (uneven.plus, uneven.minus, uneven.value) == (same.plus, same.minus, same.value)


@quick
@given(typed=number, unit=physical)
def test_a_text_reads_the_same_again(typed, unit):
    found = parse_quantity(f" {typed} {unit} ")
    assert parse_quantity(found.text) == found


@quick
@given(
    numbers=st.tuples(number, number, number),
    unit=lengths,
    tail=st.sampled_from(["", " ± 0.5", " ± 0.5 mm", " +1/-0", " ± 5 %"]),
)
def test_a_size_is_three_quantities_in_one_unit(numbers, unit, tail):
    size = parse_size(f"{' x '.join(numbers)} {unit}{tail}")
    alone = [parse_quantity(f"{n} {unit}{tail}") for n in numbers]
    parts = [size.length, size.width, size.height]
    assert [(q.value, q.plus, q.minus, q.last_digit) for q in parts] == [
        (q.value, q.plus, q.minus, q.last_digit) for q in alone
    ]
    assert [parse_quantity(q.text).value for q in parts] == [q.value for q in parts]


@quick
@given(value=st.floats(-1e9, 1e9), unit=physical)
def test_units_round_trip(value, unit):
    known = UNITS[unit]
    base = value * known.factor
    assert in_unit(base, unit) == pytest.approx(value, rel=1e-14)


@quick
@given(value=st.floats(-1e6, 1e6), unit=physical, digits=st.integers(0, 9))
def test_what_is_shown_reads_back_as_what_was_rounded(value, unit, digits):
    shown = with_unit(value * UNITS[unit].factor, unit, digits)
    found = parse_quantity(shown)
    assert in_unit(found.value, unit) == pytest.approx(value, abs=0.5001 * 10.0**-digits + 1e-8)
    assert with_unit(found.value, unit, digits) == shown


@quick
@given(value=st.floats(-1e6, 1e6), u=st.floats(1e-6, 1e5))
def test_a_shown_uncertainty_reads_back_within_its_last_digit(value, u):
    found = parse_quantity(plus_minus(value, u, "g"), "mass")
    assert found.plus == pytest.approx(2 * u, rel=0.18)  # one digit from 3 on: 3.5 is shown as 4
    assert abs(found.value - value) <= 0.51 * 10 * found.plus / 2


@quick
@given(value=st.floats(-1e6, 1e6), u=st.floats(1e-6, 1e5))
def test_rounding_to_an_uncertainty_moves_a_value_by_a_twentieth_of_it_at_most(value, u):
    assert abs(float(rounded(value, u)) - value) <= 0.0501 * u + 1e-9


@quick
@given(value=st.floats(allow_nan=False, allow_infinity=False), digits=st.integers(-5, 12))
def test_every_finite_number_can_be_shown_without_an_exponent(value, digits):
    shown = decimals(value, digits, signed=True)
    assert re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?", shown)
    assert not re.fullmatch(r"[+-]0*(\.0*)?", shown)
    assert float(rounded(value, None)) == value


@quick
@given(text=scribble)
def test_what_is_read_is_finite(text):
    found = refused_neatly(parse_quantity, text)
    if isinstance(found, Quantity):
        numbers = [found.value, found.plus, found.minus, found.last_digit]
        assert all(isfinite(n) for n in numbers if n is not None)
        assert found.plus is None or found.plus >= 0
