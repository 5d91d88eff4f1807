"""Which thing is which: by recorded rename, name, same content; siblings by name, module, role. Nothing by likeness."""

from lineage.changes.pairing import Hint, pair_builds, pair_siblings
from tests.in_memory import spec_of


def pairs(pairing):
    return [(pair.before, pair.after, pair.by) for pair in pairing.pairs]


def test_a_recorded_rename_comes_before_a_name():
    before = spec_of("robot: wren\nparts: {a: {mass: 1 g}, b: {mass: 2 g}}\n")
    after = spec_of("robot: wren\nparts: {b: {mass: 1 g}, c: {mass: 2 g}}\n")
    pairing = pair_builds(before, after, {"a": "b", "b": "c"})
    assert pairs(pairing) == [("a", "b", "rename"), ("b", "c", "rename")]
    assert pairing.names_before == {"a": "b", "b": "c"}


def test_names_come_before_content_and_content_needs_to_be_one_of_a_kind():
    before = spec_of(
        "robot: wren\nparts: {a: {mass: 1 g, item: 22 mm Motor}, b: {mass: 1 g, item: pack}, c: {mass: 1 g, item: pack}}\n"
    )
    after = spec_of(
        "robot: wren\nparts: {x: {mass: 1 g, item: 22  mm motor}, y: {mass: 1 g, item: pack}, z: {mass: 1 g, item: pack}}\n"
    )
    pairing = pair_builds(before, after, {})
    assert pairs(pairing) == [("a", "x", "content")]
    assert (pairing.only_before, pairing.only_after) == (("b", "c"), ("y", "z"))


def test_plates_of_one_drawing_from_one_stock_are_one_plate():
    text = "robot: wren\nparts: {side: {stock: pc-3, outline: plates/side.dxf}, lid: {mass: 1 g}}\n"
    drawn = {"plates/side.dxf": "11", "plates/flank.dxf": "11"}
    after = spec_of(text.replace("side", "flank"), drawings=drawn)
    assert pairs(pair_builds(spec_of(text, drawings=drawn), after, {}))[0] == ("side", "flank", "content")
    other = spec_of(text.replace("side", "flank").replace("pc-3", "al-2"), drawings=drawn)
    assert pair_builds(spec_of(text, drawings=drawn), other, {}).only_after == ("flank",)


def test_a_part_is_never_paired_with_screws_or_a_module():
    before = spec_of("robot: wren\nparts: {pod: {mass: 1 g}, lid: {mass: 1 g}}\n")
    after = spec_of("robot: wren\nparts: {lid: {mass: 1 g}}\nmodules: {pod: pod@A}\n")
    pairing = pair_builds(before, after, {"lid": "pod"})
    assert pairs(pairing) == [("lid", "lid", "name")]
    assert pairing.names_before == {"pod": "pod (gone)"}


def test_a_likely_rename_is_a_hint_and_no_pair():
    before = spec_of("robot: wren\nparts: {front-bar: {mass: 12 g, role: chassis}}\n")
    after = spec_of("robot: wren\nparts: {nose-bar: {mass: 12 g, role: chassis}}\n")
    pairing = pair_builds(before, after, {})
    assert pairing.pairs == ()
    assert pairing.hints == (Hint(before="front-bar", after="nose-bar", why="same mass, role"),)


def test_what_has_nothing_in_common_is_no_hint():
    before = spec_of("robot: wren\nparts: {front-bar: {mass: 12 g, role: chassis}}\n")
    after = spec_of("robot: wren\nparts: {receiver: {mass: 5 g, role: control}}\n")
    assert pair_builds(before, after, {}).hints == ()


def test_siblings_pair_by_name_then_module_then_role():
    before = spec_of(
        "robot: wren\nparts: {lid: {mass: 1 g}, tail: {mass: 2 g, role: weapon}, nose: {mass: 2 g, role: front}}\n"
        "modules: {left: pod@A, right: pod@A}\n"
    )
    after = spec_of(
        "robot: owl\nparts: {lid: {mass: 9 g}, beak: {mass: 2 g, role: front}, fin: {mass: 2 g, role: other}}\n"
        "modules: {drive: pod@B}\n"
    )
    pairing = pair_siblings(before, after)
    assert pairs(pairing) == [("lid", "lid", "name"), ("nose", "beak", "role"), ("left", "drive", "lineage")]
    assert (pairing.only_before, pairing.only_after) == (("tail", "right"), ("fin",))
