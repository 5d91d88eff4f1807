"""The grammar of names, labels, references, builds, events and dates."""

from datetime import date

import pytest

from lineage.spec import names
from lineage.spec.names import BadName
from lineage.spec.records import BuildRef


def refused(rule, text):
    with pytest.raises(BadName) as caught:
        rule(text)
    return caught.value


@pytest.mark.parametrize("text", ["a", "side-plate", "m3-8", "x" * 40])
def test_names_are_lower_case_with_digits_and_hyphens(text):
    assert names.name(text) == text


@pytest.mark.parametrize("text", ["", "3lb", "-a", "Side", "side_plate", "x" * 41, "a.b", "ä", "a\n", "a b"])
def test_other_names_are_refused(text):
    assert refused(names.name, text).code == "name"


def test_the_cure_for_a_name_is_a_name():
    assert refused(names.name, "Side_Plate 2").mend == "write `side-plate-2`"


def test_family_names_may_begin_with_a_digit():
    assert names.family_name("3lb") == "3lb"
    assert refused(names.family_name, "-3lb").code == "name"


@pytest.mark.parametrize("text", ["con", "nul", "com1", "lpt9", "aux"])
def test_names_that_a_system_keeps_are_no_names_of_files(text):
    assert refused(names.design_name, text).code == "reserved-name"
    assert refused(names.build_label, text.upper()).code == "reserved-name"
    assert refused(names.lesson_name, text).code == "reserved-name"


@pytest.mark.parametrize("text", ["A", "1.10", "2-b", "rev.2", "x" * 20])
def test_labels_are_texts_as_typed(text):
    assert names.build_label(text) == text


@pytest.mark.parametrize("text", ["", ".a", "a-", "x" * 21, "a b", "a/b", "ä"])
def test_other_labels_are_refused(text):
    assert refused(names.build_label, text).code == "label"


@pytest.mark.parametrize("text", ["now", "git", "drawings", "Now", "DRAWINGS"])
def test_some_labels_are_taken(text):
    assert refused(names.build_label, text).code == "reserved-name"


def test_references_walk_down_with_dots():
    assert names.ref("drive-left.wheel.diameter") == "drive-left.wheel.diameter"
    assert refused(names.ref, "drive-left..wheel").code == "ref"
    assert refused(names.ref, "Drive left.wheel").mend == "write `drive-left.wheel`"


def test_builds_are_design_at_label():
    assert names.build_ref("drive-pod@1.10") == BuildRef("drive-pod", "1.10")
    assert names.build_ref("drive-pod@now") == BuildRef("drive-pod", "now")
    assert refused(names.build_ref, "drive-pod").mend.startswith("write `drive-pod@A`")
    assert refused(names.build_ref, "drive-pod@git:HEAD").code == "build-ref"


def test_dates_are_days_of_the_calendar():
    assert names.day("2024-02-29") == date(2024, 2, 29)
    assert refused(names.day, "2025-02-29").what == "there is no day 2025-02-29"
    assert refused(names.day, "2025/3/9").mend == "write `2025-03-09`"
    assert refused(names.day, "9.3.2025").code == "date"


def test_events_are_named_by_their_first_day():
    assert names.day_of_event("2025-03-09-spring-meet") == date(2025, 3, 9)
    assert refused(names.event_name, "spring-meet").code == "event-name"
    assert refused(names.event_name, "2025-13-09-spring").code == "date"
