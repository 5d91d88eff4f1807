"""events/EVENT.yaml."""

from datetime import date

import pytest

from lineage.spec.event_file import read_event

NAME = "2025-03-09-spring-meet"
WHOLE = """\
event: Spring meet
on: [2025-03-09, 2025-03-10]
limits: {3lb: 1365 g}
size: 300 x 300 mm
floor: steel
turnaround: 15 min
inspect: [failsafe, link]
entries: {avocet: {build: "1.10", class: 3lb, fitted: {fork: long}, placed: second of 9, note: late}}
notes: [rain]
x-hall: B
"""


def problem(text, name=NAME):
    read = read_event(text.encode(), "f.yaml", name)
    assert read.record is None
    assert len(read.problems) == 1, read.problems
    return read.problems[0]


def test_every_key_is_read():
    read = read_event(WHOLE.encode(), "f.yaml", NAME)
    assert read.problems == ()
    event = read.record
    assert (event.name, event.title) == (NAME, "Spring meet")
    assert (event.first_day, event.last_day) == (date(2025, 3, 9), date(2025, 3, 10))
    assert (event.limits["3lb"].value, event.size.height, event.floor) == (1365, None, "steel")
    assert (event.turnaround.value, event.inspect, event.notes) == (900, ("failsafe", "link"), ["rain"])
    entry = event.entries["avocet"]
    assert (entry.build, entry.class_, entry.fitted) == ("1.10", "3lb", {"fork": "long"})
    assert (entry.placed, entry.note, event.extra) == ("second of 9", "late", {"x-hall": "B"})
    assert event.places[("entries", "avocet", "build")].line == 8


def test_without_a_date_the_day_is_that_of_the_name():
    event = read_event(b"event: Spring meet\n", "f.yaml", NAME).record
    assert (event.first_day, event.last_day) == (date(2025, 3, 9), date(2025, 3, 9))


def test_one_date_is_first_and_last():
    event = read_event(b"event: Spring meet\non: 2025-04-01\n", "f.yaml", NAME).record
    assert (event.first_day, event.last_day) == (date(2025, 4, 1), date(2025, 4, 1))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("event: a\non: [2025-03-09, 2025-03-08]\n", "days"),
        ("event: a\non: [2025-03-09]\n", "days"),
        ("event: a\non: 9.3.2025\n", "date"),
        ("event: a\non: [2025-03-09, soon]\n", "date"),
        ("event: a\non: {first: 2025-03-09}\n", "wrong-shape"),
        ("on: 2025-03-09\n", "missing-key"),
        ("event: a\nentries: {avocet: {build: now}}\n", "reserved-name"),
        ("event: a\nentries: {Avocet: {}}\n", "name"),
        ("event: a\nentries: {avocet: A}\n", "wrong-shape"),
    ],
)
def test_other_values_are_refused(text, code):
    assert problem(text).code == code


def test_a_file_with_no_event_s_name_says_so():
    assert problem("event: a\n", "spring-meet").code == "event-name"
