"""Needs of fits and terms of their chains."""

import re

import pytest

from lineage.values.parsing import QuantityError, parse_chain_term, parse_need


def test_a_need_is_open_on_one_side_or_on_none():
    least, most, both = (parse_need(t) for t in ("at least 1 mm", "at most 2 mm", "between -0.1 mm and 1 cm"))
    assert (least.low.value, least.high) == (1.0, None)
    assert (most.low, most.high.value) == (None, 2.0)
    assert (both.low.value, both.high.value) == (-0.1, 10.0)


def test_a_need_may_be_of_another_dimension():
    assert parse_need("at most 90 s", "time").high.value == 90.0
    assert parse_need("at most 2:10", "time").high.value == 130.0
    assert parse_need("at least 7", "count", "time").low.value == 7.0
    with pytest.raises(QuantityError, match="limits of time and of force"):
        parse_need("between 1 s and 2 N", "time", "force")


@pytest.mark.parametrize(
    ("text", "mends"),
    [(">= 1 mm", ["at least 1 mm"]), ("≤ 1 mm", ["at most 1 mm"]), ("max 2 mm", ["at most 2 mm"]), ("1 mm", ["at least 1 mm", "at most 1 mm"]),
     ("between 1 and 2 mm", ["between 1 mm and 2 mm"]), ("between 2 mm and 1 mm", ["between 1 mm and 2 mm"]),
     ("at least 1", ["at least 1 mm"]), ("at least 1 mm ± 0.1 mm", ["at least 1 mm"]), ("at least 1,5 mm", ["at least 1.5 mm"]),
     ("snug", ["at least 1 mm"]),
        ("at least 1 ± 0.1 mm", ["at least 1 mm"]), ("between 1 mm and 2", ["between 1 mm and 2 mm"])],
)  # fmt: skip
def test_slips_in_needs_are_mended(text, mends):
    with pytest.raises(QuantityError) as caught:
        parse_need(text)
    assert re.findall("`(.*?)`", caught.value.mend) == mends
    for mend in mends:
        parse_need(mend)


@pytest.mark.parametrize(
    ("text", "coefficient", "ref", "dim"),
    [("side.height", 1.0, "side", "height"), ("+side.height", 1.0, "side", "height"), ("-b.height", -1.0, "b", "height"),
     ("-2 * b.height", -2.0, "b", "height"), ("2*b.height", 2.0, "b", "height"), ("-1/2 * b.bay-height", -0.5, "b", "bay-height"),
     ("drive-left.wheel.diameter", 1.0, "drive-left.wheel", "diameter"), ("1.5e1 * a.b", 15.0, "a", "b")],
)  # fmt: skip
def test_a_term_is_a_signed_multiple_of_a_dimension(text, coefficient, ref, dim):
    term = parse_chain_term(text)
    assert (term.coefficient, term.ref, term.dim, term.literal, term.text) == (
        coefficient,
        ref,
        dim,
        None,
        text,
    )


def test_the_sign_of_a_literal_is_its_coefficient_and_its_tolerance_that_of_the_number():
    term = parse_chain_term("-1.2 mm +0.1/-0")
    assert (term.coefficient, term.ref, term.dim) == (-1.0, None, None)
    assert (term.literal.value, term.literal.plus, term.literal.minus) == (1.2, 0.1, 0.0)
    assert parse_chain_term("+0.5 mm").coefficient == parse_chain_term("0.5 mm").coefficient == 1.0


@pytest.mark.parametrize(
    ("text", "mend"),
    [("- b.height", "-b.height"), ("+ 1 mm", "+1 mm"), ("2 b.height", "2 * b.height"), ("-b.height * 2", "-2 * b.height"),
     ("b", "b.height"), ("Side.Height", "side.height"), ("bay_box.height", "bay-box.height"), ("1.2", "1.2 mm"), ("1,2 mm", "1.2 mm"),
     ("0 * b.height", "1 * b.height"), ("--1 mm", "side.height")],
)  # fmt: skip
def test_slips_in_terms_are_mended(text, mend):
    with pytest.raises(QuantityError) as caught:
        parse_chain_term(text)
    assert re.findall("`(.*?)`", caught.value.mend)[0] == mend
    parse_chain_term(mend)
