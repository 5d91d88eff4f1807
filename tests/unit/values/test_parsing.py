"""Numbers with units, bare numbers, times, prices and readings, as people write them."""

import pytest

from lineage.values.parsing import (
    QuantityError,
    parse_count,
    parse_duration,
    parse_number,
    parse_price,
    parse_quantity,
    parse_reading,
    parse_share,
)


@pytest.mark.parametrize(
    ("text", "value", "dimension", "unit"),
    [
        ("92 g", 92.0, "mass", "g"),
        ("92g", 92.0, "mass", "g"),
        ("  92   g ", 92.0, "mass", "g"),
        ("1.361 kg", 1361.0, "mass", "kg"),
        ("3 lb", 1360.77711, "mass", "lb"),
        ("1/4 in", 6.35, "length", "in"),
        ("1 1/4 in", 31.75, "length", "in"),
        ("-1 1/4 in", -31.75, "length", "in"),
        (".5 mm", 0.5, "length", "mm"),
        ("1.5e2 mm", 150.0, "length", "mm"),
        ("1e-3 m", 1.0, "length", "m"),
        ("125 um", 0.125, "length", "um"),
        ("10 mil", 0.254, "length", "mil"),
        ("148 cm2", 14800.0, "area", "cm2"),
        ("1196 kg/m3", 0.001196, "density", "kg/m3"),
        ("2 N m", 2.0, "torque", "N m"),
        ("2  N   m", 2.0, "torque", "N m"),
        ("20 kgf.cm", 1.96133, "torque", "kgf.cm"),
        ("20 ozf in", 0.14123103628451263, "torque", "ozf in"),
        ("36 km/h", 10.0, "speed", "km/h"),
        ("2300 rpm/V", 2300.0, "motor constant", "rpm/V"),
        ("450 mAh", 0.45, "charge", "mAh"),
        ("45 %", 0.45, "share", "%"),
        ("2:10", 130.0, "time", "s"),
        ("0:45", 45.0, "time", "s"),
        ("12.50 EUR", 12.5, "money", "EUR"),
        ("−3 mm", -3.0, "length", "mm"),  # a typographic minus
        ("3\N{NO-BREAK SPACE}mm", 3.0, "length", "mm"),
        ("-0 mm", 0.0, "length", "mm"),
    ],
)
def test_a_number_with_its_unit_is_kept_in_the_base_unit(text, value, dimension, unit):
    found = parse_quantity(text)
    assert found.value == pytest.approx(value, rel=1e-14)
    assert (found.dimension, found.unit, found.plus, found.minus) == (dimension, unit, None, None)
    assert str(found.value) != "-0.0"


@pytest.mark.parametrize(("text", "grams"), [("1.001 kg", 1001.0), ("0.0011 kg", 1.1), ("2.3 kg", 2300.0)])
def test_powers_of_ten_are_rounded_once(text, grams):
    assert parse_quantity(text, "mass").value == grams


@pytest.mark.parametrize(
    ("text", "plus", "minus"),
    [
        ("6.35 mm ± 0.25 mm", 0.25, 0.25),
        ("6.35 mm ± 0.25", 0.25, 0.25),
        ("6.35 mm +- 0.25", 0.25, 0.25),
        ("6.35 mm +/- 0.25 mm", 0.25, 0.25),
        ("6.35mm±0.25", 0.25, 0.25),
        ("6.35 ± 0.25 mm", 0.25, 0.25),
        ("22 +0.2/-0.1 mm", 0.2, 0.1),
        ("1 in ± 0.5 mm", 0.5, 0.5),
        ("1 in ± 1/64", 0.396875, 0.396875),
        ("40 mm ± 5 %", 2.0, 2.0),
        ("-40 mm ± 5 %", 2.0, 2.0),
        ("22 mm +0.2/-0.1", 0.2, 0.1),
        ("22 mm + 0.2 / - 0.1", 0.2, 0.1),
        ("2.2 cm +0.02/-0.01", 0.2, 0.1),
        ("22 mm +0.2/-0.1 mm", 0.2, 0.1),
        ("20 mm +0/-0.1", 0.0, 0.1),
        ("1 in +1/64/-1/32", 0.396875, 0.79375),
        ("20 mm ± 0", 0.0, 0.0),
        ("2:10 ± 5 s", 5.0, 5.0),
    ],
)
def test_a_tolerance_is_kept_as_magnitudes_in_the_base_unit(text, plus, minus):
    found = parse_quantity(text)
    assert (found.plus, found.minus) == pytest.approx((plus, minus), rel=1e-14)


def test_an_uneven_tolerance_is_centred_and_the_nominal_stays_as_typed():
    found = parse_quantity("20 mm +0/-0.1", "length")
    assert (found.value, found.centred, found.limit) == (20.0, 19.95, 0.05)


@pytest.mark.parametrize(
    ("text", "worth"),
    [("92 g", 1.0), ("90 g", 1.0), ("5.20 g", 0.01), ("1e2 g", 100.0), ("1.50e1 g", 0.1), ("1.36 kg", 10.0),
     ("5. g", 1.0), ("1/4 in", None), ("1 1/4 in", None), ("2.5 in", 2.54), ("2:10", 1.0), ("2:10.5", 0.1)],
)  # fmt: skip
def test_the_last_typed_digit_is_worth_its_place(text, worth):
    found = parse_quantity(text).last_digit
    assert found is None if worth is None else found == pytest.approx(worth, rel=1e-14)


def test_the_text_is_kept_as_typed():
    assert parse_quantity(" 6.350 mm  ± .25 ").text == "6.350 mm  ± .25"


