"""Files as they really come: each fault is told with file, line and column, what, wanted and mend; nothing breaks."""

import re
from itertools import pairwise

import pytest

from tests.builders import FAMILY, SMALL, make_family
from tests.program import files_of, lineage

HEAD = "robot: avocet\nclass: 3lb\nparts:\n"

# the story → (robots/avocet.yaml, place of the fault, what is said, how it is mended)
BROKEN = {
    "a wrong unit": (HEAD + "  battery: {mass: 92 mm}\n", "robots/avocet.yaml:4:22:", "length", "g"),
    "a unit that is missing": (HEAD + "  battery: {mass: 92}\n", "robots/avocet.yaml:4:", "92", "g"),
    "a key twice": (
        HEAD + "  battery: {mass: 92 g}\n  battery: {mass: 93 g}\n",
        "robots/avocet.yaml:5:3:",
        "battery",
        "",
    ),
    "a key that nothing reads": (
        HEAD + "  battery: {mass: 92 g, cuont: 2}\n",
        "robots/avocet.yaml:4:25:",
        "`cuont`",
        "`count`",
    ),
    "a tab as indent": (HEAD + "\tbattery: {mass: 92 g}\n", "robots/avocet.yaml:4:1:", "tab", "spaces"),
    "a decimal comma": (
        HEAD + "  battery: {mass: 92,5 g}\n",
        "robots/avocet.yaml:4:",
        "comma",
        "`mass: 92.5 g`",
    ),
    "a decimal comma in a block": (
        HEAD + "  battery:\n    mass: 1,5 g\n",
        "robots/avocet.yaml:5:",
        "1,5",
        "1.5 g",
    ),
    "a leading zero": (
        HEAD + "  battery: {mass: 92 g, count: 010}\n",
        "robots/avocet.yaml:4:32:",
        "010",
        "10",
    ),
    "an anchor": (HEAD + "  battery: &b {mass: 92 g}\n", "robots/avocet.yaml:4:12:", "&", ""),
    "an alias": (
        HEAD + "  battery: {mass: 92 g}\n  spare: *battery\n",
        "robots/avocet.yaml:5:10:",
        "*",
        "",
    ),
    "a megabyte of nesting": (HEAD + "  battery: " + "[" * 1_000_000, "robots/avocet.yaml:4:", "50", ""),
    "a drawing that is not there": (
        HEAD + "  lid: {stock: pc-3, outline: plates/lid.dxf}\n",
        "robots/avocet.yaml:4:",
        "plates/lid.dxf",
        "save the drawing as plates/lid.dxf",
    ),
    "an empty file": ("", "robots/avocet.yaml:1:1:", "empty", ""),
    "bytes that are no text": (b"robot: \xff\xfe\n", "robots/avocet.yaml:1:", "UTF-8", ""),
    "a reference to nothing": (
        HEAD + "  battery: {mass: 92 g, behind: ldi}\n  lid: {mass: 20 g}\n",
        "robots/avocet.yaml:4:",
        "ldi",
        "write `lid`",
    ),
    "a module that has no such build": (
        HEAD + "  battery: {mass: 92 g}\nmodules:\n  drive: drive-pod@C\n",
        "robots/avocet.yaml:6:",
        "drive-pod@C",
        "",
    ),
}


def dxf(*points):
    """A drawing of lines from point to point, in millimetres."""
    lines = [
        ("0", "LINE", "8", "0", "10", x1, "20", y1, "11", x2, "21", y2)
        for (x1, y1), (x2, y2) in pairwise(points)
    ]
    head = ("0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", "4", "0", "ENDSEC")
    body = ("0", "SECTION", "2", "ENTITIES", *(word for line in lines for word in line), "0", "ENDSEC")
    return "\n".join((*head, *body, "0", "EOF", ""))


def broken(root, spec, more=None):
    return make_family(root, {**SMALL, "robots/avocet.yaml": spec, **(more or {})})


def tells(text, place, what, mend):
    (line,) = [line for line in text.splitlines() if line.startswith(place)][:1] or [""]
    assert re.match(r"[\w/.-]+:\d+:\d+: .+\[[a-z.-]+\]$", line), text[:2000]
    assert what in line
    assert mend in line
    assert "Traceback" not in text


@pytest.mark.parametrize("story", BROKEN)
def test_a_fault_is_told_with_its_place_and_its_cure(tmp_path, story):
    spec, place, what, mend = BROKEN[story]
    root = broken(tmp_path / "waders", spec)
    before = files_of(root)
    asked = lineage(root, "card", "avocet")
    assert asked.status == 2
    assert asked.out == ""
    tells(asked.err, place, what, mend)
    checked = lineage(root, "check")
    assert checked.status == 1
    tells(checked.out, place, what, mend)
    assert files_of(root) == before


