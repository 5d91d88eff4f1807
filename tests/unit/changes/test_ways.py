"""Ways in before and after, and which changes touch them."""

from lineage.changes.ways import WayFigure, way_changes
from tests.in_memory import between

TEXT = """\
robot: wren
parts: {lid: {mass: 20 g}, battery: {mass: 92 g, behind: lid}, motor: {mass: 30 g}}
modules: {left: pod@A}
fasteners: {lid-screws: {type: M3x10 cap, count: 8, holds: lid}}
access: {left.gearbox: [{undo: [lid-screws]}]}
"""


def figure(screws, undo=(), off=()):
    return WayFigure(screws=screws, seconds=10.0 * screws, undo=undo, off=off)


def ways(before, after, old, new, renames=None, options=None):
    difference = between(before, after, renames)
    found = way_changes(old, new, difference.changes, difference.pairing.names_before, options or {})
    return {way.ref: way for way in found}


def test_fewer_screws_on_the_way_touch_what_is_behind_them_and_nothing_else():
    found = ways(
        TEXT,
        TEXT.replace("count: 8", "count: 6"),
        {"battery": figure(8, ("lid-screws",), ("lid",)), "motor": figure(0)},
        {"battery": figure(6, ("lid-screws",), ("lid",)), "motor": figure(0)},
    )
    assert found["battery"].touched_by == ("fasteners:lid-screws",)
    assert (found["battery"].before.screws, found["battery"].after.screws) == (8, 6)
    assert found["battery"].is_changed
    assert not found["motor"].is_changed
    assert found["motor"].touched_by == ()


def test_a_new_way_to_a_thing_inside_a_place_touches_what_that_thing_is_in_the_way_of():
    after = TEXT.replace("[{undo: [lid-screws]}]", "[{undo: [lid-screws]}, {tools: [a hook]}]")
    old, new = (
        {"left.motor": figure(8, (), ("left.gearbox",))},
        {"left.motor": figure(0, (), ("left.gearbox",))},
    )
    assert ways(TEXT, after, old, new)["left.motor"].touched_by == ("access:left.gearbox",)


def test_what_is_no_longer_in_the_way_touches_it_still():
    after = TEXT.replace("battery: {mass: 92 g, behind: lid}", "battery: {mass: 92 g}")
    found = ways(TEXT, after, {"battery": figure(8, (), ("lid",))}, {"battery": figure(0)})
    assert found["battery"].touched_by == ("access:battery",)


def test_masses_and_names_touch_no_way():
    after = TEXT.replace("92 g", "95 g")
    assert ways(TEXT, after, {"battery": figure(8)}, {"battery": figure(8)})["battery"].touched_by == ()


def test_a_renamed_thing_is_compared_under_its_new_name():
    after = TEXT.replace("battery", "pack")
    found = ways(TEXT, after, {"battery": figure(8)}, {"pack": figure(8)}, {"battery": "pack"})
    assert list(found) == ["pack"]


def test_an_option_touches_the_ways_past_what_its_choices_hold():
    forks = "options: {fork: {long: {parts: {tine: {mass: 31 g}}}, none: {about: bare}}}\n"
    before = f"{TEXT}{forks}fitted: {{fork: long}}\n"
    after = before.replace("fork: long}", "fork: none}")
    old, new = {"motor": figure(2, (), ("tine",))}, {"motor": figure(0)}
    assert ways(before, after, old, new, options={"tine": "fork"})["motor"].touched_by == ("option:fork",)


def test_how_a_thing_is_joined_touches_its_way_and_where_it_sits_does_not():
    old, new = {"battery": figure(8)}, {"battery": figure(6)}
    moved = TEXT.replace("mass: 92 g", "mass: 92 g, centre: 1 x 2 x 3 mm")
    assert ways(TEXT, moved, old, new)["battery"].touched_by == ()
    clipped = TEXT.replace("mass: 92 g", "mass: 92 g, joined: clipped in")
    assert ways(TEXT, clipped, old, new)["battery"].touched_by == ("text:battery",)
