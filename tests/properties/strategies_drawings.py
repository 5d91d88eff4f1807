"""Random plates: an outside that goes round, with arcs for some of its sides, and holes well inside."""

from math import cos, pi, sin

from hypothesis import strategies as st

from tests.drawn import circle, polyline


@st.composite
def plates(draw) -> list[str]:
    """Entities of a plate that is surely in order: every corner at its own angle, bulges small, holes in the middle."""
    count = draw(st.integers(5, 12))
    corners = []
    for number in range(count):
        angle = 2 * pi * (number + draw(st.floats(-0.3, 0.3))) / count
        radius = draw(st.floats(40, 60))
        bulge = draw(st.one_of(st.just(0.0), st.floats(0.001, 0.4), st.floats(-0.15, -0.001)))
        corners.append((radius * cos(angle), radius * sin(angle), bulge))
    holes = [
        circle(9 * column + draw(st.floats(-1, 1)), 9 * row + draw(st.floats(-1, 1)), draw(st.floats(0.5, 3)))
        for column in (-1, 0, 1)
        for row in (-1, 0, 1)
        if draw(st.booleans())
    ]
    return [polyline(*corners), *holes]


shifts = st.floats(-500, 500)
turns_in_degrees = st.floats(-360, 360)
