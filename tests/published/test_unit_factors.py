"""Conversion factors against those that NIST prints, and masses in pounds that classes are named after."""

import pytest

from lineage.values.formatting import in_unit
from lineage.values.parsing import parse_quantity
from lineage.values.units import UNITS
from tests.printed import Printed, rows

# A. Thompson and B. N. Taylor, NIST Special Publication 811, 2008, appendix B.8 (from memory): to convert from the
# unit to the SI unit multiply by the factor; `=` marks factors printed in bold, which are exact. The third column
# is how many of this program's base units are in that SI unit.
NIST_SP_811 = rows("""
    # unit | factor | base units in the SI unit | SI unit
    in | =0.0254 | 1000 | m
    ft | =0.3048 | 1000 | m
    mil | =0.0000254 | 1000 | m
    um | =0.000001 | 1000 | m
    in2 | =0.00064516 | 1e6 | m2
    cm2 | =0.0001 | 1e6 | m2
    in3 | 1.638706e-5 | 1e9 | m3
    ml | =0.000001 | 1e9 | m3
    oz | 2.834952e-2 | 1000 | kg
    lb | 4.535924e-1 | 1000 | kg
    lb/in3 | 2.767990e+4 | 1e-6 | kg/m3
    gf | =0.00980665 | 1 | N
    kgf | =9.80665 | 1 | N
    ozf | 2.780139e-1 | 1 | N
    lbf | 4.448222 | 1 | N
    kgf.cm | =0.0980665 | 1 | N m
    ozf in | 7.061552e-3 | 1 | N m
    lbf in | 1.129848e-1 | 1 | N m
    min | =60 | 1 | s
    h | =3600 | 1 | s
    km/h | 2.777778e-1 | 1 | m/s
    mph | =0.44704 | 1 | m/s
    ft/s | =0.3048 | 1 | m/s
    rpm | 1.047198e-1 | 9.549296585513721 | rad/s
    deg | 1.745329e-2 | 57.29577951308232 | rad
    Ah | =3600 | 0.0002777777777777778 | C
    Wh | =3600 | 1 | J
    psi | 6.894757e+3 | 1 | Pa
""")


@pytest.mark.parametrize(("unit", "factor", "per_si", "_si"), NIST_SP_811)
def test_factors_are_those_of_nist(unit, factor, per_si, _si):
    assert Printed(factor) == UNITS[unit].factor / float(per_si)


# 1 lb = 453.59237 g exactly (NIST SP 811, from memory); multiples computed with a reference library of units.
POUNDS = rows("""
    1 lb | =453.59237
    3 lb | =1360.77711
    6 lb | =2721.55422
    12 lb | =5443.10844
    15 lb | =6803.88555
    30 lb | =13607.7711
    60 lb | =27215.5422
    120 lb | =54431.0844
    220 lb | =99790.3214
    250 lb | =113398.0925
""")


@pytest.mark.parametrize(("text", "grams"), POUNDS)
def test_masses_in_pounds_are_exact(text, grams):
    assert Printed(grams) == parse_quantity(text, "mass").value


def test_150_g_in_pounds():
    """150 g = .330693393 lb (computed with a reference library of units)."""
    assert Printed(".330693393") == in_unit(150.0, "lb")


# Densities printed in both units: trade tables of aluminium and titanium (lb/in3), computed with a reference library.
DENSITIES = rows("""
    0.098 lb/in3 | 2712.6
    0.101 lb/in3 | 2795.7
    0.100 lb/in3 | 2768.0
    0.160 lb/in3 | 4428.8
    0.283 lb/in3 | 7833.4
    0.290 lb/in3 | 8027.2
    1 lb/in3 | 27679.9047
""")


@pytest.mark.parametrize(("text", "kg_per_m3"), DENSITIES)
def test_densities_in_pounds_per_cubic_inch(text, kg_per_m3):
    assert Printed(kg_per_m3) == in_unit(parse_quantity(text, "density").value, "kg/m3")
