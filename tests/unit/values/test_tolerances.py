"""Masses with how they are known, accuracies, tolerances alone, dims with a ± or a grade."""

import pytest

from lineage.values.parsing import (
    QuantityError,
    parse_accuracy,
    parse_dimension,
    parse_mass,
    parse_tolerance,
)


@pytest.mark.parametrize(
    ("text", "grams", "how", "pieces"),
    [("92 g", 92.0, "listed", 1), ("92 g listed", 92.0, "listed", 1), ("92 g weighed", 92.0, "weighed", 1),
     ("31 g modelled", 31.0, "modelled", 1), ("2 oz guess", 56.69904625, "guess", 1), ("8.2 g weighed for 2", 8.2, "weighed", 2),
     ("8.2 g for 12", 8.2, "listed", 12), ("92 g ± 1 g weighed", 92.0, "weighed", 1)],
)  # fmt: skip
def test_a_mass_says_how_it_is_known_and_of_how_many(text, grams, how, pieces):
    mass = parse_mass(text)
    assert (mass.quantity.value, mass.how, mass.pieces, mass.text) == (grams, how, pieces, text)


def test_the_quantity_of_a_mass_is_its_text_without_the_words():
    assert parse_mass("92 g ± 1 g weighed for 2").quantity.text == "92 g ± 1 g"


@pytest.mark.parametrize(
    ("text", "where", "mended"),
    [("92 g measured", "measured", "92 g weighed"), ("92 g weihged", "weihged", "92 g weighed"), ("weighed 92 g", "weighed 92 g", "92 g weighed"),
     ("92 g CAD", "CAD", "92 g modelled"), ("92", "92", "92 g"), ("1,5 g weighed", "1,5", "1.5 g weighed"),
     ("92 g weighed for 0", "0", "92 g weighed for 1"), ("92 g weighed for 2 pieces", "2 pieces", "92 g weighed for 2"),
     ("92 mm listed", "mm", "92 g listed"), ("92 g roughly", "roughly", "92 g")],
)  # fmt: skip
def test_slips_in_masses_are_mended(text, where, mended):
    with pytest.raises(QuantityError) as caught:
        parse_mass(text)
    error = caught.value
    assert (text[error.offset : error.end].strip(), error.mend) == (where, f"write `{mended}`")
    parse_mass(mended)


def test_a_mass_has_to_be_positive_where_that_is_asked():
    assert parse_mass("-3 g").quantity.value == -3.0
    with pytest.raises(QuantityError) as caught:
        parse_mass("-3 g weighed", positive=True)
    assert caught.value.mend == "write `3 g weighed`"


def test_an_accuracy_is_a_mass_or_a_share_of_the_reading():
    assert (parse_accuracy("0.1 g").mass, parse_accuracy("0.1 g").share) == (0.1, None)
    assert (parse_accuracy("0.5 %").mass, parse_accuracy("0.5 %").share) == (None, 0.005)
    assert parse_accuracy("± 0.1 g").mass == 0.1
    for text, mend in (
        ("0.1", "0.1 g"),
        ("-0.1 g", "0.1 g"),
        ("0.1 g ± 0.01 g", "0.1 g"),
        ("0.1 mm", "0.1 g"),
    ):
        with pytest.raises(QuantityError) as caught:
            parse_accuracy(text)
        assert caught.value.mend == f"write `{mend}`"


@pytest.mark.parametrize(
    ("text", "plus", "minus", "dimension"),
    [("± 0.2 mm", 0.2, 0.2, "length"), ("+- 0.2 mm", 0.2, 0.2, "length"), ("+/-0.2mm", 0.2, 0.2, "length"),
     ("+0.2/-0.1 mm", 0.2, 0.1, "length"), ("± 5 mil", 0.127, 0.127, "length"), ("± 0.5 deg", 0.5, 0.5, "angle")],
)  # fmt: skip
def test_a_tolerance_alone_has_magnitudes_and_a_dimension(text, plus, minus, dimension):
    found = parse_tolerance(text)
    assert (found.plus, found.minus) == pytest.approx((plus, minus))
    assert (found.general, found.dimension, found.text) == (None, dimension, text)


@pytest.mark.parametrize("grade", ["f", "m", "c", "v"])
def test_a_general_tolerance_is_a_class_of_iso_2768_1(grade):
    found = parse_tolerance(f"ISO 2768-1 {grade}")
    assert (found.general, found.plus, found.minus) == (grade, None, None)


@pytest.mark.parametrize(
    ("text", "mended"),
    [("ISO 2768-mK", "ISO 2768-1 m"), ("iso 2768-1 M", "ISO 2768-1 m"), ("ISO 2768", "ISO 2768-1 m"), ("0.2 mm", "± 0.2 mm"),
     ("± 0.2", "± 0.2 mm"), ("+0.2/-0.1", "+0.2/-0.1 mm"), ("± 0,2 mm", "± 0.2 mm"), ("-0.1/+0.2 mm", "+0.2/-0.1 mm")],
)  # fmt: skip
def test_slips_in_tolerances_are_mended(text, mended):
    with pytest.raises(QuantityError) as caught:
        parse_tolerance(text)
    assert caught.value.mend == f"write `{mended}`"
    parse_tolerance(mended)


def test_a_tolerance_alone_is_no_share_and_no_mass():
    for text in ("± 5 %", "± 5 g", "fine", ""):
        with pytest.raises(QuantityError):
            parse_tolerance(text)


@pytest.mark.parametrize(
    ("text", "value", "grade"),
    [("22 H7 mm", 22.0, "H7"), ("8 h6 mm", 8.0, "h6"), ("22H7 mm", 22.0, "H7"), ("5 js6 mm", 5.0, "js6"), ("50 k5 mm", 50.0, "k5"),
     ("3 n11 mm", 3.0, "n11"), ("1/4 p6 in", 6.35, "p6"), ("8 g6 mm", 8.0, "g6"), ("8 f7 mm", 8.0, "f7")],
)  # fmt: skip
def test_a_dimension_may_have_a_grade_in_place_of_a_tolerance(text, value, grade):
    found = parse_dimension(text)
    assert (found.value, found.grade, found.dimension) == (value, grade, "length")
    assert (found.plus, found.minus, found.text) == (None, None, text)


def test_a_dimension_is_a_length_or_an_angle_with_its_tolerance():
    assert parse_dimension("22 mm ± 0.2 mm").plus == 0.2
    assert parse_dimension("45 deg").dimension == "angle"
    assert parse_dimension("22 mm").grade is None
    with pytest.raises(QuantityError):
        parse_dimension("22 g")
    with pytest.raises(QuantityError):
        parse_dimension("-22 mm", positive=True)


@pytest.mark.parametrize(
    ("text", "mend"),
    [("22 mm H7", "write `22 H7 mm`"), ("22 H7", "write `22 H7 mm`"), ("22 G7 mm", "write its limits, as in `22 mm ± 0.1 mm`"),
     ("22 H4 mm", "write its limits, as in `22 mm ± 0.1 mm`"), ("22 H12 mm", "write its limits, as in `22 mm ± 0.1 mm`"),
     ("60 H7 mm", "write its limits, as in `60 mm ± 0.1 mm`"), ("0 H7 mm", "write its limits, as in `0 mm ± 0.1 mm`"),
     ("22 H7 g", "write `22 H7 mm`"), ("22", "write `22 mm`")],
)  # fmt: skip
def test_grades_that_are_not_in_the_tables_are_refused(text, mend):
    with pytest.raises(QuantityError) as caught:
        parse_dimension(text)
    assert caught.value.mend == mend
