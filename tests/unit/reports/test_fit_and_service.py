"""Fits, ways round, ways in and what they were before, as text and page tell them."""

import pytest
from msgspec.structs import replace

from lineage.reports.charts.fit_ladder import fit_ladder, gap_against_need
from lineage.reports.fit_words import (
    fit_so,
    ladder,
    no_way_so,
    outside_lines,
    serviceable_so,
    turned_rows,
    way_round_so,
)
from lineage.reports.pages.before_after import before_and_after
from lineage.reports.pages.card_service import access
from lineage.reports.text.card import card_text
from lineage.reports.views import card as c
from lineage.reports.views.card_more import OutsideView
from lineage.reports.views.compare import ServiceableView
from lineage.reports.views.figures import ValueU
from tests import sample_views as sample

# --- how far down a need holds ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "so"),
    [
        ({"holds": "in the worst case", "chance_missed": 1e-9}, "holds in the worst case"),
        (
            {"holds": "by root sum square", "chance_missed": 0.0004},
            "unlikely to miss, but the worst case does; missed under 1 %; tighten battery.height first",
        ),
        (
            {"holds": "nominally", "chance_missed": 0.07},
            "holds as drawn, may well miss; missed 7 %; tighten battery.height first",
        ),
        (
            {"holds": "never", "chance_missed": 1.0, "tighten_first": None},
            "CANNOT hold, not with every dimension at its best; missed over 99 %",
        ),
        (
            {"holds": "in the worst case", "chance_missed": 0.0, "fails_with": ({"fork": "long"}, {"fork": "bent"})},
            "holds in the worst case; MISSES with fork long; with fork bent",
        ),
        (
            {"nominal_mm": None, "holds": None, "chance_missed": None, "not_in": ("tine.height",), "tighten_first": None},
            "not fitted: tine.height",
        ),
        (
            {"holds": None, "chance_missed": None, "missing": ("lid.thickness",), "tighten_first": None},
            "tolerance not known: lid.thickness",
        ),
    ],
)  # fmt: skip
def test_a_need_that_only_the_worst_case_misses_is_told_from_one_that_cannot_hold(keys, so):
    assert fit_so(sample.fit(**keys)) == so


def test_a_measured_gap_stands_with_residual_normalised_error_and_whether_the_need_was_met():
    text = card_text(sample.card(fits={"deck-over-battery": sample.fit(measured_mm=ValueU(4.9, 0.05))}))
    assert "deck-over-battery  4.90 ± 0.10 mm         -0.10 mm  -0.4  meets its need" in text


# --- ways round ------------------------------------------------------------------------------------------


def turned(**keys):
    return c.WrongWaysView(**{"orientations": 1, "marked": None, "nearest_mm": None, **keys})


def test_a_way_that_only_looks_right_and_a_mirror_image_are_said_before_plates_that_can_be_turned():
    even = turned(orientations=4, can_go_wrong=True)
    near = turned(nearest_mm=0.43, looks_right=True, can_go_wrong=True)
    left = turned(mirror_of=("right",), can_go_wrong=True)
    plain = turned(nearest_mm=9.0)
    rows = turned_rows(sample.card(wrong_ways={"even": even, "plain": plain, "near": near, "left": left}))
    assert rows == (
        ("near", "a wrong way is off by only 0.43 mm and looks right; NOT MARKED: it can go in wrong"),
        ("left", "turned over it goes where right belongs; NOT MARKED: it can go in wrong"),
        ("even", "4 ways round; NOT MARKED: it can go in wrong"),
    )
    assert way_round_so(replace(near, marked=True)).endswith("looks right; marked")


def test_one_thing_of_a_module_in_several_places_is_said_once():
    two = turned(orientations=2, can_go_wrong=True)
    rows = turned_rows(
        sample.card(wrong_ways={"left.hub": two, "right.hub": two, "hub": two, "rear.hub": two})
    )
    assert [ref for ref, _ in rows] == ["left.hub, and in 3 more places"]


# --- the outside -----------------------------------------------------------------------------------------


