"""Drawings as files: versions, forms, units, layers, and what is wrong with them."""

from math import pi

import pytest

from lineage.drawings.dxf import read_drawing
from lineage.drawings.faults import WANTED
from lineage.drawings.gathering import MILLIMETRES
from lineage.drawings.moments import measures
from tests.drawn import (
    VERSIONS,
    arc,
    block,
    circle,
    codes,
    dxf,
    entity,
    insert,
    line,
    new_document,
    outline_of,
    polyline,
    read,
    rectangle,
    spline,
    written,
)


def area(*entities, **drawing):
    return measures(outline_of(*entities, **drawing)).area_mm2


def plate_with_everything(version):
    """100 x 50 with a round hole, a slot of lines and arcs drawn anyhow, an ellipse, a spline and some text."""
    document = new_document(version)
    space = document.modelspace()
    corners = [(0, 0), (100, 0), (100, 50), (0, 50)]
    if version == "R12":
        space.add_polyline2d(corners, close=True)
    else:
        space.add_lwpolyline(corners, close=True)
        space.add_ellipse((80, 15), major_axis=(10, 0), ratio=0.5)
        # A rational quadratic spline that is a circle of radius 5 exactly.
        points = [(85, 35), (85, 40), (80, 40), (75, 40), (75, 35), (75, 30), (80, 30), (85, 30), (85, 35)]
        knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
        weights = [1, 0.5**0.5] * 4 + [1]
        space.add_rational_spline(control_points=points, weights=weights, degree=2, knots=knots)
    space.add_circle((20, 20), 5)
    space.add_line((50, 10), (60, 10))
    space.add_arc((60, 15), 5, 270, 90)
    space.add_line((50, 20), (60, 20))
    space.add_arc((50, 15), 5, 90, 270)
    space.add_text("side plate, 6 mm")
    space.add_point((1, 1))
    return document


@pytest.mark.parametrize("binary", [False, True], ids=["text", "binary"])
@pytest.mark.parametrize("version", VERSIONS)
def test_every_version_in_both_forms(version, binary):
    data = written(plate_with_everything(version), binary=binary)
    reading = read_drawing(data, "side.dxf", unit="mm" if version == "R12" else None)
    assert reading.problems == ()
    assert reading.outline is not None
    found = measures(reading.outline)
    holes = 25 * pi + 100 + 25 * pi + (0 if version == "R12" else 50 * pi + 25 * pi)
    assert abs(found.area_mm2 - (5000 - holes)) <= found.area_limit_mm2 + 1e-9
    assert (found.area_limit_mm2 > 0) == (version != "R12")
    assert found.box == pytest.approx((0, 0, 100, 50))


