from math import pi

import pytest

from lineage.drawings.outline import Arc, Line, Loop, Outline, Piece, circle_segments
from lineage.drawings.sketch import Sketch, Spot
from lineage.reports.charts.bays import bay_picture
from lineage.reports.charts.failures import failures_by_thing
from lineage.reports.charts.fit_ladder import fit_ladder, gap_against_need
from lineage.reports.charts.forest import forest
from lineage.reports.charts.mass_by_role import mass_by_role
from lineage.reports.charts.pictures import Arrow, Bar, Picture, Span, row, shortened
from lineage.reports.charts.plates import bounds, overlay, overlays, plate_picture, plate_pictures
from lineage.reports.charts.scales import Scale, padded, round_step, round_up
from lineage.reports.charts.sketches import sketch_pictures
from lineage.reports.charts.waterfall import MOST, waterfall
from lineage.reports.views.figures import ValueU
from tests import sample_views as sample


def bar_of(picture: Picture, at: int) -> Bar:
    mark = picture.rows[at].marks[0]
    assert isinstance(mark, Bar)
    return mark


# --- scales ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("span", "step"), [(1361, 500), (10, 2), (0.7, 0.2), (100, 20), (3.4, 1)])
def test_steps_are_one_two_or_five_times_a_power_of_ten(span: float, step: float) -> None:
    assert round_step(span) == pytest.approx(step)


def test_round_up_ends_at_the_next_round_number() -> None:
    assert round_up(1361) == 1500
    assert round_up(1000) == 1000


def test_ticks_lie_on_the_scale_at_their_numbers() -> None:
    scale = Scale(low=0, high=1500, left=0, right=300)
    assert [(tick.at, tick.text) for tick in scale.ticks(3)] == [
        (0, "0"),
        (100, "500"),
        (200, "1000"),
        (300, "1500"),
    ]


def test_equal_ratios_lie_equally_far_apart_on_a_log_scale() -> None:
    scale = Scale(low=0.01, high=100, left=0, right=400, log=True)
    assert [scale.at(x) for x in (0.01, 0.1, 1, 10, 100)] == [0, 100, 200, 300, 400]
    assert [tick.text for tick in scale.ticks()] == ["0.01", "0.1", "1", "10", "100"]


def test_what_lies_beyond_a_scale_stands_at_its_end() -> None:
    scale = Scale(low=0, high=10, left=0, right=100)
    assert (scale.at(-5), scale.at(15)) == (0, 100)


def test_one_number_alone_still_has_a_scale() -> None:
    assert padded([3.0], 0, 10).at(3.0) == 5


# --- rows ------------------------------------------------------------------------------------------------


def test_a_long_label_leaves_room_for_its_figure_and_keeps_both_ends() -> None:
    made = row("drive-left-front.gearbox.second-stage.planet-carrier", "1352.0 ± 1.3 g")
    assert len(made.label) + len(made.figure) < 54
    assert made.label.startswith("drive-left") and made.label.endswith("carrier")
    assert made.full.startswith("drive-left-front.gearbox")


def test_a_short_text_is_left_alone() -> None:
    assert shortened("side", 10) == "side"
    assert len(shortened("a" * 50, 10)) == 10


# --- mass ------------------------------------------------------------------------------------------------


def test_roles_are_laid_end_to_end_up_to_what_is_predicted() -> None:
    picture = mass_by_role(sample.card())
    assert picture is not None
    first, second = bar_of(picture, 0), bar_of(picture, 1)
    whole = bar_of(picture, 2)
    assert first.x + first.width == pytest.approx(second.x, abs=0.11)
    assert second.x + second.width == pytest.approx(whole.x + whole.width, abs=0.11)
    assert [upright.label for upright in picture.uprights] == ["limit 1360.8 g"]


def test_without_any_mass_there_is_no_picture_of_it() -> None:
    assert mass_by_role(sample.card(weight=sample.weight(by_role_g={}))) is None


def test_a_waterfall_ends_at_the_weighed_mass() -> None:
    picture = waterfall(sample.pair(), ValueU(1352.0, 0.65))
    assert picture is not None
    assert [r.figure for r in picture.rows] == [
        "1337.4 g", "+2.4 g", "+2.4 g", "+0.50 g", "1342.6 g", "+9.4 g", "1352.0 ± 1.3 g",
    ]  # fmt: skip


