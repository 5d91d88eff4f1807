"""What a spinning part stores, and what a drive can do."""

from math import pi

import pytest

from lineage.figures.drive import drive_figures
from lineage.figures.spin import spinning
from lineage.spec.records import Drive
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, mm, robot
from tests.weighing_bench import drawn, piece, q, stock

STEEL = {"steel": stock("steel", thickness="3 mm ± 0.3 mm", density="8 g/cm3 ± 0 g/cm3")}


def test_two_blades_store_twice_as_much_and_share_their_thickness():
    blade = piece(stock="steel", outline="blade.dxf", spin="6000 rpm", count=2)
    assembly = assembled(robot(parts={"blade": blade}, stock=STEEL), drawings={"blade.dxf": "id"})
    (found,) = spinning(assembly, {"id": drawn(100.0, polar=1e6, radius=50.0)})
    assert found.inertia_kg_m2.value == pytest.approx(2 * 0.008 * 3 * 1e6 * 1e-9)
    assert found.energy_j.value == pytest.approx(found.inertia_kg_m2.value * (200 * pi) ** 2 / 2)
    assert found.energy_j.u / found.energy_j.value == pytest.approx(0.1 / 3**0.5)
    assert found.tip_m_s == pytest.approx(10 * pi)


def test_a_spinning_part_without_a_drawing_stores_nobody_knows_what():
    assembly = assembled(
        robot(parts={"drum": piece(mass="200 g", spin="6000 rpm"), "lid": piece(mass="9 g")})
    )
    (found,) = spinning(assembly, {})
    assert (found.ref, found.rpm) == ("drum", 6000)
    assert (found.inertia_kg_m2, found.energy_j, found.tip_m_s) == (None, None, None)


DRIVE = {
    "motors": 2,
    "motor_kv": q("1000 rpm/V", "motor constant"),
    "volts": q("12 V", "voltage"),
    "current_limit": q("10 A", "current"),
    "ratio": 20.0,
    "wheel": mm(50.0),
    "driven": 0.8,
    "grip": 0.9,
}


def figures(mass=Uncertain(1500.0, {"reading": 10.0}), **changed):  # noqa: B008
    return drive_figures(Drive(**{**DRIVE, **changed}), mass)


def test_a_drive_is_worked_out_from_its_motors():
    found = figures()
    # 12000 rpm at the motor, 10 turns a second at the wheel
    assert found.top_speed_m_s == pytest.approx(10 * pi * 0.05)
    # 60/(2000·pi) N·m/A · 10 A · 20 / 0.025 m, twice
    assert found.push_n == pytest.approx(2 * 0.6 / (2 * pi) * 20 / 0.025)
    assert found.grip_limit_n.value == pytest.approx(0.9 * 0.8 * 1.5 * 9.80665)
    assert found.grip_limit_n.u == pytest.approx(0.9 * 0.8 * 0.01 * 9.80665)


def test_what_comes_first_is_the_lesser():
    assert figures().first == "grip"
    assert figures(current_limit=q("0.1 A", "current")).first == "current limit"


@pytest.mark.parametrize(
    "missing, speed, push, grip",
    [
        ("volts", False, True, True),
        ("current_limit", True, False, True),
        ("wheel", False, False, True),
        ("grip", True, True, False),
        ("driven", True, True, False),
    ],
)
def test_each_figure_needs_only_what_it_needs(missing, speed, push, grip):
    found = figures(**{missing: None})
    there = (found.top_speed_m_s is not None, found.push_n is not None, found.grip_limit_n is not None)
    assert there == (speed, push, grip)
    assert (found.first is None) is not (push and grip)


def test_without_a_mass_there_is_no_grip_limit():
    assert figures(mass=None).grip_limit_n is None
