"""Drawings for tests: DXF text written by hand, files written by ezdxf, and a second opinion on an outline."""

import io
import logging
from math import cos, radians, sin

import ezdxf
import shapely

from lineage.drawings.dxf import Reading, read_drawing
from lineage.drawings.outline import Arc, Loop, Outline, Piece
from lineage.drawings.placement import Placement

VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")

MM, INCH = 4, 1


def dxf(*entities: str, unit: int | None = MM, blocks: str = "") -> bytes:
    """A drawing of these entities; `unit` is $INSUNITS, None to say none."""
    header = "" if unit is None else f"9\n$INSUNITS\n70\n{unit}\n"
    sections = {"HEADER": header, "BLOCKS": blocks, "ENTITIES": "".join(entities)}
    text = "".join(f"0\nSECTION\n2\n{name}\n{body}0\nENDSEC\n" for name, body in sections.items())
    return (text + "0\nEOF\n").encode()


def entity(kind: str, *fields: tuple[int, object], layer: str = "CUT", handle: str = "") -> str:
    """One entity."""
    own = f"0\n{kind}\n" + (f"5\n{handle}\n" if handle else "") + f"8\n{layer}\n"
    return own + "".join(f"{code}\n{value}\n" for code, value in fields)


def line(x0, y0, x1, y1, **named) -> str:
    return entity("LINE", (10, x0), (20, y0), (11, x1), (21, y1), **named)


def arc(x, y, radius, start, end, *more: tuple[int, object], **named) -> str:
    return entity("ARC", (10, x), (20, y), (40, radius), (50, start), (51, end), *more, **named)


def circle(x, y, radius, *more: tuple[int, object], **named) -> str:
    return entity("CIRCLE", (10, x), (20, y), (40, radius), *more, **named)


def polyline(*points: tuple, closed: bool = True, **named) -> str:
    """Points are (x, y) or (x, y, bulge)."""
    fields: list[tuple[int, object]] = [(90, len(points)), (70, int(closed))]
    for x, y, *bulge in points:
        fields += [(10, x), (20, y), *((42, b) for b in bulge)]
    return entity("LWPOLYLINE", *fields, **named)


def rectangle(width, height, x=0.0, y=0.0, **named) -> str:
    return polyline((x, y), (x + width, y), (x + width, y + height), (x, y + height), **named)


def spline(degree, knots, points, weights=(), **named) -> str:
    fields: list[tuple[int, object]] = [(70, 8), (71, degree), (72, len(knots)), (73, len(points))]
    fields += [(40, knot) for knot in knots] + [(41, weight) for weight in weights]
    for x, y in points:
        fields += [(10, x), (20, y), (30, 0.0)]
    return entity("SPLINE", *fields, **named)


def block(name: str, *entities: str, base=(0.0, 0.0)) -> str:
    body = "".join(entities)
    return f"0\nBLOCK\n8\n0\n2\n{name}\n70\n0\n10\n{base[0]}\n20\n{base[1]}\n{body}0\nENDBLK\n8\n0\n"


def insert(name: str, x=0.0, y=0.0, *more: tuple[int, object], **named) -> str:
    return entity("INSERT", (2, name), (10, x), (20, y), *more, **named)


def read(*entities: str, ignore=(), named_unit=None, **drawing) -> Reading:
    return read_drawing(dxf(*entities, **drawing), "plates/side.dxf", ignore=ignore, unit=named_unit)


def outline_of(*entities: str, **drawing) -> Outline:
    """The outline of a drawing that must be right."""
    reading = read(*entities, **drawing)
    assert reading.outline is not None, reading.problems
    return reading.outline


def codes(reading: Reading) -> list[str]:
    return [problem.code for problem in reading.problems]


def written(document, *, binary: bool = False) -> bytes:
    """What ezdxf writes."""
    if binary:
        file = io.BytesIO()
        document.write(file, fmt="bin")
        return file.getvalue()
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding, errors="dxfreplace")


def new_document(version: str = "R2010", unit: int = MM):
    """An empty drawing of ezdxf, without its word about units that R12 cannot keep."""
    logging.getLogger("ezdxf").setLevel(logging.ERROR)
    return ezdxf.new(version, units=unit)


def moved_outline(outline: Outline, placement: Placement) -> Outline:
    """The same plate elsewhere, turned, mirrored or in another unit."""

    def loop(one: Loop) -> Loop:
        there = Loop(tuple(placement.segment(segment) for segment in one.segments))
        return there.reversed() if placement.is_mirrored else there

    pieces = tuple(
        Piece(outside=loop(piece.outside), holes=tuple(loop(hole) for hole in piece.holes))
        for piece in outline.pieces
    )
    return Outline(pieces=pieces)


def fine_points(loop: Loop, steps: int = 400) -> list[tuple[float, float]]:
    """A loop as chords, arcs cut into equal steps from their centres: not the way the package does it."""
    points: list[tuple[float, float]] = []
    for segment in loop.segments:
        points.append(segment.start)
        if isinstance(segment, Arc):
            (cx, cy), (x, y) = segment.centre, segment.start
            for step in range(1, steps):
                angle = segment.turn * step / steps
                dx, dy = x - cx, y - cy
                points.append(
                    (cx + dx * cos(angle) - dy * sin(angle), cy + dx * sin(angle) + dy * cos(angle))
                )
    return points


def as_shapes(outline: Outline, steps: int = 400) -> shapely.MultiPolygon:
    """An outline as shapely sees it."""
    return shapely.MultiPolygon(
        [
            shapely.Polygon(
                fine_points(piece.outside, steps), [fine_points(hole, steps) for hole in piece.holes]
            )
            for piece in outline.pieces
        ]
    )


def around(centre_x, centre_y, radius, degrees) -> tuple[float, float]:
    return centre_x + radius * cos(radians(degrees)), centre_y + radius * sin(radians(degrees))
