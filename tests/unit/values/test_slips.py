"""What is said where text is no quantity: the place, and a text that would do."""

import re

import pytest

from lineage.values.parsing import QuantityError, parse_quantity

SLIPS = [
    # text, dimensions, where, mended
    ("1,5 mm", ("length",), "1,5", "1.5 mm"),
    (",5 mm", ("length",), ",5", ".5 mm"),
    ("1.200,5 mm", ("length",), "1.200,5", "1200.5 mm"),
    ("1,200.5 mm", ("length",), "1,200.5", "1200.5 mm"),
    ("1 200 mm", ("length",), "1 200", "1200 mm"),
    ("1_000 mm", ("length",), "1_000", "1000 mm"),
    ("010 mm", ("length",), "010", "10 mm"),
    ("00.5 mm", ("length",), "00", "0.5 mm"),
    ("1/04 in", ("length",), "04", "1/4 in"),
    ("1/0 in", ("length",), "1/0", "1 in"),
    (".inf", ("length",), ".inf", "12"),
    ("nan mm", ("length",), "nan", "12 mm"),
    ("1e400 mm", ("length",), "1e400", "12 mm"),
    ("1e99 mm", ("length",), "1e99", "12 mm"),
    ("1e-77 mm", ("length",), "1e-77", "12 mm"),
    ("٣٤ mm", ("length",), "٣٤", "34 mm"),
    ("1½ in", ("length",), "1½", "1 1/2 in"),
    ("10² mm", ("length",), "10²", "100 mm"),
    ("10**3 mm", ("length",), "10**3", "1000 mm"),
    ("12", ("mass",), "12", "12 g"),
    ("22 ± 0.2", ("length",), "22", "22 mm ± 0.2"),
    ("22 ± 0.2 g", ("length",), "g", "22 ± 0.2 mm"),
    ("12 gramms", ("mass",), "gramms", "12 g"),
    ("12 inch", ("length",), "inch", "12 in"),
    ('12"', ("length",), '"', "12 in"),
    ("12 µm", ("length",), "µm", "12 um"),
    ("5 mm²", ("area",), "mm²", "5 mm2"),
    ("5 MM", ("length",), "MM", "5 mm"),
    ("5 kg", ("force",), "kg", "5 kgf"),
    ("5 oz-in", ("torque",), "oz-in", "5 ozf in"),
    ("5 xyzzy", ("length",), "xyzzy", "5 mm"),
    ("mm 12", ("length",), "mm 12", "12 mm"),
    ("ca. 92 g", ("mass",), "ca.", "92 g"),
    ("~92 g", ("mass",), "~", "92 g"),
    ("2-3 mm", ("length",), "2-3 mm", "2.5 mm ± 0.5 mm"),
    ("12 mm thick", ("length",), "thick", "12 mm"),
    ("12 mm 2", ("length",), "2", "12 mm"),
    ("12 mm ± -0.2", ("length",), "-", "12 mm ± 0.2"),
    ("22 mm -0.1/+0.2", ("length",), "-0.1/+0.2", "22 mm +0.2/-0.1"),
    ("22 mm +0.2/+0.1", ("length",), "+0.2/+0.1", "22.15 mm ± 0.05"),
    ("22 mm -0.02/-0.05", ("length",), "-0.02/-0.05", "21.965 mm ± 0.015"),
    ("22 mm +0.2/-0.1 cm", ("length",), "cm", "22 mm +0.2/-0.1 mm"),
    ("22 mm ± 0.2 g", ("length",), "g", "22 mm ± 0.2 mm"),
    ("45 % ± 2 %", ("share",), "%", "45 % ± 2"),
    ("2:10", ("mass",), "2:10", "12 g"),
    ("mm", ("length",), "mm", "12 mm"),
    ("", ("length",), "", "12 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "dimensions", "where", "mended"), SLIPS)
def test_a_slip_is_pointed_at_and_its_cure_shown(text, dimensions, where, mended):
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, *dimensions)
    error = caught.value
    assert text[error.offset : error.end].strip() == where
    assert error.mend == f"write `{mended}`"
    assert str(error) == f"{error.what}; {error.wanted}; {error.mend}"


@pytest.mark.parametrize(("text", "dimensions", "where", "mended"), [s for s in SLIPS if s[0] != ".inf"])
def test_the_cure_of_a_single_slip_is_itself_right(text, dimensions, where, mended):
    assert parse_quantity(mended, *dimensions).dimension in dimensions


def test_a_comma_before_three_digits_may_mean_two_things_and_both_are_shown():
    with pytest.raises(QuantityError) as caught:
        parse_quantity("1,200 mm", "length")
    assert re.findall("`(.*?)`", caught.value.mend) == ["1200 mm", "1.200 mm"]


def test_a_tolerance_without_its_number_says_so():
    with pytest.raises(QuantityError, match="a ± without its number"):
        parse_quantity("± 0.2 mm", "length")


def test_overlong_text_is_refused_without_being_read():
    with pytest.raises(QuantityError, match="characters where a quantity is wanted"):
        parse_quantity("1" * 100_000, "length")


@pytest.mark.parametrize(
    "text",
    ["10**10**10 m", "9" * 199, "1" * 150 + "/3 mm", "1 " * 99, "1/" * 99, "± " * 99, "1:" * 99, "1,1." * 49],
)
def test_hostile_text_is_refused_at_once(text):
    with pytest.raises(QuantityError):
        parse_quantity(text, "length")


def test_what_is_wanted_names_units_prices_and_counts():
    def wanted(*dimensions):
        with pytest.raises(QuantityError) as caught:
            parse_quantity("x", *dimensions)
        return caught.value.wanted

    assert wanted("time") == "a time in s, ms, min or h"
    assert wanted("power", "share") == "a power in W, or a share in %"
    assert wanted("money") == "a price with its currency code, as in `12.50 EUR`"
    assert wanted("count") == "a number without a unit"
    assert wanted() == "a number with its unit"
