"""Cuts joined end to end."""

from itertools import pairwise

import pytest

from lineage.drawings.joining import GAP, TOUCH, Cut, Origin, join, without_doubles
from lineage.drawings.outline import Arc, Line

ORIGIN = Origin("LINE", "1F", "CUT", 10)


def cut(*segments):
    return Cut(segments=segments, origin=ORIGIN)


def square(size=10.0, x=0.0):
    corners = [(x, 0.0), (x + size, 0.0), (x + size, size), (x, size)]
    return [cut(Line(one, other)) for one, other in zip(corners, [*corners[1:], corners[0]], strict=True)]


def is_closed(ring):
    segments = ring.loop.segments
    return all(
        one.end == other.start for one, other in zip(segments, [*segments[1:], segments[0]], strict=True)
    )


def test_ends_that_differ_by_rounding_become_one_point():
    sides = square()
    sides[1] = cut(Line((10 + TOUCH / 2, -TOUCH / 2), (10.0, 10.0)))
    joined = join(sides)
    assert len(joined.rings) == 1
    assert is_closed(joined.rings[0])
    assert joined.rings[0].bridges == frozenset()
    assert joined.gaps == ()


def test_a_gap_is_bridged_and_no_side_tilts():
    sides = square()
    sides[1] = cut(Line((10.0, 0.04), (10.0, 10.0)))
    joined = join(sides)
    (ring,) = joined.rings
    assert is_closed(ring)
    assert len(ring.loop.segments) == 5
    assert joined.gaps == ((pytest.approx(0.04), (10.0, 0.0)),)
    (bridge,) = ring.bridges
    assert ring.loop.segments[bridge].length == pytest.approx(0.04)


@pytest.mark.parametrize(("gap", "rings"), [(GAP * 0.99, 1), (GAP * 1.01, 0)])
def test_a_gap_closes_up_to_its_limit(gap, rings):
    sides = square()
    sides[1] = cut(Line((10.0, gap), (10.0, 10.0)))
    assert len(join(sides).rings) == rings


def test_the_last_gap_of_a_ring_is_bridged_too():
    sides = square()
    sides[3] = cut(Line((0.0, 10.0), (0.0, 0.03)))
    (ring,) = join(sides).rings
    assert is_closed(ring)


def test_reversed_arcs_keep_their_shape():
    arc = Arc((10.0, 0.0), (0.0, 0.0), 1.0)
    for one in (arc, arc.reversed()):
        (ring,) = join([cut(Line((0.0, 0.0), (10.0, 0.0))), cut(one)]).rings
        assert is_closed(ring)
        assert sum(s.length for s in ring.loop.segments) == pytest.approx(10 + 15.707963)


def test_two_rings_that_touch_in_a_corner_are_told_apart_when_each_is_one_cut():
    def triangle(sign):
        corners = [(0.0, 0.0), (sign * 10.0, 0.0), (0.0, sign * 10.0), (0.0, 0.0)]
        return cut(*(Line(one, other) for one, other in pairwise(corners)))

    joined = join([triangle(1), triangle(-1)])
    assert len(joined.rings) == 2
    assert joined.branches == ()


def test_more_than_two_ends_in_a_point_are_a_branch():
    joined = join([*square(), cut(Line((0.0, 0.0), (5.0, 5.0)))])
    (branch,) = joined.branches
    assert branch.at == (0.0, 0.0)
    assert len(branch.origins) == 3


def test_a_line_shorter_than_the_gap_does_not_close_on_itself():
    joined = join([cut(Line((0.0, 0.0), (0.03, 0.0)))])
    assert joined.rings == ()
    assert len(joined.open_chains) == 1


def test_short_lines_within_a_ring_stay_in_order():
    corners = [(0.0, 0.0), (10.0, 0.0), (10.02, 0.02), (10.0, 10.0), (0.0, 10.0)]
    sides = [cut(Line(one, other)) for one, other in zip(corners, [*corners[1:], corners[0]], strict=True)]
    (ring,) = join(sides[::-1]).rings
    assert len(ring.loop.segments) == 5
    assert is_closed(ring)


def test_the_nearest_ends_are_joined_first():
    """Two squares 0.04 mm apart, each with a gap of 0.01 mm: they stay two."""
    left, right = square(), square(x=10.04)
    left[1] = cut(Line((10.0, 0.01), (10.0, 10.0)))
    right[3] = cut(Line((10.04, 10.0), (10.04, 0.01)))
    assert len(join([*left, *right]).rings) == 2


def test_doubles_are_found_whichever_way_they_run():
    sides = square()
    arc = Arc((0.0, 0.0), (4.0, 0.0), 0.5)
    kept, doubled = without_doubles([*sides, sides[0].reversed(), cut(arc), cut(arc.reversed())])
    assert len(kept) == 5
    assert doubled == [sides[0].reversed(), cut(arc.reversed())]


def test_arcs_on_both_sides_of_a_chord_are_no_doubles():
    kept, doubled = without_doubles(
        [cut(Arc((0.0, 0.0), (4.0, 0.0), 0.5)), cut(Arc((0.0, 0.0), (4.0, 0.0), -0.5))]
    )
    assert len(kept) == 2
    assert doubled == []


def test_an_open_chain_says_both_its_ends():
    (chain,) = join(square()[:3]).open_chains
    assert {chain.start, chain.end} == {(0.0, 0.0), (0.0, 10.0)}
