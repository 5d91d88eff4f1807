"""Who gets which grams: small cases worked by hand."""

from functools import partial

import pytest

from lineage.changes.shares import ThingMass, split_mass
from tests.in_memory import between

approx = partial(pytest.approx, abs=1e-9)


def sheet(
    count: float, area: float, thickness: float, density: float, kerf: float = 0.0, basis: float = 1.0
) -> ThingMass:
    mass = count * area * thickness * density * basis
    factors = {
        "count": count,
        "area": (area, 0.0),
        "kerf": kerf,
        "thickness": thickness,
        "density": density,
        "basis": basis,
    }
    return ThingMass(mass_g=mass, formula="sheet", factors=factors)


def own(mass: float | None, option: str | None = None) -> ThingMass:
    return ThingMass(
        mass_g=mass,
        formula="mass",
        factors={"count": 1.0, "mass": mass, "basis": 1.0} if mass else {},
        option=option,
    )


def shares(before: str, after: str, old: dict, new: dict, renames: dict | None = None):
    found = split_mass(old, new, between(before, after, renames).changes)
    return {id_: share.mass_g for id_, share in found.shares.items()}, found


PLATE = "robot: wren\nstock: {pom: {material: acetal, thickness: 6 mm, density: 1400 kg/m3}}\nparts: {lid: {stock: pom, area: 10 cm2, count: 2}}\n"


def test_two_factors_of_one_plate_share_their_product_evenly():
    # 2 plates of 1000 mm² · 6 mm · 0.0014 g/mm³ = 16.8 g; 3 plates of 5 mm: 21 g. count: half of (25.2 − 16.8) + (21 − 14)
    after = PLATE.replace("6 mm", "5 mm").replace("count: 2", "count: 3")
    found, split = shares(
        PLATE, after, {"lid": sheet(2, 1000, 6, 0.0014)}, {"lid": sheet(3, 1000, 5, 0.0014)}
    )
    assert found == {"thickness:lid": approx(-3.5), "count:lid": approx(7.7)}
    assert split.after_g - split.before_g == approx(4.2)


def test_a_factor_may_become_zero():
    after = PLATE.replace("10 cm2", "0.0001 mm2")
    found, _ = shares(PLATE, after, {"lid": sheet(2, 1000, 6, 0.0014)}, {"lid": sheet(2, 0, 6, 0.0014)})
    assert found == {"outline:lid": approx(-16.8)}


def test_another_way_of_working_the_mass_out_is_one_factor():
    before = "robot: wren\nparts: {lid: {mass: 20 g guess}}\n"
    after = "robot: wren\nparts: {lid: {stock: pc-3, area: 60 cm2, count: 2}}\n"
    found, split = shares(before, after, {"lid": own(20)}, {"lid": sheet(2, 6000, 3, 0.0012)})
    assert found == {"mass:lid": approx(23.2), "count:lid": 0}
    assert split.shares["mass:lid"].factors_g == {"mass": approx(23.2)}


def test_a_weighing_that_came_with_a_change_goes_to_the_first_change_of_its_thing():
    after = PLATE.replace("6 mm", "5 mm").replace("area: 10 cm2", "area: 10 cm2, joined: glued")
    found, split = shares(
        PLATE, after, {"lid": sheet(2, 1000, 6, 0.0014)}, {"lid": sheet(2, 1000, 5, 0.0014, basis=1.1)}
    )
    assert found["thickness:lid"] == approx(15.4 - 16.8)
    assert found["text:lid"] == 0
    assert set(split.shares["thickness:lid"].factors_g) == {"thickness", "basis"}


def test_without_a_mass_in_either_state_the_effect_is_null_and_the_thing_in_no_total():
    before = "robot: wren\nparts: {lid: {mass: 20 g}, box: {mass: 5 g}}\n"
    after = "robot: wren\nparts: {lid: {stock: pc-3, area: 60 cm2}, box: {mass: 6 g}}\n"
    found, split = shares(before, after, {"lid": own(20), "box": own(5)}, {"lid": own(None), "box": own(6)})
    assert found == {"mass:lid": None, "mass:box": approx(1)}
    assert (split.before_g, split.after_g, split.missing) == (5, 6, ("lid",))


