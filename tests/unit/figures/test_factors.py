"""A thing's factors give its mass back, and say which formula it was."""

import pytest

from lineage.changes.shapley import shapley
from lineage.figures.factors import mass_factors, mass_of
from lineage.figures.weight import weigh
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, robot
from tests.weighing_bench import bolts, drawn, piece, stock

SHEETS = {
    "sheet": stock("acetal", thickness="3 mm", kerf="0.1 mm"),
    "cloth": stock("rubber", areal="900 g/m2"),
    "rod": stock("steel", section="6 mm round"),
    "wire": stock("copper", linear="12 g/m"),
}
PARTS = {
    "drawn": piece(stock="sheet", outline="x.dxf", count=2),
    "typed": piece(stock="sheet", area="10 cm2"),
    "cover": piece(stock="cloth", area="10 cm2"),
    "axle": piece(stock="rod", length="40 mm", count=3),
    "loom": piece(stock="wire", length="400 mm"),
    "motor": piece(mass="40 g", count=2),
}
MEASURES = {"id": drawn(1000.0, 130.0)}
WREN = assembled(
    robot(parts=PARTS, stock=SHEETS, fasteners={"deck": bolts("M3x10 cap", 8, nuts=1)}),
    drawings={"x.dxf": "id"},
)
WEIGHT = weigh(WREN, MEASURES)

EXPECTED = {
    "drawn": ("sheet", {"count", "area", "kerf", "thickness", "density", "basis"}),
    "typed": ("sheet", {"count", "area", "kerf", "thickness", "density", "basis"}),
    "cover": ("areal", {"count", "area", "kerf", "areal", "basis"}),
    "axle": ("bar", {"count", "length", "section", "density", "basis"}),
    "loom": ("linear", {"count", "length", "linear", "basis"}),
    "motor": ("mass", {"count", "mass", "basis"}),
    "deck": ("mass", {"count", "mass", "basis"}),
}


@pytest.mark.parametrize("ref", EXPECTED)
def test_factors_give_the_mass_back(ref):
    found = mass_factors(WREN.things[ref], MEASURES, WEIGHT.masses[ref])
    assert (found.formula, set(found.factors)) == EXPECTED[ref]
    assert mass_of(found.factors) == pytest.approx(WEIGHT.masses[ref].value, rel=1e-12)
    assert found.factors["basis"] == pytest.approx(1)


def test_a_weighed_thing_has_its_weighing_as_basis():
    found = mass_factors(WREN.things["motor"], MEASURES, Uncertain(84.0))
    assert found.factors["basis"] == pytest.approx(1.05)
    assert mass_of(found.factors) == pytest.approx(84)


def test_a_thing_without_an_estimate_has_its_mass_as_one_factor():
    found = mass_factors(WREN.things["drawn"], {}, Uncertain(84.0))
    assert (found.formula, found.factors) == ("used", {"mass": 84.0})
    assert mass_factors(WREN.things["drawn"], {}, None) is None


def test_the_shares_of_every_factor_add_up_to_the_change():
    before = mass_factors(WREN.things["drawn"], MEASURES, WEIGHT.masses["drawn"]).factors
    after = {**before, "area": (900.0, 150.0), "kerf": 0.2, "thickness": 4.0, "count": 3.0, "basis": 1.1}
    shares = shapley(before, after, mass_of)
    assert set(shares) == {"area", "kerf", "thickness", "count", "basis"}
    assert sum(shares.values()) == pytest.approx(mass_of(after) - mass_of(before), abs=1e-9)


def test_factors_of_different_formulas_are_not_compared():
    with pytest.raises(ValueError, match="the same ones"):
        shapley({"mass": 1.0}, {"count": 1.0}, mass_of)


def test_what_did_not_change_has_no_share():
    assert shapley({"mass": 2.0, "count": 1.0}, {"mass": 2.0, "count": 1.0}, mass_of) == {}
