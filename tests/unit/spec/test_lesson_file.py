"""lessons/NAME.yaml."""

from datetime import date

import pytest

from lineage.spec.lesson_file import read_lesson
from lineage.spec.records import BuildRef, LessonSource

WHOLE = """\
lesson: Printed gears strip
from:
  - {event: 2025-03-09-meet, robot: avocet, bouts: [2, semi-final]}
  - {snag: drive-pod, on: 2025-03-01, mode: teeth gone}
mode: stripped
about: [drive-pod.gearbox, drive-pod.gearbox.pinion]
where: {material: [pla], joined: glued, process: print, role: drive, module: drive-pod, tags: hot, type: M3, item: pinion}
do: steel pinion
done_in: [drive-pod@C, avocet@now]
dropped: costs too much
notes: free
x-a: b
"""


def test_every_key_is_read():
    read = read_lesson(WHOLE.encode(), "f.yaml", "gears")
    assert read.problems == ()
    lesson = read.record
    assert (lesson.name, lesson.lesson, lesson.mode) == ("gears", "Printed gears strip", "stripped")
    assert lesson.from_ == (
        LessonSource(event="2025-03-09-meet", robot="avocet", bouts=("2", "semi-final")),
        LessonSource(snag="drive-pod", on=date(2025, 3, 1), mode="teeth gone"),
    )
    assert lesson.about == ("drive-pod.gearbox", "drive-pod.gearbox.pinion")
    assert lesson.where["material"] == ("pla",)
    assert len(lesson.where) == 8
    assert (lesson.do, lesson.dropped, lesson.notes) == ("steel pinion", "costs too much", "free")
    assert lesson.done_in == (BuildRef("drive-pod", "C"), BuildRef("avocet", "now"))
    assert lesson.extra == {"x-a": "b"}


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("about: a\n", "missing-key"),
        ("lesson: |\n  two\n  lines\n", "text"),
        ("lesson: a\nfrom: [{robot: b}]\n", "one-of"),
        ("lesson: a\nfrom: [{event: 2025-03-09-meet, snag: b}]\n", "one-of"),
        ("lesson: a\nfrom: [{event: meet}]\n", "event-name"),
        ("lesson: a\nwhere: {colour: red}\n", "unknown-key"),
        ("lesson: a\ndone_in: drive-pod\n", "build-ref"),
        ("lesson: a\nabout: Drive pod\n", "ref"),
        ("lesson: a\nstate: holding\n", "unknown-key"),
    ],
)
def test_other_values_are_refused(text, code):
    read = read_lesson(text.encode(), "f.yaml", "gears")
    assert read.record is None
    assert [p.code for p in read.problems] == [code]