def test_only_the_dimensions_asked_for_are_taken():
    assert parse_quantity("3 mm", "mass", "length").dimension == "length"
    with pytest.raises(QuantityError) as caught:
        parse_quantity("3 mm", "mass")
    error = caught.value
    assert (error.offset, error.end) == (2, 4)
    assert error.what == "`mm` is a unit of length"
    assert error.wanted == "a mass in g, kg, mg, oz or lb"
    assert error.mend == "write `3 g`"


def test_a_bare_number_is_a_count_or_a_small_share_where_one_is_wanted():
    assert parse_quantity("7", "count").dimension == "count"
    assert parse_quantity("7").unit == ""
    assert parse_quantity("7 ± 1", "count").plus == 1.0
    assert parse_quantity("0.5", "share").value == 0.5
    with pytest.raises(QuantityError):
        parse_quantity("50", "share")


@pytest.mark.parametrize(("text", "mend"), [("-3 mm", "write `3 mm`"), ("0 mm", "write `12 mm`")])
def test_what_has_to_be_positive_is_refused_otherwise_where_that_is_asked(text, mend):
    assert parse_quantity(text, "length").value <= 0
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, "length", positive=True)
    assert caught.value.mend == mend
    assert parse_quantity("3 mm", "length", positive=True).value == 3.0


def test_counts_are_whole_numbers():
    assert [parse_count(text) for text in ("0", "12", "+3", " 4 ")] == [0, 12, 3, 4]
    assert parse_count("2", least=1) == 2
    for text, mend in (("4.0", "4"), ("4 pcs", "4"), ("04", "4"), ("1e2", "1"), ("-1", "1"), ("", "4")):
        with pytest.raises(QuantityError) as caught:
            parse_count(text)
        assert caught.value.mend == f"write `{mend}`"
    with pytest.raises(QuantityError, match="at least 1"):
        parse_count("0", least=1)


def test_numbers_stand_without_a_unit():
    assert [parse_number(text) for text in ("3.5", "-2", "1e3", "1/4")] == [3.5, -2.0, 1000.0, 0.25]
    for text, mend in (("7:2", "3.5"), ("3,5", "3.5"), ("3 mm", "3")):
        with pytest.raises(QuantityError) as caught:
            parse_number(text)
        assert caught.value.mend == f"write `{mend}`"
    with pytest.raises(QuantityError):
        parse_number("-2", positive=True)


def test_shares_are_typed_in_percent_or_as_a_part_of_one():
    assert [parse_share(text) for text in ("50 %", "50%", "0.5", "1", "150 %", "1/4")] == [
        0.5,
        0.5,
        0.5,
        1,
        1.5,
        0.25,
    ]
    for text, mend in (
        ("50", "50 %"),
        ("-5 %", "5 %"),
        ("50 percent", "50 %"),
        ("50 % ± 5", "50 %"),
        ("50 % ± 5 %", "50 % ± 5"),
        ("0,5", "0.5"),
    ):
        with pytest.raises(QuantityError) as caught:
            parse_share(text)
        assert caught.value.mend == f"write `{mend}`"


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("95 s", 95), ("12 min", 720), ("2:10", 130), ("2 h", 7200), ("2h", 7200), ("120:00", 7200)],
)
def test_durations_are_in_seconds(text, seconds):
    assert parse_duration(text).value == seconds


@pytest.mark.parametrize(
    ("text", "mend"),
    [("95", "95 s"), ("2:5", "2:05"), ("2:75", "3:15"), ("1:02:10", "62:10"), ("2 min 10 s", "2:10"),
     ("1 h 30 min", "90 min"), ("1h30m", "90 min"), ("5 m", "5 min"), ("5 mins", "5 min"), ("90 sec", "90 s")],
)  # fmt: skip
def test_other_ways_to_write_a_time_are_refused_with_their_cure(text, mend):
    with pytest.raises(QuantityError) as caught:
        parse_duration(text)
    assert caught.value.mend == f"write `{mend}`"


def test_prices_keep_their_currency():
    price = parse_price("12.50 EUR")
    assert (price.value, price.unit, price.last_digit) == (12.5, "EUR", 0.01)
    for text, mend in (("12.50", "12.50 EUR"), ("€12.50", "12.50 EUR"), ("12.50 eur", "12.50 EUR"),
                       ("12 EUR ± 1", "12 EUR"), ("GBP 5", "5 GBP"), ("12,50 EUR", "12.50 EUR")):  # fmt: skip
        with pytest.raises(QuantityError) as caught:
            parse_price(text)
        assert caught.value.mend == f"write `{mend}`"


@pytest.mark.parametrize("of", ["stall push", "Pull at the hook", "lift", "belt-pull left"])
def test_a_reading_of_a_pull_push_or_lift_on_a_scale_is_a_force(of):
    reading = parse_reading("2.5 kg ± 0.1 kg", of, "force", "torque")
    assert (reading.dimension, reading.unit) == ("force", "kgf")
    assert reading.value == pytest.approx(2.5 * 9.80665, rel=1e-15)
    assert reading.plus == reading.minus == pytest.approx(0.980665, rel=1e-15)
    assert reading.last_digit == pytest.approx(0.980665, rel=1e-15)
    assert parse_reading("10 oz", of).value == pytest.approx(2.7801385095, rel=1e-10)
    assert parse_reading("21.4 N", of, "force").unit == "N"


def test_other_readings_stay_what_they_are():
    assert parse_reading("2.5 kg", "weight on the front wheels").dimension == "mass"
    assert parse_reading("2.5 kg", "pushing").dimension == "mass"  # another word than push
    assert parse_reading("3.2 A", "stall push").dimension == "current"
    with pytest.raises(QuantityError):
        parse_reading("2.5 kg", "stall push", "torque")
