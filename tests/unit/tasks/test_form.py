"""The paper for the pits."""

import re

import pytest

from lineage.problems import AskedWrongly
from lineage.reports.to_html import form_html
from lineage.tasks.form import form
from lineage.tasks.states import Asker
from tests.in_memory import FAMILY, InMemory
from tests.page_walk import Walk

EVENT = "2026-05-01-may-meeting"
WITH_INSPECTION = FAMILY.replace(
    "{3lb: {limit: 3 lb}}",
    "{3lb: {limit: 3 lb, size: 600 x 600 mm, inspect: [link in reach, <b>weight</b>]}}",
)
POD = "module: pod\nparts:\n  gearbox: {mass: 23 g listed}\n  motor: {mass: 41 g listed, behind: gearbox}\n"
WREN = """\
robot: wren
class: 3lb
packing: [tape]
parts:
  lid: {mass: 20 g}
  battery: {mass: 92 g weighed, behind: lid, size: 68 x 35 x 17 mm ± 0.5 mm, cells: lithium}
modules: {pod-left: pod@A, pod-right: pod@A}
fasteners:
  lid-screws: {type: ISO 7380-1 M3x8, count: 6, holds: lid, into: [battery]}
options:
  fork: {long: {parts: {tine: {mass: 31 g}}}, short: {parts: {prong: {mass: 24 g}}}}
fitted: {fork: long}
fits:
  lid-over-battery: {need: at least 1 mm, chain: [20 mm, -battery.height]}
"""


def asker(event: str = "") -> Asker:
    made = InMemory(family=WITH_INSPECTION)
    made.record("pod", "A", "2026-01-01", POD)
    made.record("wren", "A", "2026-01-02", WREN)
    made.record("wren", "B", "2026-03-02", WREN.replace("mass: 20 g", "mass: 25 g"))
    made.record("teal", "A", "2026-01-03", "robot: teal\nparts:\n  lid: {mass: 9 g}\n")
    made.write({f"events/{EVENT}.yaml": f"event: May meeting\nturnaround: 20 s\n{event}"})
    return Asker(made.workspace())


def made(event: str = "", *robots: str):
    of = asker(event)
    return form(of, of.workspace.events[EVENT], robots)


def test_there_is_a_sheet_for_each_robot_entered_in_the_build_and_choices_it_is_entered_with() -> None:
    (sheet,) = made("entries: {wren: {build: A, fitted: {fork: short}}}\n").sheets
    assert (sheet.robot, sheet.build, sheet.fitted) == ("wren", "A", "fork short")
    assert [thing.name for thing in sheet.things] == ["lid", "battery", "pod-left", "pod-right", "prong"]


def test_without_entries_every_robot_gets_one_and_those_named_alone_where_they_are() -> None:
    assert [sheet.robot for sheet in made().sheets] == ["teal", "wren"]
    assert [(sheet.robot, sheet.build) for sheet in made("", "wren").sheets] == [("wren", "B")]
    with pytest.raises(AskedWrongly, match="module"):
        made("", "pod")


def test_limits_are_the_events_own_where_it_has_some_and_inspection_is_that_of_both() -> None:
    (sheet,) = made(
        "limits: {3lb: 1400 g}\ninspect: [radio off test, link in reach]\nsize: 3 x 3 m\n", "wren"
    ).sheets
    assert sheet.limit_g == 1400
    assert sheet.inspect == ("link in reach", "<b>weight</b>", "radio off test")
    assert sheet.size == "600 x 600 mm"  # the event's own is that of its box


def test_things_are_numbered_and_what_is_in_a_module_once_for_all_its_places() -> None:
    (sheet,) = made("", "wren").sheets
    assert [(thing.number, thing.name) for thing in sheet.things] == [
        ("1", "lid"),
        ("2", "battery"),
        ("3", "pod-left"),
        ("4", "pod-right"),
        ("5", "tine"),
    ]
    (inside,) = sheet.inside
    assert (inside.module, inside.places) == ("pod@A", ("3 pod-left", "4 pod-right"))
    assert [(thing.number, thing.name) for thing in inside.things] == [(".1", "gearbox"), (".2", "motor")]


def test_a_way_in_says_what_comes_first_and_whether_it_is_longer_than_the_time_between_bouts() -> None:
    (sheet,) = made("", "wren").sheets
    battery = next(thing for thing in sheet.things if thing.name == "battery")
    assert (battery.screws, battery.first_off) == (6, ("lid",))
    assert battery.seconds is not None
    assert battery.seconds > 20
    assert battery.is_slow
    assert not next(thing for thing in sheet.things if thing.name == "tine").is_slow


def test_the_paper_has_a_page_a_robot_with_cautions_boxes_and_room_for_every_bout() -> None:
    of = asker()
    page = form_html(form(of, of.workspace.events[EVENT], bouts=4))
    walk = Walk(page)
    assert walk.faults == []
    sheets = re.findall(r'<section class="pit".*?</section>', page, re.DOTALL)
    assert len(sheets) == 2
    for sheet in sheets:
        assert "power link out and weapon restraint on" in sheet
        assert sheet.count('<div class="bout">') == 4
        # in the order in which they are typed in later
        words = [
            "won",
            "min : s",
            "place",
            "what broke",
            "cosmetic",
            "min<",
            "cost the bout",
            "lost because",
            "left to do",
        ]
        bout = sheet[sheet.index('<div class="bout">') :]
        places = [bout.index(word) for word in words]
        assert places == sorted(places)
    assert "tape" in sheets[1]
    assert "&lt;b&gt;weight&lt;/b&gt;" in sheets[1]
    assert "break-before: page" in page