def test_the_outside_is_held_against_class_and_event():
    outside = OutsideView(
        size_mm=(110.0, 90.0, 40.0),
        class_mm=(100.0, 100.0, None),
        fits_class=False,
        event_mm=None,
        fits_event=None,
    )
    lines = dict(outside_lines(sample.card(outside=outside)))
    assert lines == {"outside": "110 x 90 x 40 mm", "within that of 3lb": "100 x 100 mm: TOO LARGE"}


# --- ways in ---------------------------------------------------------------------------------------------


def test_every_ladder_begins_with_making_the_robot_safe_and_goes_in_true_order():
    card = sample.card()
    assert [text.partition(":")[0] for text in ladder("battery", card.access["battery"])] == [
        "Make the robot safe",
        "Undo deck-screws",
        "Take off top-deck",
        "Take off battery",
    ]
    drawn = access(card).ladders
    assert [made.ref for made in drawn] == ["battery"]
    assert [(step.do.partition(":")[0], step.refs) for step in drawn[0].steps] == [
        ("Make the robot safe", ()),
        ("Undo 8 of M3x8 button,", ("deck-screws",)),
        ("Take off", ("top-deck",)),
        ("Take off", ("battery",)),
    ]


def test_why_there_is_no_way_is_said():
    no_way = sample.card().access["pod.gearbox"]
    assert no_way_so(no_way) == "no way, they wait for each other: pod.gearbox → pod.motor → pod.gearbox"
    assert (
        no_way_so(replace(no_way, blocked_by=None, over_budget=True))
        == "too many combinations of ways to try"
    )


@pytest.mark.parametrize(
    ("after", "word"), [(20.0, "more serviceable"), (60.0, "less serviceable"), (40.2, "as serviceable")]
)
def test_more_serviceable_is_what_costs_less_for_the_same_failures(after, word):
    view = ServiceableView(bouts=15, before_s=40.0, after_s=after, dominant="belt", items={}, left_out=())
    assert (
        serviceable_so(view)
        == f"40 s → {after:.0f} s a bout for the same failures (15 bouts): {word}, most of it belt"
    )


# --- before and after ------------------------------------------------------------------------------------


def test_chains_and_ladders_that_changed_are_drawn_before_and_after_to_one_scale():
    old = sample.card(build="B")
    new = sample.card(
        fits={
            "deck-over-battery": sample.fit(nominal_mm=3.0, contributors=(*sample.fit().contributors, shim()))
        },
        access={"cell": replace(old.access["battery"], steps=old.access["battery"].steps[1:], screws=0)},
    )
    pair = sample.pair(pairing=(sample.m.PairingView(before="battery", after="cell", by="rename"),))
    section = before_and_after(pair, (old, new), "drawn")
    assert [picture.title for picture in section.pictures] == [
        "Chain of deck-over-battery, wren@B",
        "Chain of deck-over-battery, wren@C",
        "Gap of deck-over-battery, wren@B against its need",
        "Gap of deck-over-battery, wren@C against its need",
    ]
    assert len({picture.name for picture in section.pictures}) == 4
    assert section.pictures[0].ticks == section.pictures[1].ticks
    assert section.pictures[2].ticks == section.pictures[3].ticks
    assert [(made.ref, made.said.partition(":")[0]) for made in section.ladders] == [
        ("battery", "wren@B"),
        ("cell", "wren@C"),
    ]


def shim():
    return c.ContributorView(
        ref="2 mm", coefficient=-1.0, nominal_mm=2.0, tolerance_mm=0.0, from_=None, share=0.0
    )


def test_what_is_the_same_before_and_after_is_not_drawn():
    assert before_and_after(sample.pair(), (sample.card(build="B"), sample.card()), "drawn").is_empty


def test_a_picture_alone_fills_its_own_scale():
    short, long = sample.fit(), sample.fit(nominal_mm=40.0)
    assert fit_ladder("a", short).ticks == fit_ladder("a", short, beside=short).ticks
    assert gap_against_need("a", short).ticks != gap_against_need("a", short, beside=long).ticks
