"""General tolerances, limits and fits, and sheet thickness against what sources print."""

import pytest

from lineage.figures.standards.general_tolerances import general_tolerance
from lineage.figures.standards.limits_and_fits import deviations, standard_tolerance
from lineage.figures.standards.materials import MATERIALS, built_in
from lineage.figures.standards.sheet import thickness_spread

LB_PER_IN3 = 27679.9047


# ISO 2768-1 table 1; source: rt.http3.lol and scribd.com 585640440 in part, the rest from memory.
@pytest.mark.parametrize(
    "size, f, m, c, v",
    [
        (0.5, 0.05, 0.1, 0.2, None),
        (3, 0.05, 0.1, 0.2, None),
        (3.01, 0.05, 0.1, 0.3, 0.5),
        (6, 0.05, 0.1, 0.3, 0.5),
        (30, 0.1, 0.2, 0.5, 1),
        (120, 0.15, 0.3, 0.8, 1.5),
        (400, 0.2, 0.5, 1.2, 2.5),
        (1000, 0.3, 0.8, 2, 4),
        (2000, 0.5, 1.2, 3, 6),
        (4000, None, 2, 4, 8),
        (0.49, None, None, None, None),
    ],
)
def test_general_tolerances_go_by_the_steps_of_iso_2768(size, f, m, c, v):
    assert [general_tolerance(size, grade) for grade in "fmcv"] == [f, m, c, v]


# Limits and fits with H7; source: ISO 286 tables of isoFits and issuhub p. 236 and 239, worked out from them:
# computed with a reference library. Micrometres, lower/upper.
FITS = {
    "H7": [(3, 0, 10), (5, 0, 12), (10, 0, 15), (16, 0, 18), (22, 0, 21), (47, 0, 25)],
    "g6": [(3, -8, -2), (4, -12, -4), (8, -14, -5), (13, -17, -6), (30, -20, -7), (40, -25, -9)],
    "h6": [(3, -6, 0), (6, -8, 0), (8, -9, 0), (16, -11, 0), (19, -13, 0), (50, -16, 0)],
    "js6": [(3, -3, 3), (5, -4, 4), (8, -4.5, 4.5), (16, -5.5, 5.5), (22, -6.5, 6.5), (40, -8, 8)],
    "k6": [(3, 0, 6), (5, 1, 9), (8, 1, 10), (16, 1, 12), (22, 2, 15), (40, 2, 18)],
    "n6": [(3, 4, 10), (5, 8, 16), (8, 10, 19), (16, 12, 23), (22, 15, 28), (40, 17, 33)],
    "p6": [(3, 6, 12), (5, 12, 20), (8, 15, 24), (16, 18, 29), (22, 22, 35), (40, 26, 42)],
    "f7": [(3, -16, -6), (5, -22, -10), (8, -28, -13), (16, -34, -16), (22, -41, -20), (40, -50, -25)],
}


@pytest.mark.parametrize("grade, rows", FITS.items())
def test_deviations_are_those_of_the_tables(grade, rows):
    for size, lower, upper in rows:
        assert deviations(size, grade) == pytest.approx((lower / 1000, upper / 1000), abs=1e-9)


# Source: metricmech (25 H7/h6, 0 to 34 um), torqyx (25 H7/g6, 7 to 41 um), isoFits README (29 H7/h8, 0 to 54 um;
# 29 h7 28.979 to 29.000), a wiki copy (50 H8/f7, 25 to 89 um); seen in a copy of the source.
@pytest.mark.parametrize(
    "size, hole, shaft, least, most", [(25, "H7", "h6", 0, 34), (25, "H7", "g6", 7, 41), (29, "H7", "h8", 0, 54), (50, "H8", "f7", 25, 89)]
)  # fmt: skip
def test_published_clearances_come_out(size, hole, shaft, least, most):
    bore, pin = deviations(size, hole), deviations(size, shaft)
    assert (bore[0] - pin[1]) * 1000 == pytest.approx(least, abs=0.5)
    assert (bore[1] - pin[0]) * 1000 == pytest.approx(most, abs=0.5)


# ISO 286-1 grades; source: mechguru.com, engineersvault.blogspot.com; seen in a copy of the source.
@pytest.mark.parametrize(
    "size, grades",
    [
        (3, (4, 6, 10, 14, 25, 40, 60)),
        (30, (9, 13, 21, 33, 52, 84, 130)),
        (180, (18, 25, 40, 63, 100, 160, 250)),
    ],
)
def test_standard_tolerances_are_those_of_the_table(size, grades):
    found = [standard_tolerance(size, grade) * 1000 for grade in range(5, 12)]
    assert found == pytest.approx(grades, abs=0.5)


