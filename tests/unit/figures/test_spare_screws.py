"""Screws that could go, and those that never do."""

import pytest

from lineage.figures.service_times import Timing
from lineage.figures.spare_screws import spare_screws
from lineage.spec.assembly import Assembly
from lineage.spec.records import Rules, Times
from tests.hand_built import assembled, module, part, place, robot, screws

RULES = Rules(screws={"chassis": 4, "drive": 3, "power": 2, "weapon": 1, "armour": 1, "other": 2})
MASSES = {"s": 8.0}


def spare(assembly: Assembly, rules: Rules = RULES, masses=MASSES):
    return spare_screws(assembly, rules, masses, Times(), Timing(factor=1.5))


def held(role: str | None = "chassis", count: int = 8, type_: str = "M3x10 cap", **keys) -> Assembly:
    design = robot(
        parts={"deck": part(role=role, **keys), "side": part(role="chassis")},
        fasteners={"s": screws(type_, count, "deck", "side")},
    )
    return assembled(design)


def test_what_is_above_the_rule_could_go_and_saves_grams_and_seconds():
    (found,) = spare(held())
    assert (found.ref, found.role, found.count, found.enough, found.could_go) == ("s", "chassis", 8, 4, 4)
    assert found.grams == pytest.approx(4.0)
    assert found.seconds == pytest.approx(2 * 1.5 * 4 * 15)


def test_a_group_at_its_rule_or_without_one_is_not_listed():
    assert spare(held(count=4)) == ()
    assert spare(held(role="lifter")) == ()
    assert spare(held(), Rules()) == ()


def test_what_is_not_known_of_a_screw_is_none():
    (found,) = spare(held(type_="rivet"), masses={})
    assert (found.grams, found.seconds) == (None, None)


@pytest.mark.parametrize("role", ["weapon", "armour"])
def test_never_of_weapon_or_armour_on_either_side(role):
    assert spare(held(role=role)) == ()
    design = robot(
        parts={"deck": part(role="chassis"), "bar": part(role=role)},
        fasteners={"s": screws("M3x10 cap", 8, "deck", "bar")},
    )
    assert spare(assembled(design)) == ()


@pytest.mark.parametrize(
    "keys",
    [
        {"cells": "lithium"},
        {"stores": "spring"},
        {"stores": "magnet"},
        {"item": "nickel battery, 6 cells"},
    ],
)
def test_never_of_a_battery_or_stored_energy(keys):
    assert spare(held(role="power"))
    assert spare(held(role="power", **keys)) == ()


@pytest.mark.parametrize(
    ("inside", "listed"),
    [
        ({"motor": part(role="drive")}, True),
        ({"pack": part(cells="lithium")}, False),
        ({"spring": part(stores="spring")}, False),
        ({"bar": part(role="weapon")}, False),
    ],
)
def test_never_of_a_place_with_such_a_thing_in_it(inside, listed):
    design = robot(
        parts={"side": part(role="chassis")},
        modules={"tray": place("tray", role="drive")},
        fasteners={"s": screws("M3x10 cap", 8, "tray", "side")},
    )
    found = spare(assembled(design, module("tray", parts=inside)))
    assert bool(found) is listed


def test_the_greatest_rule_counts_where_a_group_holds_several_roles():
    design = robot(
        parts={"deck": part(role="chassis"), "motor": part(role="drive"), "fork": part(role="lifter")},
        fasteners={
            "s": screws("M3x10 cap", 8, ("motor", "deck")),
            "t": screws("M3x10 cap", 8, ("motor", "fork")),
        },
    )
    (found,) = spare(assembled(design))
    assert (found.ref, found.enough, found.role) == ("s", 4, "chassis")