def test_a_refitted_option_carries_all_that_came_and_went():
    forks = "options: {fork: {long: {parts: {tine-long: {mass: 31 g}}}, short: {parts: {tine-short: {mass: 24 g}}}}}\n"
    before = f"robot: wren\nparts: {{lid: {{mass: 2 g}}}}\n{forks}fitted: {{fork: long}}\n"
    after = before.replace("fitted: {fork: long}", "fitted: {fork: short}").replace("24 g", "25 g")
    found, _ = shares(
        before,
        after,
        {"lid": own(2), "tine-long": own(31, "fork")},
        {"lid": own(2), "tine-short": own(25, "fork")},
    )
    assert found == {"option:fork": approx(-6), "mass:tine-short": 0}


def test_a_module_step_carries_what_is_in_its_place_and_shows_what_lacks_a_mass():
    before = "robot: wren\nparts: {lid: {mass: 2 g}}\nmodules: {left: pod@A}\n"
    old = {"left": ThingMass(mass_g=None, inner={"motor": 41.0, "gearbox": 23.0, "wire": None})}
    new = {"left": ThingMass(mass_g=None, inner={"motor": 41.0, "gearbox": 25.5, "wire": 3.0})}
    found, split = shares(before, before.replace("pod@A", "pod@B"), old, new)
    assert found == {"module moved on:left": approx(2.5)}
    assert (split.before_g, split.after_g, split.missing) == (64, 66.5, ("left.wire",))


def test_a_module_of_which_nothing_has_a_mass_has_no_effect_that_is_known():
    before = "robot: wren\nparts: {lid: {mass: 2 g}}\nmodules: {left: pod@A}\n"
    place = {"left": ThingMass(mass_g=None, inner={"motor": None})}
    found, _ = shares(before, before.replace("pod@A", "pod@B"), place, place)
    assert found == {"module moved on:left": None}


def test_another_choice_in_a_place_carries_its_grams_though_its_way_in_changed_too():
    before = "robot: wren\nparts: {lid: {mass: 2 g}}\nmodules: {left: {use: pod@A, fitted: {gears: slow}}}\n"
    after = before.replace("slow}", "quick}, behind: lid")
    found, _ = shares(
        before,
        after,
        {"left": ThingMass(mass_g=None, inner={"g": 5.0})},
        {"left": ThingMass(mass_g=None, inner={"g": 6.0})},
    )
    assert found == {"access:left": 0, "option:left.gears": approx(1)}


def test_what_weighs_another_mass_though_nobody_edited_it_is_told_by_a_change_of_its_own():
    text = "robot: wren\nparts: {lid: {mass: 2 g}}\n"
    found, split = shares(text, text, {"lid": own(2)}, {"lid": own(2.5)})
    assert found == {"mass:lid": approx(0.5)}
    assert [(change.id, change.edits) for change in split.unedited] == [("mass:lid", ())]


def test_a_part_that_moves_into_a_choice_not_fitted_leaves_its_grams_at_the_option():
    before = "robot: wren\nparts: {lid: {mass: 2 g}, tine: {mass: 20 g}}\n"
    after = (
        "robot: wren\nparts: {lid: {mass: 2 g}}\n"
        "options: {fork: {on: {parts: {tine: {mass: 20 g}}}, off: {about: none}}}\nfitted: {fork: off}\n"
    )
    found, split = shares(before, after, {"lid": own(2), "tine": own(20)}, {"lid": own(2)})
    assert (found, split.unedited) == ({"option:fork": approx(-20)}, ())


def test_a_factor_that_differs_by_rounding_alone_did_not_change():
    six, four = 0.7 * 6 / 6, 0.7 * 4 / 4
    assert six != four
    screws = "robot: wren\nparts: {lid: {mass: 9 g}}\nfasteners: {deck: {type: screw, mass: 0.7 g, count: 6, holds: lid}}\n"
    found = split_mass(
        {"deck": bought(6, six)},
        {"deck": bought(4, four)},
        between(screws, screws.replace("count: 6", "count: 4")).changes,
    )
    assert found.shares["fasteners:deck"].factors_g == {"count": approx(-1.4)}


def bought(count: float, each: float) -> ThingMass:
    factors = {"count": count, "mass": each, "basis": 1.0}
    return ThingMass(mass_g=count * each, formula="mass", factors=factors)