def test_k_is_at_zero_from_grade_8_on():
    assert deviations(20, "k8") == pytest.approx((0, 0.033), abs=1e-9)


@pytest.mark.parametrize(
    "size, grade", [(60, "p6"), (22, "H12"), (22, "z6"), (200, "H7"), (0, "H7"), (22, "H")]
)
def test_what_the_tables_lack_is_not_known(size, grade):
    assert deviations(size, grade) is None


# EN 485-4:1994, alloy groups I and II; source: pdfcoffee.com, scribd.com 452970822; seen in a copy of the source.
@pytest.mark.parametrize(
    "thickness, one, two", [(1.0, 0.04, 0.05), (1.5, 0.05, 0.07), (2.0, 0.06, 0.09), (3.0, 0.08, 0.11), (3.5, 0.10, 0.12), (4, 0.15, 0.15), (12, 0.32, 0.32)]
)  # fmt: skip
def test_aluminium_sheet_has_the_limits_of_en_485_4(thickness, one, two):
    assert thickness_spread("aluminium group I", thickness).largest_mm == one
    assert thickness_spread("aluminium group II", thickness).largest_mm == two


# EN 315 kind, sanded; source: plyterra.com, nestplywood.com; seen in a copy of the source.
@pytest.mark.parametrize("thickness, plus, minus", [(4, 0.3, 0.5), (6.5, 0.4, 0.5), (12, 0.5, 0.7), (18, 0.7, 0.9), (21, 0.8, 1.0)])  # fmt: skip
def test_plywood_has_the_limits_of_its_nearest_nominal(thickness, plus, minus):
    found = thickness_spread("plywood", thickness)
    assert (found.plus_mm, found.minus_mm) == (plus, minus)
    assert found.largest_mm == minus


# EN 10259; source: stainlessmetricstock.com; seen in a copy of the source.
@pytest.mark.parametrize(
    "thickness, limit", [(0.5, 0.045), (1.0, 0.06), (1.5, 0.08), (2.0, 0.09), (3.0, 0.13)]
)
def test_stainless_sheet_has_the_limits_of_en_10259(thickness, limit):
    assert thickness_spread("stainless", thickness).largest_mm == limit


# ISO 7823-1: ±(0.4 + 0.1·t), 5 mm: ±0.9; ISO 7823-2: ±10 % under 3 mm, ±5 % from there; seen in a copy of the source.
def test_acrylic_sheet_has_the_limits_of_iso_7823():
    assert thickness_spread("acrylic cast", 5).largest_mm == pytest.approx(0.9)
    assert thickness_spread("acrylic extruded", 2).largest_mm == pytest.approx(0.2)
    assert thickness_spread("acrylic extruded", 3).largest_mm == pytest.approx(0.15)


@pytest.mark.parametrize("kind, thickness", [(None, 3), ("aluminium group I", 0.8), ("aluminium group II", 12.5), ("engineering plastic", 3), ("plywood", 2), ("stainless", 4)])  # fmt: skip
def test_a_thickness_that_no_table_has_is_not_known(kind, thickness):
    assert thickness_spread(kind, thickness) is None


# lb/in3 of handbook sheets; source: asm.matweb.com (4130 .284, titanium .160), trade tables (6061 .098, 7075 .101,
# 2024 .100, brass .308 and .307); seen in a copy of the source.
@pytest.mark.parametrize(
    "name, printed",
    [("aluminium-6061", 0.098), ("aluminium-7075", 0.101), ("aluminium-2024", 0.100), ("titanium-6al4v", 0.160), ("steel-4130", 0.284), ("brass", 0.308), ("brass", 0.307)],
)  # fmt: skip
def test_densities_agree_with_the_handbooks_within_their_limit(name, printed):
    row = built_in(name)
    assert abs(row.density - printed * LB_PER_IN3) <= row.limit + 0.0005 * LB_PER_IN3


# Ranges in kg/m3; source: engineersedge.com, 24kjx.com, matmake.com; seen in a copy of the source.
@pytest.mark.parametrize(
    "name, low, high",
    [("acetal", 1410, 1430), ("uhmw-pe", 930, 940), ("hdpe", 940, 970), ("polycarbonate", 1190, 1220), ("nylon", 1140, 1160), ("abs", 1010, 1080), ("petg", 1260, 1280), ("pvc", 1300, 1450), ("g10", 1750, 1870), ("birch-plywood", 660, 710)],
)  # fmt: skip
def test_limits_of_density_take_in_what_the_sources_print(name, low, high):
    row = built_in(name)
    assert row.density - row.limit <= low
    assert high <= row.density + row.limit


def test_every_material_says_where_it_comes_from():
    assert {name for name, row in MATERIALS.items() if not row.source} == set()
    assert all(row.limit > 0 for row in MATERIALS.values())
