"""The closed table of units."""

from math import isfinite

import pytest

from lineage.values.units import BASE, CURRENCIES, HABITS, UNITS, name_of, symbols_of, usual_unit

PROMISED = """
mass: g kg mg oz lb
length: mm cm m in ft mil um
area: mm2 cm2 m2 in2
volume: mm3 cm3 in3 ml
density: kg/m3 g/cm3 lb/in3
areal: g/m2 kg/m2
linear: g/m kg/m
force: N kN gf kgf ozf lbf
torque: Nm,N m,Ncm,kgf.cm,ozf in,lbf in
time: s min h ms
speed: m/s km/h mph ft/s
rotation: rpm rad/s
angle: deg rad
current: A mA
voltage: V mV
charge: Ah mAh
energy: J Wh
power: W
motor constant: rpm/V
temperature: degC
pressure: Pa kPa MPa psi
share: %
"""


def promised():
    for line in PROMISED.strip().splitlines():
        dimension, _, symbols = line.partition(": ")
        yield dimension, symbols.split("," if "," in symbols else None)


@pytest.mark.parametrize(("dimension", "symbols"), list(promised()))
def test_every_promised_unit_is_in_the_table_and_no_other(dimension, symbols):
    assert set(symbols_of(dimension)) == set(symbols)


def test_symbols_name_one_dimension_each_and_money_only_codes_of_three_capitals():
    assert all(symbol == unit.symbol for symbol, unit in UNITS.items())
    assert all(len(code) == 3 and code.isupper() and UNITS[code].dimension == "money" for code in CURRENCIES)
    assert {"EUR", "USD", "GBP", "JPY", "CHF"} <= CURRENCIES
    assert not {"XAU", "XTS", "XXX", "DEM"} & CURRENCIES


def test_factors_are_finite_and_base_units_have_the_factor_one():
    assert all(isfinite(unit.factor) and unit.factor > 0 for unit in UNITS.values())
    assert all(UNITS[symbol].factor == 1 for symbol in BASE.values() if symbol in UNITS)


def test_a_power_of_ten_is_the_factor_that_it_says():
    assert all(unit.factor == float(f"1e{unit.tens}") for unit in UNITS.values() if unit.tens is not None)


def test_habits_lead_to_units_of_the_table_and_are_none_themselves():
    assert all(symbol in UNITS for symbol in HABITS.values())
    assert not HABITS.keys() & UNITS.keys()


def test_messages_name_dimensions_and_their_usual_unit():
    assert (name_of("mass"), name_of("area"), name_of("money")) == ("a mass", "an area", "a price")
    assert [usual_unit(d) for d in ("mass", "length", "money", "count")] == ["g", "mm", "EUR", ""]
    assert symbols_of() == tuple(UNITS)
