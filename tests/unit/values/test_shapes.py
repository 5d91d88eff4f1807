"""Sizes, positions and sections."""

import re

import pytest

from lineage.values.parsing import QuantityError, parse_position, parse_quantity, parse_section, parse_size


def numbers_of(size):
    return [(q.value, q.plus, q.minus) for q in (size.length, size.width, size.height) if q is not None]


@pytest.mark.parametrize(
    "text", ["68 x 35 x 17 mm", "68x35x17mm", "68 × 35 × 17 mm", "6.8 x 3.5 x 1.7 cm", " 68 x 35 x 17 mm "]
)
def test_a_size_is_length_width_and_height_with_one_unit(text):
    assert numbers_of(parse_size(text)) == [(68.0, None, None), (35.0, None, None), (17.0, None, None)]


def test_each_number_may_have_its_own_tolerance():
    size = parse_size("68 ± 1 x 35 +0.2/-0.1 x 17 ± 10 % mm")
    assert numbers_of(size) == [
        (68.0, 1.0, 1.0),
        (35.0, 0.2, 0.1),
        (17.0, pytest.approx(1.7), pytest.approx(1.7)),
    ]
    assert numbers_of(parse_size("68 ± 1 x 35 x 17 mm"))[1:] == [(35.0, None, None), (17.0, None, None)]


@pytest.mark.parametrize(
    ("tail", "plus", "minus"), [("± 0.5 mm", 0.5, 0.5), ("± 0.5", 0.5, 0.5), ("+0.5/-0.2", 0.5, 0.2)]
)
def test_a_tolerance_behind_the_unit_is_for_all(tail, plus, minus):
    size = parse_size(f"68 x 35 x 17 mm {tail}")
    assert numbers_of(size) == [(v, plus, minus) for v in (68.0, 35.0, 17.0)]
    assert parse_size("40 x 20 x 10 mm ± 5 %").height.plus == pytest.approx(0.5)


def test_a_tolerance_behind_the_last_number_alone_is_refused_with_the_two_ways_to_write_it():
    with pytest.raises(QuantityError) as caught:
        parse_size("68 x 35 x 17 ± 0.5 mm")
    ways = re.findall("`(.*?)`", caught.value.mend)
    assert ways == ["68 x 35 x 17 mm ± 0.5", "68 ± 0 x 35 ± 0 x 17 ± 0.5 mm"]
    assert [numbers_of(parse_size(way))[2] for way in ways] == [(17.0, 0.5, 0.5)] * 2
    assert [numbers_of(parse_size(way))[0][1] for way in ways] == [0.5, 0.0]


def test_a_tolerance_behind_the_last_number_is_clear_where_another_has_its_own():
    assert numbers_of(parse_size("68 ± 1 x 35 x 17 ± 0.5 mm"))[2] == (17.0, 0.5, 0.5)


def test_own_tolerances_and_one_for_all_together_are_refused():
    with pytest.raises(QuantityError, match="a second ±"):
        parse_size("68 ± 1 x 35 x 17 mm ± 0.5 mm")


def test_two_numbers_leave_the_height_free_where_that_is_allowed():
    assert parse_size("300 x 200 mm", (2, 3)).height is None
    assert parse_size("300 x 200 x 9 mm", (2, 3)).height.value == 9.0
    for text, numbers in (("300 x 200 mm", (3,)), ("300 x 200 x 9 mm", (2,)), ("300 mm", (2, 3))):
        with pytest.raises(QuantityError, match="in a size"):
            parse_size(text, numbers)


def test_the_texts_of_a_sizes_numbers_read_as_the_same_quantities():
    size = parse_size("68 ± 1 x 35 +0.2/-0.1 x 17 mm")
    for q in (size.length, size.width, size.height):
        again = parse_quantity(q.text, "length")
        assert (again.value, again.plus, again.minus, again.last_digit) == (
            q.value,
            q.plus,
            q.minus,
            q.last_digit,
        )


