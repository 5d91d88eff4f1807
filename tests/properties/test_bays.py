"""Laws of boxes in a bay."""

from itertools import combinations, permutations, product

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lineage.figures.packing import Sides, pack

WHOLE = st.integers(1, 12).map(float)
BOXES = st.tuples(WHOLE, WHOLE, WHOLE)
ROOMS = st.tuples(*[st.integers(6, 24).map(float)] * 3)


def apart(one, other) -> bool:
    return any(
        one.at[a] + one.sides[a] <= other.at[a] + 1e-9 or other.at[a] + other.sides[a] <= one.at[a] + 1e-9
        for a in range(3)
    )


@settings(max_examples=50, deadline=None)
@given(st.lists(BOXES, min_size=1, max_size=9), ROOMS)
def test_no_placement_overlaps_or_leaves_the_room_or_changes_a_box(boxes, room):
    placed = pack(boxes, room).placed
    assume(placed is not None)
    assert len(placed) == len(boxes)
    for box, one in zip(boxes, placed, strict=True):
        assert sorted(one.sides) == sorted(box)
        assert all(one.at[a] >= 0 and one.at[a] + one.sides[a] <= room[a] + 1e-9 for a in range(3))
    assert all(apart(one, other) for one, other in combinations(placed, 2))


@st.composite
def rooms_cut_up(draw) -> tuple[list[Sides], Sides]:
    """A room cut straight through a few times: its pieces are sure to go back in."""
    room = draw(ROOMS)
    pieces = [room]
    for _ in range(draw(st.integers(1, 2))):
        sides = list(pieces.pop(draw(st.integers(0, len(pieces) - 1))))
        axis = draw(st.integers(0, 2))
        cut = draw(st.integers(1, max(1, int(sides[axis]) - 1)))
        for part in (float(cut), sides[axis] - cut):
            if part > 0:
                piece = [*sides[:axis], part, *sides[axis + 1 :]]
                pieces.append(draw(st.permutations(piece).map(tuple)))
    return pieces, room


@settings(max_examples=80, deadline=None)
@given(rooms_cut_up())
def test_up_to_three_pieces_of_a_room_cut_up_go_back_in(cut_up):
    boxes, room = cut_up
    assert pack(boxes, room).placed is not None


@settings(max_examples=30, deadline=None)
@given(st.lists(BOXES, min_size=4, max_size=7), ROOMS)
def test_a_room_that_was_said_to_be_too_small_stays_so_with_one_box_more(boxes, room):
    assume(pack(boxes[:-1], room).no_because is not None)
    assert pack(boxes, room).placed is None


def goes_in_on_a_grid(boxes: list[Sides], room: Sides) -> bool:
    """Tries every whole position: for whole sides no better one is left out."""
    taken: list[tuple] = []

    def place(number: int) -> bool:
        if number == len(boxes):
            return True
        for sides in set(permutations(boxes[number])):
            free = [range(int(most - side) + 1) for side, most in zip(sides, room, strict=True)]
            for at in product(*free):
                if all(
                    any(at[a] + sides[a] <= o[a] or o[a] + s[a] <= at[a] for a in range(3)) for o, s in taken
                ):
                    taken.append((at, sides))
                    if place(number + 1):
                        return True
                    taken.pop()
        return False

    return place(0)


SMALL = st.tuples(*[st.integers(1, 4).map(float)] * 3)


@settings(max_examples=60, deadline=None)
@given(st.lists(SMALL, min_size=1, max_size=3), st.tuples(*[st.integers(2, 5).map(float)] * 3))
def test_up_to_three_boxes_are_answered_as_trying_every_position_does(boxes, room):
    found = pack(boxes, room)
    assert (found.placed is not None) == goes_in_on_a_grid(boxes, room)
    assert (found.placed is None) == (found.no_because is not None)
