"""Every code of a problem with a drawing: what is wanted, and how to mend it."""

from lineage.drawings.outline import Point
from lineage.problems import Level, Place, Problem

WANTED: dict[str, tuple[str, str]] = {
    "drawing.too-big": (
        "a drawing of one plate: at most 20 MB, 20,000 entities and 50,000 points",
        "export the outline alone, with curves as arcs and lines",
    ),
    "drawing.not-dxf": (
        "a DXF drawing, ASCII or binary, R12 or later",
        "export the plate again as DXF",
    ),
    "drawing.cut-off": (
        "a whole DXF file, which ends with EOF",
        "copy or export the file again",
    ),
    "drawing.no-unit": (
        "a drawing that says its unit ($INSUNITS)",
        "add `drawing_unit: mm` (or cm, m, in, ft, mil, um) to the part",
    ),
    "drawing.unknown-unit": (
        "mm, cm, m, in, ft, mil or um",
        "set the unit of the drawing to one of these and export it again",
    ),
    "drawing.two-units": (
        "one unit",
        "take `drawing_unit` out, or set the drawing's own unit and export it again",
    ),
    "drawing.bad-number": (
        "finite numbers, as many as the entity needs",
        "draw it again, or leave its layer out with `ignore`",
    ),
    "drawing.out-of-bounds": (
        "coordinates within 1,000,000 mm of the origin",
        "move the plate near the origin; check the unit",
    ),
    "drawing.no-size": (
        "a radius or axis above zero",
        "delete it in the drawing",
    ),
    "drawing.not-flat": (
        "a flat drawing, seen from above or below",
        "project the outline onto the XY plane and export it again",
    ),
    "drawing.unknown-entity": (
        "lines, arcs, circles, ellipses, polylines, splines, and blocks of these",
        "convert it to lines and arcs, or leave its layer out with `ignore`",
    ),
    "drawing.bad-curve": (
        "a spline of degree 1 to 5 with control points, their knots, and weights above zero",
        "convert it to arcs, or export it again with control points",
    ),
    "drawing.bad-insert": (
        "a block that is in the drawing, scaled alike in x and y, with no block inside it",
        "explode the block in the drawing",
    ),
    "drawing.open-outline": (
        "closed outlines: ends at most 0.05 mm apart",
        "join the ends in the drawing, or leave the layer out with `ignore`",
    ),
    "drawing.branch": (
        "two cuts at every corner",
        "delete the one that is too much, or leave its layer out with `ignore`",
    ),
    "drawing.crossing": (
        "outlines that do not cross themselves or each other",
        "trim the cuts where they cross",
    ),
    "drawing.shared-edge": (
        "outlines that run clear of each other",
        "join them into one outline, or move them apart",
    ),
    "drawing.no-area": (
        "outlines that enclose an area",
        "delete it in the drawing",
    ),
    "drawing.no-outline": (
        "at least one closed outline",
        "draw the plate, and look whether `ignore` leaves out too much",
    ),
    "drawing.doubled": (
        "every cut once",
        "nothing has to be done here; a cutter would run it twice",
    ),
    "drawing.gap": (
        "ends that meet",
        "nothing has to be done here; gaps up to 0.05 mm are closed",
    ),
    "drawing.no-length": (
        "cuts that have a length",
        "nothing has to be done here; it is left out",
    ),
    "drawing.unlikely-size": (
        "a plate between 1 mm and 3 m",
        "check the unit that the drawing says",
    ),
    "drawing.several-plates": (
        "one plate a drawing",
        "nothing has to be done if they are cut together: their areas are added",
    ),
}
"""code → what is wanted, how to mend it."""


class Faulty(Exception):
    """Raised inside the room for what makes one entity, or the whole drawing, unusable."""

    def __init__(self, code: str, what: str) -> None:
        self.code, self.what = code, what
        super().__init__(what)


def problem(file: str, line: int, code: str, what: str, level: Level = "error") -> Problem:
    """A problem with what is wanted and the cure for its code."""
    wanted, mend = WANTED[code]
    return Problem(place=Place(file, line, 1), code=code, what=what, wanted=wanted, mend=mend, level=level)


def at(point: Point) -> str:
    """Coordinates as people read them: `(10.00, -5.25) mm`."""
    x, y = (round(number, 2) + 0.0 for number in point)
    return f"({x:.2f}, {y:.2f}) mm"
