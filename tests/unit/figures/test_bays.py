"""Boxes in a bay."""

import pytest

from lineage.figures.bays import BayFigure, work_out_bays
from lineage.spec.records import Bay, Choice
from tests.hand_built import assembled, box, mm, module, option, part, place, robot


def bay_of(inside, sizes: dict, *, padding: float | None = None, opening=None, count=1, **keys) -> BayFigure:
    parts = {name: part(size=box(*size) if size else None, count=count) for name, size in sizes.items()}
    bay = Bay(
        inside=box(*inside),
        holds=tuple(sizes),
        padding=None if padding is None else mm(padding),
        opening=None if opening is None else box(*opening, None),
    )
    return work_out_bays(assembled(robot(parts=parts, bays={"tray": bay}, **keys)))["tray"]


def test_a_box_that_fits_as_typed_is_not_turned():
    found = bay_of((70, 40, 20), {"battery": (68, 35, 17)})
    assert found.goes_in is True
    assert found.placement is not None
    assert found.placement[0].at_mm == (0, 0, 0)
    assert found.placement[0].size_mm == (68, 35, 17)
    assert found.spare_mm == (2, 5, 3)
    assert found.fill == pytest.approx(68 * 35 * 17 / (70 * 40 * 20))


def test_padding_is_kept_to_every_wall_and_between():
    one = bay_of((70, 40, 20), {"a": (30, 36, 16)}, padding=1)
    assert one.placement is not None
    assert one.placement[0].at_mm == (1, 1, 1)
    assert one.spare_mm == pytest.approx((38, 2, 2))
    assert bay_of((63, 40, 20), {"a": (30, 36, 16), "b": (30, 36, 16)}, padding=1).goes_in is True
    tight = bay_of((62.9, 40, 20), {"a": (30, 36, 16), "b": (30, 36, 16)}, padding=1)
    assert (tight.goes_in, tight.placement) == (False, None)


def test_fill_leaves_padding_out():
    assert bay_of((10, 10, 10), {"a": (5, 5, 5)}, padding=2).fill == pytest.approx(0.125)


@pytest.mark.parametrize(
    ("inside", "sizes", "why"),
    [
        ((70, 40, 16), {"a": (68, 35, 17)}, "one alone does not go in"),
        ((10, 10, 10), {"a": (9, 9, 9), "b": (7, 7, 7)}, "together they have more volume"),
        ((10, 10, 10), {"a": (6, 6, 6), "b": (6, 6, 6)}, "no arrangement of them goes in"),
        (
            (10, 10, 10),
            {"a": (6, 6, 6), "b": (6, 6, 6), "c": (1, 1, 1), "d": (1, 1, 1)},
            "two of them do not go in together",
        ),
        (
            (10, 10, 5),
            {"a": (6, 5, 5), "b": (6, 5, 5), "c": (5, 5, 5), "d": (1, 1, 1)},
            "the three largest do not go in together",
        ),
    ],
)
def test_a_no_has_its_proof(inside, sizes, why):
    found = bay_of(inside, sizes)
    assert (found.goes_in, found.why, found.placement, found.spare_mm) == (False, why, None, None)


def test_turning_is_by_right_angles():
    assert bay_of((20, 40, 70), {"battery": (68, 35, 17)}).goes_in is True
    # 12 mm would go in slanting across a square of 10, which is not tried
    assert bay_of((10, 10, 5), {"stick": (12, 0.5, 0.5)}).goes_in is False


def test_three_that_go_in_only_when_one_is_turned():
    found = bay_of((10, 10, 4), {"a": (10, 4, 4), "b": (6, 6, 4), "c": (6, 4, 4)})
    assert found.goes_in is True
    assert found.spare_mm == (0, 0, 0)


def test_what_does_not_go_through_the_opening_does_not_go_in():
    found = bay_of((70, 40, 20), {"battery": (68, 35, 17)}, opening=(34, 30))
    assert (found.goes_in, found.why) == (False, "battery does not go through the opening")
    assert bay_of((70, 40, 20), {"battery": (68, 35, 17)}, opening=(17, 35)).goes_in is True


def test_every_piece_of_a_ref_takes_room():
    assert bay_of((20, 10, 10), {"cell": (10, 10, 10)}, count=2).goes_in is True
    assert bay_of((20, 10, 10), {"cell": (10, 10, 10)}, count=3).goes_in is False
    eight = bay_of((20, 20, 20), {"cell": (10, 10, 10)}, count=8)
    assert eight.goes_in is True
    assert eight.fill == pytest.approx(1.0)
    assert eight.placement is not None
    assert [p.piece for p in eight.placement] == list(range(1, 9))


def test_five_different_boxes_are_found_a_place():
    sizes = {"a": (60, 30, 20), "b": (30, 30, 20), "c": (30, 30, 20), "d": (60, 30, 10), "e": (60, 30, 10)}
    assert bay_of((60, 60, 30), sizes).goes_in is True


def test_what_has_no_size_leaves_it_open_unless_the_rest_does_not_go_in():
    unknown = bay_of((70, 40, 20), {"battery": (68, 35, 17), "wire": None})
    assert (unknown.goes_in, unknown.fill, unknown.no_size) == (None, None, ("wire",))
    assert bay_of((70, 40, 16), {"battery": (68, 35, 17), "wire": None}).goes_in is False


def test_a_place_has_no_size():
    design = robot(modules={"pod": place("pod")}, bays={"tray": Bay(inside=box(9, 9, 9), holds=("pod",))})
    found = work_out_bays(assembled(design, module("pod", parts={"m": part(size=box(1, 1, 1))})))["tray"]
    assert (found.goes_in, found.no_size) == (None, ("pod",))
    assert found.why == "no size: pod"


def test_a_bay_with_nothing_fitted_is_empty():
    found = work_out_bays(assembled(robot(bays={"tray": Bay(inside=box(9, 8, 7), holds=("gone",))})))["tray"]
    assert (found.goes_in, found.fill, found.placement, found.spare_mm) == (True, 0.0, (), (9, 8, 7))


def test_only_what_is_fitted_has_to_go_in():
    design = robot(
        options={
            "cell": option(
                small=Choice(parts={"small-pack": part(size=box(5, 5, 5))}),
                large=Choice(parts={"large-pack": part(size=box(15, 5, 5))}),
            )
        },
        fitted={"cell": "small"},
        bays={
            "by-option": Bay(inside=box(9, 9, 9), holds=("cell",)),
            "by-name": Bay(inside=box(9, 9, 9), holds=("small-pack", "large-pack")),
        },
    )
    small = work_out_bays(assembled(design))
    large = work_out_bays(assembled(design, choices={"cell": "large"}))
    assert (small["by-option"].goes_in, large["by-option"].goes_in) == (True, False)
    assert (small["by-name"].goes_in, large["by-name"].goes_in) == (True, False)
