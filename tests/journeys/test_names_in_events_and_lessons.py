"""Events and lessons that name what the family does not have are told, at their place, with the nearest name."""

import pytest

from tests.builders import GitFamily
from tests.program import fine, lineage

EVENT = "event: Meeting\nlimits: {3lb: 1350 g}\nentries:\n  avocet: {build: A, class: 3lb}\n"
LESSON = (
    "lesson: Gears strip\n"
    "from: [{event: 2026-05-02-meeting, robot: avocet, bouts: [1]}, {snag: avocet, mode: cracked}]\n"
    "about: [drive-pod.gearbox]\n"
    "done_in: [drive-pod@now]\n"
)
AT_EVENT, AT_LESSON = "events/2026-05-02-meeting.yaml", "lessons/gears.yaml"

# file, as it should be, as it is typed, line and column, what is offered
SLIPS = [
    (AT_EVENT, "  avocet:", "  avocett:", (4, 3), "write `avocet`"),
    (AT_EVENT, "class: 3lb", "class: 3lbs", (4, 29), "write `3lb`"),
    (AT_EVENT, "limits: {3lb", "limits: {3lbs", (2, 10), "write `3lb`"),
    (AT_LESSON, "event: 2026-05-02-meeting", "event: 2026-05-02-meting", (2, 16), "write `2026-05-02-meeting`"),
    (AT_LESSON, "robot: avocet", "robot: avocett", (2, 43), "write `avocet`"),
    (AT_LESSON, "snag: avocet", "snag: avocett", (2, 71), "write `avocet`"),
    (AT_LESSON, "drive-pod.gearbox", "drive-pod.gearbx", (3, 9), "write `drive-pod.gearbox`"),
    (AT_LESSON, "drive-pod.gearbox", "drive-pot.gearbox", (3, 9), "write `drive-pod`"),
    (AT_LESSON, "drive-pod@now", "drive-pod@B", (4, 11), "write `drive-pod@now`"),
]  # fmt: skip


@pytest.fixture
def family(tmp_path):
    family = GitFamily(tmp_path / "waders")
    fine(family.root, "record", "avocet", "A", "--on", "2026-03-01")
    family.write({AT_EVENT: EVENT, AT_LESSON: LESSON})
    return family


def problems(family):
    return lineage(family.root, "check", "--json").json["problems"]


def test_names_that_the_family_has_are_no_problem(family):
    assert problems(family) == []


@pytest.mark.parametrize(("file", "right", "wrong", "place", "mend"), SLIPS)
def test_a_name_that_the_family_lacks_is_an_error_with_the_nearest(family, file, right, wrong, place, mend):
    text = EVENT if file == AT_EVENT else LESSON
    family.write({file: text.replace(right, wrong)})
    (found,) = problems(family)
    assert (found["code"], found["level"], found["file"]) == ("unknown-name", "error", file)
    assert ((found["line"], found["column"]), found["mend"]) == (place, mend)
    assert lineage(family.root, "check").status == 1


def test_a_build_that_is_entered_may_yet_be_recorded(family):
    family.write({AT_EVENT: EVENT.replace("build: A", "build: B")})
    (found,) = problems(family)
    assert (found["code"], found["level"], found["line"], found["column"]) == (
        "unknown-name", "warning", 4, 19,
    )  # fmt: skip
    assert lineage(family.root, "check").status == 0


def test_a_thing_that_only_an_earlier_build_has_is_known(family):
    fine(family.root, "record", "drive-pod", "A", "--on", "2026-03-02")
    pod = family.root / "modules/drive-pod.yaml"
    pod.write_text(pod.read_text().replace("gearbox:", "gear-train:"))
    assert problems(family) == []
