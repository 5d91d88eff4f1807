"""Blocks put into a drawing."""

from math import pi

import pytest

from lineage.drawings.dxf import read_drawing
from lineage.drawings.moments import measures
from tests.drawn import (
    arc,
    block,
    circle,
    codes,
    entity,
    insert,
    line,
    new_document,
    outline_of,
    polyline,
    read,
    rectangle,
    written,
)

D_SHAPE = block("D", arc(0, 0, 5, 270, 90), line(0, 5, 0, -5), base=(1, 0))


def d_at(*more, x=0.0, y=0.0):
    return measures(outline_of(insert("D", x, y, *more), blocks=D_SHAPE))


def test_a_block_lies_with_its_base_on_the_point():
    assert d_at(x=100, y=50).box == pytest.approx((99, 45, 104, 55))


def test_a_block_is_turned_and_scaled():
    found = d_at((41, 2), (42, 2), (50, 90), x=100, y=50)
    assert found.area_mm2 == pytest.approx(4 * 12.5 * pi)
    assert found.box == pytest.approx((90, 48, 110, 58))


@pytest.mark.parametrize(
    ("fields", "box"),
    [
        (((41, -1), (42, 1)), (-4, -5, 1, 5)),
        (((41, 1), (42, -1)), (-1, -5, 4, 5)),
        (((41, -1), (42, -1)), (-4, -5, 1, 5)),
        (((210, 0), (220, 0), (230, -1)), (-4, -5, 1, 5)),
        (((41, -1), (42, 1), (50, 90)), (-5, -4, 5, 1)),
    ],
)
def test_a_block_is_mirrored(fields, box):
    found = d_at(*fields)
    assert found.area_mm2 == pytest.approx(12.5 * pi)
    assert found.box == pytest.approx(box, abs=1e-12)


def test_rows_and_columns_turn_with_the_block():
    grid = (50, 90), (70, 3), (71, 2), (44, 20), (45, 30)
    found = read(
        rectangle(200, 200, x=-100, y=-100), insert("B", 0, 0, *grid), blocks=block("B", circle(0, 0, 2))
    )
    assert found.outline is not None
    holes = sorted(
        (round(l.corners[0][0] - 0, 6), round(l.corners[0][1], 6)) for l in found.outline.loops[1:]
    )
    assert len(holes) == 6
    assert measures(found.outline).area_mm2 == pytest.approx(40_000 - 24 * pi)
    xs, ys = {x for x, _ in holes}, {y for _, y in holes}
    assert max(xs) - min(xs) == pytest.approx(30)
    assert max(ys) - min(ys) == pytest.approx(40)


def test_placement_agrees_with_a_reference_library():
    """ezdxf explodes the same insert."""
    document = new_document()
    inner = document.blocks.new("PART", base_point=(2, 3))
    inner.add_lwpolyline([(0, 0, 0.4), (20, 0, 0), (20, 10, -0.2), (0, 12, 0)], format="xyb", close=True)
    space = document.modelspace()
    placed = space.add_blockref("PART", (30, -7), dxfattribs={"xscale": -1.5, "yscale": 1.5, "rotation": 33})
    found = read_drawing(written(document), "x.dxf").outline
    placed.explode()
    exploded = read_drawing(written(document), "x.dxf").outline
    assert found is not None
    assert exploded is not None
    one, other = measures(found), measures(exploded)
    assert one.area_mm2 == pytest.approx(other.area_mm2)
    assert one.centroid == pytest.approx(other.centroid)
    assert one.ixy == pytest.approx(other.ixy)


def test_layer_0_in_a_block_is_the_layer_of_the_insert():
    blocks = block("B", circle(0, 0, 3, layer="0"), circle(0, 0, 1, layer="MARKS"))
    assert codes(read(insert("B", layer="CUT"), blocks=blocks, ignore=("cut",))) == ["drawing.no-outline"]
    reading = read(insert("B", layer="CUT"), blocks=blocks, ignore=("marks",))
    assert reading.outline is not None
    assert measures(reading.outline).area_mm2 == pytest.approx(9 * pi)


def test_text_and_ignored_blocks_inside_a_block_do_no_harm():
    blocks = block("A", circle(0, 0, 3), entity("TEXT", (1, "x")), insert("A", layer="NOTES"))
    assert read(insert("A"), blocks=blocks, ignore=("notes",)).problems == ()


def test_names_of_blocks_do_not_mind_case():
    assert read(insert("part"), blocks=block("PART", circle(0, 0, 3))).problems == ()


def test_a_block_that_nobody_inserts_is_not_cut():
    reading = read(rectangle(20, 10), blocks=block("B", circle(5, 5, 1)))
    assert reading.outline is not None
    assert len(reading.outline.loops) == 1


def test_copies_of_all_inserts_are_counted_together():
    columns = (70, 150), (71, 50), (44, 3), (45, 3)
    reading = read(*[insert("B", 0, n * 200, *columns) for n in range(3)], blocks=block("B", circle(0, 0, 1)))
    assert codes(reading) == ["drawing.too-big"]


def test_a_plate_in_a_block_beside_loose_holes():
    blocks = block("PLATE", polyline((0, 0), (20, 0), (20, 10), (0, 10)))
    found = measures(outline_of(insert("PLATE"), circle(5, 5, 1), blocks=blocks))
    assert found.area_mm2 == pytest.approx(200 - pi)
