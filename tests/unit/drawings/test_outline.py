"""Records of an outline."""

from math import pi

import msgspec
import pytest

from lineage.drawings.outline import Arc, Line, Loop, Outline, arc_pieces, halved
from tests.drawn import arc, circle, entity, line, outline_of, rectangle


def test_an_outline_is_kept_as_json_and_read_back():
    outline = outline_of(
        rectangle(100, 50),
        circle(20, 20, 5),
        entity("ELLIPSE", (10, 60), (20, 20), (11, 3), (21, 0), (40, 0.5)),
    )
    text = msgspec.json.encode(outline)
    assert msgspec.json.decode(text, type=Outline) == outline
    assert msgspec.json.encode(msgspec.json.decode(text, type=Outline)) == text
    assert outline.flattened_mm == pytest.approx(14.53, abs=0.01)


def test_the_same_drawing_gives_the_same_outline():
    pieces = arc(0, 0, 5, 270, 90), line(0, 5, 0, -5)
    assert outline_of(*pieces) == outline_of(*pieces)


@pytest.mark.parametrize("bulge", [1.0, -1.0, 0.25, -0.4])
def test_centre_radius_and_turn_of_an_arc(bulge):
    one = Arc((1.0, 2.0), (4.0, 6.0), bulge)
    x, y = one.centre
    for point in (one.start, one.end):
        assert ((point[0] - x) ** 2 + (point[1] - y) ** 2) ** 0.5 == pytest.approx(one.radius)
    assert one.length == pytest.approx(one.radius * abs(one.turn))
    assert one.reversed().centre == pytest.approx(one.centre)
    assert one.reversed().turn == -one.turn


def test_an_arc_lies_to_the_right_of_an_anticlockwise_chord():
    one = Arc((0.0, 0.0), (10.0, 0.0), 0.5)
    assert one.centre[1] > 0
    assert one.passes((0.0, -1.0))
    assert not one.passes((0.0, 1.0))


def test_half_of_a_half_circle_is_a_quarter():
    assert halved(1.0) == pytest.approx(2**0.5 - 1)
    first, second = arc_pieces((0.0, 0.0), (2.0, 0.0), 3.0)
    assert isinstance(first, Arc)
    assert isinstance(second, Arc)
    assert first.end == second.start
    assert first.turn + second.turn == pytest.approx(4 * 1.2490457723982544)


def test_a_loop_backwards_is_itself_again():
    loop = Loop((Line((0.0, 0.0), (4.0, 0.0)), Arc((4.0, 0.0), (0.0, 0.0), 1.0)))
    assert loop.reversed().reversed() == loop
    assert loop.corners == ((0.0, 0.0), (4.0, 0.0))
    assert loop.segments[1].length == pytest.approx(2 * pi)
