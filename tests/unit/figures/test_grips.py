"""Screws in their thread."""

import pytest

from lineage.figures.grips import COMMON_PRACTICE, Grip, grips
from tests.hand_built import assembled, mm, part, robot, screws


def grip_of(type_: str, *, into: str | None = None, **keys) -> Grip:
    design = robot(
        parts={"lid": part(), "base": part(material=into)},
        fasteners={"s": screws(type_, 2, "lid", "base", **keys)},
    )
    return grips(assembled(design))["s"]


def test_what_is_in_thread_and_what_stands_out():
    found = grip_of("M3x10 cap", grip=mm(4), depth=mm(5))
    assert found.engaged_mm == 5
    assert found.engaged_turns == 10
    assert found.protrusion_mm == 1


def test_a_screw_that_ends_within_its_thread_stands_out_negatively():
    found = grip_of("M3x10 cap", grip=mm(4), depth=mm(9))
    assert (found.engaged_mm, found.engaged_turns, found.protrusion_mm) == (6, 12, -3)
    assert found.warnings == ()


@pytest.mark.parametrize("keys", [{}, {"grip": mm(4)}, {"depth": mm(4)}])
def test_without_grip_and_depth_nothing_is_known(keys):
    assert grip_of("M3x10 cap", into="aluminium", **keys) == Grip()


def test_a_screw_of_no_known_type_has_no_grip():
    assert grip_of("blind rivet", mass=part().mass, grip=mm(4), depth=mm(4)) == Grip()


def test_a_screw_that_does_not_reach_is_named():
    found = grip_of("M3x8 cap", grip=mm(9), depth=mm(4), into="aluminium")
    assert (found.engaged_mm, found.engaged_turns) == (0, 0)
    assert found.warnings == ("does not reach the thread: 8 mm long",)


def test_a_screw_longer_than_its_thread_is_named():
    (warning,) = grip_of("M3x10 cap", grip=mm(4), depth=mm(5)).warnings
    assert warning.startswith("1 mm longer than its thread")
    assert COMMON_PRACTICE in warning


@pytest.mark.parametrize(
    ("material", "enough", "short"),
    [
        ("steel", 3, 2.9),
        ("stainless", 3, 2.9),
        ("aluminium-6061", 4.5, 4.4),
        ("pom", 6, 5.9),
        ("pla", 6, 5.9),
    ],
)
def test_least_thread_by_material_is_marked_as_common_practice(material, enough, short):
    assert grip_of("M3x12 cap", grip=mm(6), depth=mm(enough), into=material).warnings[1:] == ()
    warnings = grip_of("M3x8 cap", grip=mm(8 - short), depth=mm(20), into=material).warnings
    assert len(warnings) == 1
    assert COMMON_PRACTICE in warnings[0]
    assert warnings[0].startswith(f"{short:g} mm of thread in ")


@pytest.mark.parametrize("keys", [{"into": None}, {"into": "g10"}, {"into": "pla", "nuts": 1}])
def test_no_rule_of_thumb_without_a_material_that_has_one_or_with_nuts(keys):
    assert grip_of("M3x8 cap", grip=mm(7), depth=mm(20), **keys).warnings == ()


def test_a_countersunk_head_higher_than_its_plate_comes_through():
    (warning,) = grip_of("M3x8 countersunk", plate=mm(1.5)).warnings
    assert "1.5 mm: it comes through" in warning
    assert COMMON_PRACTICE in warning
    assert grip_of("M3x8 countersunk", plate=mm(3)).warnings == ()
    assert grip_of("M3x8 countersunk").warnings == ()
    assert grip_of("M3x8 cap", plate=mm(1.5)).warnings == ()
