"""Outlines as SVG path data."""

from collections.abc import Iterable, Sequence

from lineage.drawings.outline import Arc, Loop, Outline, Point, Segment


def path_data(outline: Outline, digits: int = 2) -> str:
    """The loops as an SVG path, in mm, y turned down as SVG has it.

    Arcs stay arcs, so a page can enlarge them. To be filled with `fill-rule: evenodd`.
    """
    return " ".join(_loop(loop, digits) for loop in outline.loops)


def run_data(runs: Iterable[Sequence[Segment]], digits: int = 2) -> str:
    """Runs of segments as an SVG path of lines, closed or not."""
    return " ".join(
        "".join((f"M{_point(run[0].start, digits)}", *(_step(segment, digits) for segment in run)))
        for run in runs
    )


def _loop(loop: Loop, digits: int) -> str:
    steps = [f"M{_point(loop.segments[0].start, digits)}"]
    steps += [_step(segment, digits) for segment in loop.segments[:-1]]
    # Z draws a last line by itself.
    last = loop.segments[-1]
    steps += [_step(last, digits), "Z"] if isinstance(last, Arc) else ["Z"]
    return "".join(steps)


def _step(segment: Segment, digits: int) -> str:
    end = _point(segment.end, digits)
    if not isinstance(segment, Arc):
        return f"L{end}"
    radius = _number(segment.radius, digits)
    # No arc is more than half a circle; seen from above its sense turns with y.
    return f"A{radius} {radius} 0 0 {0 if segment.bulge > 0 else 1} {end}"


def _point(point: Point, digits: int) -> str:
    return f"{_number(point[0], digits)} {_number(-point[1], digits)}"


def _number(number: float, digits: int) -> str:
    """Without trailing zeros, and never -0."""
    text = f"{number:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