def test_a_ring_of_modules_is_spelled_out(tmp_path):
    root = make_family(
        tmp_path / "waders",
        {
            "family.yaml": FAMILY,
            "robots/avocet.yaml": "robot: avocet\nmodules:\n  drive: drive-pod@now\n",
            "modules/drive-pod.yaml": "module: drive-pod\nmodules:\n  hub: wheel-hub@now\n",
            "modules/wheel-hub.yaml": "module: wheel-hub\nmodules:\n  pod: drive-pod@now\n",
        },
    )
    asked, checked = lineage(root, "card", "avocet"), lineage(root, "check")
    assert (asked.status, checked.status) == (2, 1)
    for said in (asked.err, checked.out):
        assert "[module-ring]" in said
        assert "drive-pod" in said
        assert "wheel-hub" in said


def test_an_open_outline_is_told_at_the_drawing(tmp_path):
    spec = HEAD + "  lid: {stock: pc-3, outline: plates/lid.dxf}\n"
    drawing = {"plates/lid.dxf": dxf(("0", "0"), ("50", "0"), ("50", "30"))}
    root = broken(tmp_path / "waders", spec, drawing)
    asked = lineage(root, "card", "avocet")
    assert asked.status == 2
    tells(asked.err, "plates/lid.dxf:", "", "join")
    refused = lineage(root, "record", "avocet", "A")
    assert refused.status == 2
    assert not (root / "builds").exists()


def test_the_same_outline_closed_is_weighed(tmp_path):
    """50 x 30 mm of 3 mm polycarbonate at 1200 kg/m3."""
    spec = HEAD + "  lid: {stock: mine, outline: plates/lid.dxf}\n"
    spec += "stock:\n  mine: {material: polycarbonate, thickness: 3 mm, density: 1200 kg/m3}\n"
    drawing = {"plates/lid.dxf": dxf(("0", "0"), ("50", "0"), ("50", "30"), ("0", "30"), ("0", "0"))}
    root = broken(tmp_path / "waders", spec, drawing)
    weight = lineage(root, "card", "avocet", "--json").json["weight"]
    assert weight["predicted_g"]["value"] == pytest.approx(50 * 30 * 3 * 1.2e-3)


def test_every_fault_of_every_file_comes_at_once(tmp_path):
    root = make_family(
        tmp_path / "waders",
        {
            "family.yaml": FAMILY + "clases: {}\n",
            "robots/avocet.yaml": HEAD + "  battery: {mass: 92 mm, cuont: 2}\n",
            "robots/knot.yaml": "robot: knot\nparts: [\n",
            "events/2026-03-20-meeting.yaml": "evnt: Meeting\n",
            "lessons/glue.yaml": "lesson: x\nform: []\n",
            "results/avocet.yaml": "- {on: 2026-03-20, kind: mas, is: 12 g}\n- {on: 2026-03-20, kind: mass}\n",
            "bouts/2026-03-20-meeting.yaml": "- {robot: avocet, outcome: wone}\n",
        },
    )
    answer = lineage(root, "check")
    assert answer.status == 1
    places = [re.match(r"([^: ]+):(\d+):(\d+): .*\[[a-z-]+\]$", line) for line in answer.out.splitlines()]
    found = [(m[1], int(m[2]), int(m[3])) for m in places if m]
    assert {file for file, _, _ in found} == {str(path.relative_to(root)) for path in root.rglob("*.yaml")}
    assert len([file for file, _, _ in found if file == "results/avocet.yaml"]) == 2
    assert found == sorted(found)
    assert "Traceback" not in answer.err


def test_a_bad_line_of_a_log_spoils_that_line_alone(tmp_path):
    root = make_family(
        tmp_path / "waders",
        {
            **SMALL,
            "results/avocet.yaml": "- {on: 2026-03-20, kind: snag, during: cutting, at: lid, mode: bent}\n"
            "- {on: 2026-03-20, kind: snag, during: cutting, at: lid, mode: bent, then broke}\n"
            "- {on: 2026-03-21, kind: snag, during: cutting, at: lid, mode: bent}\n",
        },
    )
    answer = lineage(root, "check")
    assert answer.status == 1
    assert re.findall(r"results/avocet\.yaml:(\d+):\d+: (?!warning)", answer.out) == ["2"]


def test_a_fault_of_one_robot_leaves_the_others_alone(tmp_path):
    root = broken(tmp_path / "waders", HEAD + "  battery: {mass: 92 mm}\n")
    assert lineage(root, "card", "drive-pod").status == 0


def test_control_characters_of_a_file_do_not_reach_the_terminal(tmp_path):
    spec = HEAD + '  battery: {mass: 92 g, "cu\\u001b[31mont": 2}\n'
    answer = lineage(broken(tmp_path / "waders", spec), "card", "avocet")
    assert answer.status == 2
    assert "\x1b" not in answer.err


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("name;mass\nlid;1,5,5 g\n", "parts.csv:2:"),
        ("what,ever\nlid,12\n", "parts.csv:1:"),
        ("", "parts.csv:1:1:"),
    ],
    ids=["a mass that is none", "no column of masses", "nothing"],
)
def test_a_parts_list_that_cannot_be_read_is_told_by_line(tmp_path, table, said):
    root = make_family(tmp_path / "waders")
    (root / "parts.csv").write_text(table)
    before = files_of(root)
    answer = lineage(root, "add", "robot", "knot", "--parts", "parts.csv")
    assert answer.status == 2
    assert said in answer.err
    assert files_of(root) == before
