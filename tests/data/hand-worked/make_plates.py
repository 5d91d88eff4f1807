"""Draws the plates of the hand-worked family: lines with arcs, bulges, circles, slots, one file without a unit."""

from pathlib import Path

import ezdxf
from ezdxf.addons import r12writer

HERE = Path(__file__).parent / "plates"


def new():
    drawing = ezdxf.new("R2000", units=4)
    return drawing, drawing.modelspace()


def rounded(space, length, width, radius):
    space.add_line((radius, 0), (length - radius, 0))
    space.add_arc((length - radius, radius), radius, 270, 360)
    space.add_line((length, radius), (length, width - radius))
    space.add_arc((length - radius, width - radius), radius, 0, 90)
    space.add_line((length - radius, width), (radius, width))
    space.add_arc((radius, width - radius), radius, 90, 180)
    space.add_line((0, width - radius), (0, radius))
    space.add_arc((radius, radius), radius, 180, 270)


def slot(space, x0, x1, y, radius):
    space.add_line((x0, y - radius), (x1, y - radius))
    space.add_arc((x1, y), radius, 270, 90)
    space.add_line((x1, y + radius), (x0, y + radius))
    space.add_arc((x0, y), radius, 90, 270)


def side(name, extra):
    drawing, space = new()
    rounded(space, 200, 40, 8)
    for x, y, r in ((20, 20, 2.5), (180, 20, 2.5), *extra):
        space.add_circle((x, y), r)
    slot(space, 90, 110, 20, 3)
    drawing.saveas(HERE / name)


def deck(name, hole):
    drawing, space = new()
    points = [(0, 0, 0), (180, 0, 0.5), (180, 120, 0), (0, 120, 0)]
    space.add_lwpolyline(points, format="xyb", close=True)
    space.add_circle((hole, 60), 10)
    text = space.add_text("top, this way up", dxfattribs={"layer": "notes"})
    text.set_placement((20, 20))
    drawing.saveas(HERE / name)


def bracket(name, holes):
    with r12writer(str(HERE / name)) as dxf:
        corners = [(0, 0), (40, 0), (40, 30), (0, 30)]
        for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
            dxf.add_line(start, end)
        for x, y, r in holes:
            dxf.add_circle((x, y), r)


def fork(name):
    drawing, space = new()
    space.add_lwpolyline([(0, 0), (70, 0), (70, 6), (20, 18), (0, 18)], close=True)
    space.add_circle((8, 9), 2.1)
    space.add_line((0, 9), (70, 9), dxfattribs={"layer": "centre-lines"})
    drawing.saveas(HERE / name)


def disc(name):
    drawing, space = new()
    space.add_circle((50, 50), 45)
    space.add_circle((50, 50), 4)
    space.add_circle((75, 50), 6)
    space.add_circle((25, 50), 6)
    drawing.saveas(HERE / name)


HERE.mkdir(exist_ok=True)
side("side-1.dxf", [(60, 30, 4)])
side("side-2.dxf", [(60, 30, 4), (140, 20, 9)])
deck("deck-1.dxf", 150)
bracket("bracket-1.dxf", [(12, 15, 3), (28.5, 15, 3)])
bracket("bracket-2.dxf", [(12, 15, 3), (28.5, 15, 3), (20, 6, 2)])
fork("fork-1.dxf")
disc("disc-1.dxf")