@pytest.mark.parametrize(
    ("code", "unit"), [(1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m"), (9, "mil"), (13, "um")]
)
def test_the_header_says_the_unit(code, unit):
    side = 50 / MILLIMETRES[unit]
    assert area(rectangle(side, side), unit=code) == pytest.approx(2500, rel=1e-12)


def test_the_part_says_the_unit_where_the_drawing_does_not():
    for silent in (0, None):
        reading = read(rectangle(2, 1), unit=silent, named_unit="in")
        assert reading.outline is not None
        assert measures(reading.outline).area_mm2 == pytest.approx(2 * 25.4**2)


def test_a_unit_said_twice_alike_is_no_problem():
    assert read(rectangle(20, 10), unit=4, named_unit="mm").problems == ()


def test_layers_are_left_out_by_pattern_whatever_their_case():
    cuts = (
        rectangle(20, 10, layer="Cut"),
        circle(5, 5, 1, layer="BEND-Lines"),
        line(0, 5, 20, 5, layer="bend-2"),
    )
    reading = read(*cuts, ignore=("bend*",))
    assert reading.outline is not None
    assert len(reading.outline.loops) == 1
    assert codes(read(*cuts)) == ["drawing.open-outline"]


def test_layer_names_beyond_ascii():
    document = new_document("R2000")
    document.layers.add("gefräst Ω")
    document.modelspace().add_circle((0, 0), 5, dxfattribs={"layer": "gefräst Ω"})
    reading = read_drawing(written(document), "x.dxf", ignore=("gefräst ω",))
    assert codes(reading) == ["drawing.no-outline"]


def test_what_explains_a_drawing_is_not_cut():
    notes = [
        entity(kind, (10, 5), (20, 5), (1, "x"))
        for kind in ("TEXT", "MTEXT", "DIMENSION", "POINT", "HATCH", "LEADER", "XLINE", "VIEWPORT")
    ]
    assert read(rectangle(20, 10), *notes).problems == ()


def test_a_sheet_of_paper_in_the_drawing_is_not_cut():
    frame = entity("LINE", (67, 1), (10, 0), (20, 0), (11, 400), (21, 0))
    assert read(rectangle(20, 10), frame).problems == ()


def test_what_may_be_a_cut_and_is_not_known_is_told_with_its_place():
    reading = read(rectangle(20, 10), entity("MLINE", (10, 3), (20, 4), handle="2F"), unit=1)
    assert reading.outline is None
    (problem,) = reading.problems
    assert problem.code == "drawing.unknown-entity"
    assert problem.what.startswith("MLINE 2F on layer CUT at (76.20, 101.60) mm")
    assert problem.place.file == "plates/side.dxf"
    text = dxf(rectangle(20, 10), entity("MLINE", (10, 3), (20, 4), handle="2F"), unit=1).decode().split("\n")
    assert text[problem.place.line - 1] == "MLINE"


def test_lines_are_counted_past_comments():
    data = dxf("999\na comment\n", circle(0, 0, -1))
    (problem,) = read_drawing(data, "x.dxf").problems
    assert data.decode().split("\n")[problem.place.line - 1] == "CIRCLE"


def test_windows_line_ends():
    reading = read_drawing(dxf(rectangle(20, 10)).replace(b"\n", b"\r\n"), "x.dxf")
    assert reading.outline is not None
    assert reading.problems == ()


def test_data_of_other_programs_is_no_geometry():
    fields = (
        (102, "{OTHER"),
        (10, 99),
        (102, "}"),
        (10, 0),
        (20, 0),
        (40, 5),
        (1001, "OTHER"),
        (1010, 7),
        (1040, 9),
    )
    found = measures(outline_of(entity("CIRCLE", *fields)))
    assert found.area_mm2 == pytest.approx(25 * pi)


def test_doubled_lines_are_cut_once_and_told():
    sides = [line(0, 0, 20, 0), line(20, 0, 20, 10), line(20, 10, 0, 10), line(0, 10, 0, 0)]
    reading = read(*sides, line(20, 0, 0, 0), circle(5, 5, 2), circle(5, 5, 2))
    assert codes(reading) == ["drawing.doubled"]
    assert reading.problems[0].level == "warning"
    assert reading.outline is not None
    assert measures(reading.outline).area_mm2 == pytest.approx(200 - 4 * pi)


def test_small_gaps_are_closed_and_told():
    reading = read(line(0, 0, 20, 0), line(20, 0.03, 20, 10), line(0, 10, 20, 10), line(0, 0, 0, 10))
    assert codes(reading) == ["drawing.gap"]
    assert "0.030 mm at (20.00, 0.00) mm" in reading.problems[0].what
    assert reading.outline is not None
    assert measures(reading.outline).area_mm2 == pytest.approx(200, abs=0.01)


def test_ends_that_overshoot_close_like_gaps():
    reading = read(line(0, 0, 20.03, 0), line(20, -0.03, 20, 10), line(0, 10, 20, 10), line(0, 0, 0, 10))
    assert codes(reading) == ["drawing.gap"]


def test_an_open_outline_is_told_with_both_its_ends():
    reading = read(line(0, 0, 20, 0, handle="A1"), line(20, 0.2, 20, 10, handle="A2"), line(20, 10, 0, 0))
    (problem,) = reading.problems
    assert problem.code == "drawing.open-outline"
    assert "(20.00, 0.00) mm (LINE A1 on layer CUT)" in problem.what
    assert "(20.00, 0.20) mm (LINE A2 on layer CUT)" in problem.what


def test_several_plates_are_added_and_told():
    reading = read(rectangle(20, 10), rectangle(10, 10, x=30))
    assert codes(reading) == ["drawing.several-plates"]
    assert reading.outline is not None
    assert measures(reading.outline).area_mm2 == pytest.approx(300)


def test_many_problems_are_told_in_short():
    reading = read(*[circle(n, 0, -1) for n in range(100)])
    assert len(reading.problems) == 21
    assert reading.problems[-1].what.endswith("and 79 more problems")


def test_an_error_is_not_lost_behind_many_warnings():
    reading = read(*[line(n, 0, n, 0) for n in range(100)], circle(0, 0, -1), line(0, 0, 0, 0))
    assert reading.outline is None
    assert reading.problems[-1].level == "error"
    assert "its radius is -1; and 81 more problems" in reading.problems[-1].what


KNOTS = [0, 0, 0, 0, 1, 1, 1, 1]
HILL = [(0, 0), (5, 10), (15, 10), (20, 0)]
RING_OF_BLOCKS = block("A", insert("B")) + block("B", circle(0, 0, 1))
ONE_CIRCLE = block("B", circle(0, 0, 1))

BAD = {
    "drawing.too-big": [
        dxf(polyline(*[(n, n % 7) for n in range(50_001)])),
        b"0\nSECTION\n" + b" " * 20_000_000,
        dxf(insert("B", 0, 0, (70, 30_000), (71, 30_000), (44, 3), (45, 3)), blocks=ONE_CIRCLE),
        dxf("".join(circle(n, 0, 1) for n in range(20_001))),
        dxf("".join(circle(n % 80 * 3, n // 80 * 3, 1) for n in range(5_100))),
        dxf(spline(3, KNOTS, [(0, 0), (9e5, 9e5), (-9e5, 9e5), (0, 0)])),
    ],
    "drawing.not-dxf": [
        b"",
        b"AC1015 and more",
        bytes(range(256)) * 1000,
        b"SECTION\n" + b"x" * 100 + b"\nEOF",
        dxf(circle(0, 0, 1)).replace(b"\n40\n", b"\nforty\n"),
    ],
    "drawing.cut-off": [
        dxf(rectangle(20, 10))[:-50],
        dxf(rectangle(20, 10)).replace(b"0\nEOF\n", b""),
        written(plate_with_everything("R2000"), binary=True)[:-2000],
        written(plate_with_everything("R12"), binary=True)[:-101],
    ],
    "drawing.no-unit": [dxf(circle(0, 0, 5), unit=None), dxf(circle(0, 0, 5), unit=0)],
    "drawing.unknown-unit": [dxf(circle(0, 0, 5), unit=3), dxf(circle(0, 0, 5), unit=99)],
    "drawing.bad-number": [
        dxf(circle("nan", 0, 5)),
        dxf(circle(0, "inf", 5)),
        dxf(circle(0, 0, "five")),
        dxf(entity("LINE", (10, 0), (20, 0), (11, 5))),
        dxf(entity("LWPOLYLINE", (90, 5), (70, 1), (10, 0), (20, 0), (10, 5), (20, 0))),
        dxf(entity("POLYLINE", (70, 1)) + entity("VERTEX", (10, 0), (20, 0)) + "0\nSEQEND\n"),
        dxf(circle(0, 0, 5), unit="nan"),
    ],
    "drawing.out-of-bounds": [
        dxf(circle(0, 0, 1e300)),
        dxf(circle(1e300, 0, 1)),
        dxf(circle(0, 0, 2e6)),
        dxf(rectangle(2e6, 1)),
        dxf(polyline((0, 0, 1e8), (50, 0, 1))),
        dxf(rectangle(2000, 1), unit=6),
        dxf(entity("ELLIPSE", (10, 0), (20, 0), (11, 9e8), (21, 0), (40, 0.5))),
        dxf(spline(3, KNOTS, [(0, 0), (5, 1e7), (15, 10), (20, 0)])),
    ],
    "drawing.no-size": [
        dxf(circle(0, 0, 0)),
        dxf(arc(0, 0, -2, 0, 90)),
        dxf(entity("ELLIPSE", (10, 0), (20, 0), (11, 0), (21, 0), (40, 0.5))),
        dxf(entity("ELLIPSE", (10, 0), (20, 0), (11, 5), (21, 0), (40, 0))),
    ],
    "drawing.not-flat": [
        dxf(circle(0, 0, 5, (210, 0), (220, 1), (230, 0))),
        dxf(circle(0, 0, 5, (210, 0), (220, 0), (230, 0))),
        dxf(entity("LINE", (10, 0), (20, 0), (30, 0), (11, 5), (21, 0), (31, 2))),
        dxf(entity("ELLIPSE", (10, 0), (20, 0), (11, 5), (21, 0), (31, 5), (40, 0.5))),
    ],
    "drawing.unknown-entity": [
        dxf(entity(kind, (10, 0), (20, 0)))
        for kind in ("REGION", "SOLID", "3DFACE", "MLINE", "HELIX", "NEWKIND")
    ]
    + [dxf(entity("POLYLINE", (70, 64)))],
    "drawing.bad-curve": [
        dxf(spline(3, KNOTS[:-1], HILL)),
        dxf(spline(3, KNOTS, HILL[:-1])),
        dxf(spline(9, KNOTS, HILL)),
        dxf(spline(0, KNOTS, HILL)),
        dxf(spline(3, [0, 0, 0, 0, 1, 1, 1, 0.5], HILL)),
        dxf(spline(3, [0] * 8, HILL)),
        dxf(spline(3, KNOTS, HILL, [1, 1, 0, 1])),
        dxf(spline(3, KNOTS, HILL, [1, 1])),
        dxf(spline(1, [0, 0, 1, 1, 2, 2], HILL)),
        dxf(
            entity(
                "SPLINE",
                (71, 3),
                (72, 2_000_000),
                (73, 4),
                *[(40, k) for k in KNOTS],
                *[(10, 0), (20, 0)] * 4,
            )
        ),
        dxf(entity("SPLINE", (71, 3), (74, 2), (11, 0), (21, 0), (11, 9), (21, 9))),
        dxf(spline(3, [0, 0, 0, 0, 1e-300, 1, 1, 1, 1], [*HILL, (30, 0)])),
    ],
    "drawing.bad-insert": [
        dxf(insert("B")),
        dxf(insert("A"), blocks=RING_OF_BLOCKS),
        dxf(insert("B", 0, 0, (41, 2), (42, 1)), blocks=ONE_CIRCLE),
        dxf(insert("B", 0, 0, (41, 0), (42, 0)), blocks=ONE_CIRCLE),
        dxf(insert("B"), blocks=ONE_CIRCLE.replace("70\n0", "70\n4")),
    ],
    "drawing.open-outline": [
        dxf(line(0, 0, 5, 0)),
        dxf(arc(0, 0, 5, 0, 180)),
        dxf(polyline((0, 0), (5, 0), (5, 5), closed=False)),
    ],
    "drawing.branch": [
        dxf(rectangle(20, 10), line(5, 5, 6, 6), line(5, 5, 6, 4), line(5, 5, 4, 5)),
        dxf("".join(line(0, 0, 1 + n / 50, 10) for n in range(5_000))),
    ],
    "drawing.crossing": [
        dxf(polyline((0, 0), (20, 10), (20, 0), (0, 10))),
        dxf(rectangle(20, 10), rectangle(20, 10, x=5, y=5)),
        dxf(rectangle(20, 10), circle(0, 5, 2)),
        dxf(polyline((0, 0), (10, 0), (10, 10), (5, 0), (0, 10))),
    ],
    "drawing.shared-edge": [
        dxf(rectangle(20, 10), rectangle(20, 10, x=20)),
        dxf(rectangle(20, 10), rectangle(5, 5)),
        dxf(circle(0, 0, 5), polyline((0, -5, 1), (0, 5, 1))),
    ],
    "drawing.no-area": [
        dxf(line(0, 0, 20, 0), polyline((0, 0), (10, 0), (20, 0), closed=False)),
        dxf(polyline((0, 0), (20, 0))),
    ],
    "drawing.no-outline": [dxf(), dxf(entity("TEXT", (10, 0), (20, 0), (1, "side")))],
    "drawing.doubled": [dxf(circle(0, 0, 5), circle(0, 0, 5))],
    "drawing.gap": [dxf(polyline((0, 0), (20, 0), (20, 10), (0, 0.04), closed=False))],
    "drawing.no-length": [dxf(rectangle(20, 10), line(5, 5, 5, 5))],
    "drawing.unlikely-size": [dxf(rectangle(5_000, 10)), dxf(rectangle(0.5, 0.1))],
    "drawing.several-plates": [dxf(circle(0, 0, 5), circle(20, 0, 5))],
}
"""code → drawings that have it, and nothing else wrong."""

DRAWINGS = [(code, data) for code, drawings in BAD.items() for data in drawings]


@pytest.mark.parametrize(
    ("code", "data"), DRAWINGS, ids=[f"{code[8:]}-{n}" for n, (code, _) in enumerate(DRAWINGS)]
)
def test_bad_drawings_are_told_with_their_code(code, data):
    reading = read_drawing(data, "plates/side.dxf")
    assert set(codes(reading)) == {code}
    assert all(problem.what and problem.place.file == "plates/side.dxf" for problem in reading.problems)
    assert (reading.outline is None) == any(problem.level == "error" for problem in reading.problems)


def test_every_code_has_a_drawing_that_has_it():
    assert {*BAD, "drawing.two-units"} == set(WANTED)


def test_two_units_are_one_too_many():
    assert codes(read(circle(0, 0, 5), unit=1, named_unit="mm")) == ["drawing.two-units"]


def test_a_unit_that_is_none():
    assert codes(read(circle(0, 0, 5), unit=None, named_unit="furlong")) == ["drawing.unknown-unit"]


def test_a_fault_in_a_block_names_entity_and_block():
    (problem,) = read(insert("B", 10, 20), blocks=block("B", circle(1, 2, 0, handle="7A"))).problems
    assert problem.what == "CIRCLE 7A on layer CUT at (11.00, 22.00) mm in block `B`: its radius is 0"


def test_a_crossing_is_told_where_it_is():
    (problem,) = read(polyline((0, 0), (20, 10), (20, 0), (0, 10), handle="3C")).problems
    assert "LWPOLYLINE 3C on layer CUT" in problem.what
    assert "(10.00, 5.00) mm" in problem.what


def test_a_large_drawing_is_read_whole():
    holes = [circle(5 + n % 20 * 9, 5 + n // 20 * 9, 3) for n in range(190)]
    data = dxf(rectangle(200, 100), *holes)
    reading = read_drawing(data, "x.dxf")
    assert reading.outline is not None
    assert len(reading.outline.loops) == 191
