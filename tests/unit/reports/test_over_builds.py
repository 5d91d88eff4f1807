"""Figures over the builds of a design, and designs over the years."""

import re

from msgspec.structs import replace

from lineage.reports.charts.family_lines import family_lines
from lineage.reports.charts.over_builds import LEFT, RIGHT, over_builds
from tests import sample_views as sample


def panel(values, labels=None):
    labels = labels or [chr(65 + at) for at in range(len(values))]
    figures = ["not known" if value is None else f"{value:g}" for value in values]
    return over_builds("mass", "Mass, g", labels, values, figures)


def test_more_stands_higher_and_the_builds_stand_in_order() -> None:
    made = panel([10, 30, 20])
    assert made is not None
    heights = [point.y for point in made.points]
    assert heights[1] < heights[2] < heights[0]
    assert [point.x for point in made.points] == [LEFT, (LEFT + RIGHT) / 2, RIGHT]


def test_what_nobody_knows_is_a_gap_and_not_a_nought() -> None:
    made = panel([10, None, 20, 30])
    assert made is not None
    assert made.points[1].y is None
    assert re.sub(r"[^ML]", "", made.path) == "MML"
    assert "B not known" in made.said


def test_one_known_figure_makes_no_picture() -> None:
    assert panel([10, None]) is None
    assert panel([]) is None


def test_figures_that_are_all_the_same_lie_on_one_level() -> None:
    made = panel([3.0, 3.0, 3.0])
    assert made is not None
    assert len({point.y for point in made.points}) == 1


def test_where_there_is_no_room_the_first_the_last_the_least_and_the_most_are_said() -> None:
    values = [1300 + (at * 7) % 13 for at in range(26)]
    made = panel(values)
    assert made is not None
    kept = [at for at, point in enumerate(made.points) if point.is_said]
    assert 2 <= len(kept) <= 4
    assert kept[0] == 0
    assert kept[-1] == 25


def test_every_design_has_its_ruled_line_and_every_build_its_triangle_by_date() -> None:
    lanes = family_lines(sample.family())
    assert lanes is not None
    by_name = {lane.full: lane for lane in lanes.lanes}
    assert list(by_name) == ["teal", "wren", "pod"]
    assert len({lane.y for lane in lanes.lanes}) == 3
    assert [mark.label for mark in by_name["wren"].marks] == ["A", "B"]
    first, then = by_name["wren"].marks
    assert first.x < then.x
    assert first.is_triangle
    assert then.is_triangle
    assert by_name["pod"].note == "module"
    assert by_name["pod"].is_robot is False
    assert [year.text for year in lanes.years] == ["2024"]


def test_from_the_build_that_a_design_grew_from_a_leader_drops_to_its_line() -> None:
    lanes = family_lines(sample.family())
    assert lanes is not None
    by_name = {lane.full: lane for lane in lanes.lanes}
    child, parent = by_name["teal"], by_name["wren"]
    assert child.note == "from wren@A"
    assert child.drop is not None
    assert (child.drop.x, child.drop.start, child.drop.end) == (parent.marks[0].x, parent.y, child.y)
    assert parent.drop is None


def test_builds_of_one_week_share_a_triangle_and_long_labels_stand_over_theirs() -> None:
    wren = next(design for design in sample.family().designs if design.name == "wren")
    one, other = wren.builds
    week = replace(one, label="Z", on="2023-03-09")
    named = replace(other, label="after-the-cup")
    lanes = family_lines(sample.family(designs=(replace(wren, builds=(one, week, named)),)))
    assert lanes is not None
    (lane,) = lanes.lanes
    assert [(mark.is_triangle, mark.is_inside, mark.is_below) for mark in lane.marks] == [
        (True, True, False),
        (False, True, True),
        (True, False, False),
    ]


def test_of_two_ticks_that_touch_the_first_has_its_label() -> None:
    wren = next(design for design in sample.family().designs if design.name == "wren")
    one, other = wren.builds
    crowd = [replace(one, label=label, on=f"2023-03-{day}") for label, day in (("Y", "09"), ("Z", "10"))]
    lanes = family_lines(sample.family(designs=(replace(wren, builds=(one, *crowd, other)),)))
    assert lanes is not None
    (lane,) = lanes.lanes
    assert [mark.is_below for mark in lane.marks] == [False, True, False, False]


def test_one_build_alone_makes_no_line() -> None:
    assert family_lines(sample.family(designs=sample.family().designs[:1])) is None