def test_steps_of_a_waterfall_begin_where_the_one_before_ended() -> None:
    picture = waterfall(sample.pair())
    assert picture is not None
    for upper, lower in zip(picture.rows[1:3], picture.rows[2:4], strict=True):
        above, below = upper.marks[0], lower.marks[0]
        assert isinstance(above, Bar) and isinstance(below, Bar)
        assert above.x + above.width == pytest.approx(below.x, abs=0.11)


def test_what_takes_mass_away_is_hatched() -> None:
    pair = sample.pair(changes=(sample.change("a", -3.0), sample.change("b", 2.0)))
    picture = waterfall(pair)
    assert picture is not None
    assert [bar_of(picture, at).fill for at in (1, 2)] == ["hatch", "solid"]


def test_many_changes_are_drawn_as_the_largest_and_a_rest_that_adds_up() -> None:
    changes = tuple(sample.change(f"part-{n}", float(n)) for n in range(1, MOST + 4))
    picture = waterfall(sample.pair(changes=changes))
    assert picture is not None
    assert picture.rows[-2].label == "3 smaller changes"
    assert picture.rows[-2].figure == "+6.0 g"


def test_without_a_known_total_there_is_no_waterfall() -> None:
    assert waterfall(sample.pair(changes=())) is None


# --- evidence --------------------------------------------------------------------------------------------


def test_a_forest_shows_counts_and_limits_on_a_log_axis() -> None:
    picture = forest([("pod", sample.evidence())])
    assert picture is not None
    span = picture.rows[0].marks[0]
    assert isinstance(span, Span)
    assert span.at is not None and span.low <= span.at <= span.high < picture.uprights[0].at
    assert span.low_open and not span.high_open
    assert picture.rows[0].figure == "12 of 23 → 1 of 18"


def test_a_ratio_without_an_upper_limit_ends_in_an_arrow_and_has_no_mark() -> None:
    picture = forest([("pod", sample.evidence(odds_ratio=None, interval95=(0.5, None)))])
    assert picture is not None
    span = picture.rows[0].marks[0]
    assert isinstance(span, Span)
    assert span.at is None and span.high_open


def test_readings_and_what_has_no_limits_are_not_in_a_forest() -> None:
    assert forest([("a", sample.evidence(counting=None)), ("b", sample.evidence(interval95=None))]) is None


def test_only_counted_failures_are_drawn() -> None:
    picture = failures_by_thing(sample.card())
    assert picture is not None
    assert [(r.label, r.figure) for r in picture.rows] == [("pod.gearbox: teeth stripped", "3 of 12")]


# --- fits and bays ---------------------------------------------------------------------------------------


def test_arrows_of_a_chain_follow_each_other_and_leave_the_gap() -> None:
    picture = fit_ladder("gap", sample.fit())
    assert picture is not None
    out, back, gap = (r.marks[0] for r in picture.rows)
    assert isinstance(out, Arrow) and isinstance(back, Arrow) and isinstance(gap, Bar)
    assert out.end == back.start
    assert (gap.x, gap.x + gap.width) == pytest.approx((out.start, back.end), abs=0.11)


def test_a_chain_that_overlaps_says_so() -> None:
    terms = sample.fit().contributors
    picture = fit_ladder("gap", sample.fit(nominal_mm=-5.0, contributors=(terms[1], *terms[1:])))
    assert picture is not None
    assert picture.rows[-1].label == "overlap"


def test_the_need_stands_as_a_line_beside_the_ranges() -> None:
    picture = gap_against_need("gap", sample.fit(need_mm=(1.0, 6.0)))
    assert picture is not None
    assert [u.label for u in picture.uprights] == ["at least 1 mm", "at most 6 mm"]
    assert [r.label for r in picture.rows] == ["worst case", "root sum square", "measured"]


def test_a_gap_whose_tolerances_nobody_knows_is_drawn_by_its_nominal() -> None:
    picture = gap_against_need("gap", sample.fit(worst_mm=None, rss_mm=None, measured_mm=None))
    assert picture is not None
    assert [r.label for r in picture.rows] == ["nominal"]


