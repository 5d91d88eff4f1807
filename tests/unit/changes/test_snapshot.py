"""Leaves of a spec: only what somebody wrote, things under the names of the second state, stock opened at parts."""

from lineage.changes.snapshot import snapshot
from tests.in_memory import FAMILY, spec_of

TEXT = """\
robot: wren
parts:
  lid: {stock: pc-3, outline: plates/lid.dxf, x-lot: 7}
  arm: {mass: 5 g, behind: lid, dims: {bore: 3 mm}}
fasteners: {screws: {type: M3x8 cap, count: 2, holds: lid, into: arm}}
fits: {clear: {need: at least 1 mm, chain: [lid.thickness, -arm.bore]}}
access: {lid: [{undo: screws}]}
"""


def test_only_what_somebody_wrote_is_a_leaf_and_a_default_is_not():
    leaves = snapshot(spec_of(TEXT))
    assert ("parts", "lid", "count") not in leaves
    assert ("parts", "arm", "stock") not in leaves
    assert leaves["parts", "lid", "x-lot"] == "7"
    assert ("parts", "lid", "extra") not in leaves


def test_stock_is_opened_at_each_part_cut_from_it():
    leaves = snapshot(spec_of(TEXT))
    assert leaves["parts", "lid", "stock of", "thickness"].text == "3 mm ± 0.15 mm"
    assert leaves["parts", "lid", "stock"] == "pc-3"


def test_a_drawing_is_its_path_and_its_content():
    drawn = {"plates/lid.dxf": "11"}
    assert snapshot(spec_of(TEXT, drawings=drawn))["parts", "lid", "outline"] == ("plates/lid.dxf", "11")
    assert snapshot(spec_of(TEXT))["parts", "lid", "outline"] == ("plates/lid.dxf", None)


def test_another_name_goes_through_every_reference_but_the_name_as_typed():
    leaves = snapshot(spec_of(TEXT), {"lid": "deck"})
    assert leaves["parts", "deck", "name"] == "lid"
    assert leaves["parts", "arm", "behind"] == ("deck",)
    assert leaves["fasteners", "screws", "holds"] == ("deck",)
    assert [term.ref for term in leaves["fits", "clear", "chain"]] == ["deck", "arm"]
    assert ("access", "deck") in leaves


def test_order_comments_and_quotes_are_no_part_of_it():
    other = "robot: wren\n# small\nparts:\n  arm: {behind: [lid], mass: '5 g', dims: {bore: 3 mm}}\n"
    plain = "robot: wren\nparts: {arm: {mass: 5 g, behind: lid, dims: {bore: 3 mm}}}\n"
    assert snapshot(spec_of(other)) == snapshot(spec_of(plain))


def test_what_the_family_says_today_of_scales_and_times_is_no_part_of_a_build():
    other = FAMILY + "times: {tool: 5 s}\nscales: {bench: {resolution: 1 g}}\n"
    assert snapshot(spec_of(TEXT)) == snapshot(spec_of(TEXT, family=other))