@pytest.mark.parametrize(
    ("text", "mended"),
    [("68 mm x 35 mm x 17 mm", "68 x 35 x 17 mm"), ("68*35*17 mm", "68 x 35 x 17 mm"), ("68, 35, 17 mm", "68 x 35 x 17 mm"),
     ("68 X 35 X 17 mm", "68 x 35 x 17 mm"), ("68 by 35 by 17 mm", "68 x 35 x 17 mm"), ("68 x 35 x 17", "68 x 35 x 17 mm"),
     ("1,5 x 2 x 3 mm", "1.5 x 2 x 3 mm"), ("68 x 35 x 17 g", "68 x 35 x 17 mm"), ("68 x 035 x 17 mm", "68 x 35 x 17 mm"),
     ("big", "68 x 35 x 17 mm"), ("", "68 x 35 x 17 mm")],
)  # fmt: skip
def test_slips_in_sizes_are_mended(text, mended):
    with pytest.raises(QuantityError) as caught:
        parse_size(text)
    assert caught.value.mend == f"write `{mended}`"
    parse_size(mended)


def test_sizes_have_to_be_positive_where_that_is_asked():
    assert parse_size("68 x -35 x 17 mm").width.value == -35.0
    with pytest.raises(QuantityError) as caught:
        parse_size("68 x -35 x 17 mm", positive=True)
    assert (caught.value.offset, caught.value.end, caught.value.mend) == (5, 8, "write `68 x 35 x 17 mm`")


def test_a_position_is_x_y_z_in_mm_with_signs():
    position = parse_position("10 x -20 x 0.5 cm")
    assert (position.x, position.y, position.z) == (100.0, -200.0, 5.0)
    for text, mend in (("10 x -20 mm", "10 x -20 x 0 mm"), ("10 ± 1 x 2 x 3 mm", "10 x 2 x 3 mm"),
                       ("10, -20, 5 mm", "10 x -20 x 5 mm")):  # fmt: skip
        with pytest.raises(QuantityError) as caught:
            parse_position(text)
        assert caught.value.mend == f"write `{mend}`"


@pytest.mark.parametrize(
    ("text", "shape", "values"),
    [("6 mm round", "round", [6.0]), ("20 x 10 mm bar", "bar", [20.0, 10.0]), ("12 x 1 mm tube", "tube", [12.0, 1.0]),
     ("8 mm square", "square", [8.0]), ("10 mm hex", "hex", [10.0]), ("1/4 in round", "round", [6.35]),
     ("45 mm2", "area", [45.0]), ("0.5 cm2", "area", [50.0])],
)  # fmt: skip
def test_sections_have_a_shape_and_its_numbers(text, shape, values):
    section = parse_section(text)
    assert (section.shape, [q.value for q in section.numbers]) == (shape, pytest.approx(values))


def test_a_sections_numbers_may_have_their_own_tolerance():
    (diameter,) = parse_section("8 ± 0.05 mm round").numbers
    assert (diameter.value, diameter.plus) == (8.0, 0.05)
    outside, wall = parse_section("12 ± 0.1 x 1 ± 0.05 mm tube").numbers
    assert (outside.plus, wall.plus) == (0.1, 0.05)
    assert parse_section("8 mm ± 0.05 mm round").numbers[0].plus == 0.05
    assert parse_section("45 mm2 ± 1 mm2").numbers[0].plus == 1.0
    with pytest.raises(QuantityError, match="behind the last number alone"):
        parse_section("20 x 10 ± 0.1 mm bar")


@pytest.mark.parametrize(
    ("text", "mends"),
    [("6 mm rod", ["6 mm round"]), ("round 6 mm", ["6 mm round"]), ("6 mm", ["6 mm round", "6 mm square", "6 mm hex"]),
     ("6 mm bar", ["6 mm round", "6 mm square", "6 mm hex", "20 x 10 mm bar"]), ("8 round", ["8 mm round"]),
     ("20 x 10 mm", ["20 x 10 mm bar", "20 x 10 mm tube"]), ("1 x 12 mm tube", ["12 x 1 mm tube"]),
     ("12 x 6 mm tube", ["12 mm round"]), ("20 mm x 10 mm bar", ["20 x 10 mm bar"]), ("1,5 mm round", ["1.5 mm round"]),
     ("6 mm Round", ["6 mm round"])],
)  # fmt: skip
def test_slips_in_sections_are_mended(text, mends):
    with pytest.raises(QuantityError) as caught:
        parse_section(text)
    assert re.findall("`(.*?)`", caught.value.mend) == mends
    parse_section(mends[0])


def test_sections_have_to_be_positive_where_that_is_asked():
    for text in ("0 mm round", "-6 mm round", "0 mm2"):
        assert parse_section(text).numbers[0].value <= 0
        with pytest.raises(QuantityError):
            parse_section(text, positive=True)