def test_a_bay_is_as_large_as_what_is_in_it_and_what_is_to_spare() -> None:
    bays = sample.card().bays
    assert bays is not None
    picture = bay_picture("tray", bays["tray"])
    assert picture is not None
    above, side = picture.views
    # inside 28 + 13 + 2 by 19 + 7 + 2 by 9 + 4 + 2 mm
    assert above.width / above.height == pytest.approx(43 / 28, rel=0.01)
    assert side.width / side.height == pytest.approx(43 / 15, rel=0.01)


# --- plates ----------------------------------------------------------------------------------------------


def disc(radius: float) -> Outline:
    return Outline(pieces=(Piece(outside=Loop(circle_segments((0.0, 0.0), radius))),))


def test_a_round_plate_reaches_beyond_the_ends_of_its_arcs() -> None:
    assert bounds(disc(30)) == pytest.approx((-30, -30, 30, 30))


def test_a_rounded_corner_reaches_no_further_than_its_ends() -> None:
    bulge = 0.41421356237309503
    corner = Arc((10.0, 0.0), (0.0, 10.0), bulge)
    outline = Outline(pieces=(Piece(outside=Loop((corner, Line((0, 10), (0, 0)), Line((0, 0), (10, 0))))),))
    assert corner.turn == pytest.approx(pi / 2)
    assert bounds(outline) == pytest.approx((0, 0, 10, 10))


def test_the_scale_bar_is_true_and_no_longer_than_the_plate() -> None:
    frame = plate_picture("disc", disc(30)).frame
    assert frame.bar.text == f"{frame.bar.length:g} mm"
    assert frame.bar.length == 20
    assert frame.x < -30 and frame.x + frame.width > 30


def test_two_states_of_a_plate_are_drawn_in_one_frame() -> None:
    made = overlay("disc", disc(30), disc(35))
    assert made.frame.width > 70
    assert made.before != made.after


def test_plates_that_are_cut_alike_are_drawn_once_under_all_their_names() -> None:
    made = plate_pictures({"left.bracket": disc(20), "right.bracket": disc(20), "belly": disc(40)})
    assert [(plate.title, plate.name) for plate in made] == [
        ("left.bracket, right.bracket", "plate-1"), ("belly", "plate-2"),
    ]  # fmt: skip


def test_only_plates_that_were_cut_otherwise_are_laid_over_each_other() -> None:
    before = {"side": disc(20), "belly": disc(40), "old": disc(5)}
    after = {"side": disc(20), "belly": disc(41), "new": disc(5)}
    assert [made.title for made in overlays(before, after)] == ["belly"]


def test_a_gap_is_enlarged_until_its_ends_stand_apart():
    run = (Line((0.0, 0.0), (200.0, 0.0)), Line((200.0, 0.0), (200.0, 30.0)), Line((200.0, 30.0), (0.0, 0.1)))
    sketch = Sketch(runs=(run,), spots=(Spot(at=(0.0, 0.0), what="open"), Spot(at=(0.0, 0.1), what="open")))
    whole, near = sketch_pictures({"plates/side.dxf": sketch})
    assert whole.frame.width > 200
    assert near.frame.width == pytest.approx(8 * 0.1 * 1.08)
    first, second = near.rings
    assert abs(first.y - second.y) > first.radius + second.radius


def test_an_enlarged_place_draws_only_what_lies_there():
    runs = ((Line((0.0, 0.0), (10.0, 0.0)),), (Line((500.0, 0.0), (500.0, 90.0)),))
    _, near = sketch_pictures({"a.dxf": Sketch(runs=runs, spots=(Spot(at=(500.0, 90.0), what="open"),))})
    assert near.path == "M500 0L500 -90"


def test_an_arc_that_bulges_into_an_enlarged_place_is_drawn_there():
    runs = ((Arc((0.0, 0.0), (100.0, 0.0), 1.0),),)
    _, near = sketch_pictures({"a.dxf": Sketch(runs=runs, spots=(Spot(at=(50.0, -50.0), what="crosses"),))})
    assert near.path.startswith("M0 0A50 50")
