"""`check`: each thing that is wrong between files, drawings, builds and logs, by its code, with place and cure."""

import os
import re

import pytest

from lineage.archive.builds import read_record
from lineage.archive.tree import WorkingTree
from lineage.problems import AskedWrongly, BadInput
from lineage.tasks.workspace import Workspace
from tests.builders import FAMILY, MODULE, ROBOT, SMALL, GitFamily, make_family
from tests.drawn import dxf, line
from tests.program import fine, lineage

LASER = "stock:\n  black: {material: pvc, thickness: 3 mm, cut: {how: laser}}\n"
CLASS_OF_PLASTIC = FAMILY.replace("3 lb}", "3 lb, materials: {chassis: [polycarbonate]}}")
BOUT = "bouts/2026-03-20-meeting.yaml"

# code → (files, the file that is named, errors or not)
WRONG = {
    "drawing.missing": ({"robots/avocet.yaml": ROBOT.replace("area: 100 cm2", "outline: plates/lid.dxf")}, True),
    "pvc-in-laser": ({"robots/avocet.yaml": ROBOT.replace("stock: pc-3", "stock: black") + LASER}, True),
    "unlisted-screw": (
        {
            "robots/avocet.yaml": ROBOT
            + "fasteners:\n  screws: {type: ISO 7380-1 M2x10, count: 4, holds: lid, into: battery}\n"
        },
        False,
    ),
    "ring-of-behind": (
        {"robots/avocet.yaml": ROBOT.replace("92 g weighed", "92 g weighed, behind: lid").replace(
            "100 cm2", "100 cm2, behind: battery")},
        True,
    ),
    "over-limit": ({"robots/avocet.yaml": ROBOT.replace("92 g", "1.5 kg")}, False),
    "need-missed": (
        {"robots/avocet.yaml": ROBOT + "fits:\n  gap: {need: at least 1 mm, chain: [3 mm, -lid.thickness]}\n"},
        False,
    ),
    "material-against-class": (
        {
            "family.yaml": CLASS_OF_PLASTIC,
            "robots/avocet.yaml": ROBOT + "  skid: {role: chassis, mass: 20 g, material: steel}\n",
        },
        False,
    ),
    "size-against-class": (
        {
            "family.yaml": FAMILY.replace("3 lb}", "3 lb, size: 300 x 250 mm}"),
            "robots/avocet.yaml": ROBOT + "size: 310 x 240 x 50 mm\n",
        },
        False,
    ),
    "size-against-event": (
        {
            "events/2026-05-02-meeting.yaml":
                "event: Meeting\nsize: 300 x 250 mm\nentries:\n  avocet: {}\n",
            "robots/avocet.yaml": ROBOT + "size: 310 x 240 x 50 mm\n",
        },
        False,
    ),
    "unknown-robot": ({BOUT: "- {robot: avocett, bout: 1, outcome: won}\n"}, False),
    "uncertain-build": ({BOUT: "- {robot: avocet, bout: 1, outcome: won}\n"}, False),
}  # fmt: skip


def problems(root):
    return lineage(root, "check", "--json").json["problems"]


@pytest.mark.parametrize("code", WRONG)
def test_what_is_wrong_is_told_by_its_code_with_a_cure(tmp_path, code):
    files, is_error = WRONG[code]
    root = make_family(tmp_path / "waders", {**SMALL, **files})
    answer = lineage(root, "check", "--json")
    (found,) = [problem for problem in answer.json["problems"] if problem["code"] == code]
    assert found["file"] in files
    assert found["level"] == ("error" if is_error else "warning")
    assert found["what"]
    assert found["mend"]
    assert answer.status == (1 if is_error else 0)


FORKS = """\
options:
  fork:
    short: {parts: {tine: {mass: 24 g, dims: {height: 4 mm}}}}
    long: {parts: {long-tine: {mass: 31 g, dims: {height: 6 mm}}}}
fitted: {fork: short}
fits:
  tine-under-lid: {need: at least 1 mm, chain: [6 mm ± 0.1 mm, -fork.height]}
"""


def test_a_need_that_another_choice_misses_is_told_with_that_choice(tmp_path):
    root = make_family(tmp_path / "waders", {**SMALL, "robots/avocet.yaml": ROBOT + FORKS})
    (found,) = problems(root)
    assert (found["code"], found["line"], found["column"]) == ("need-missed", 12, 3)
    assert found["what"] == (
        "the fit tine-under-lid misses its need with fork long; with what is fitted the gap is 2.00 mm"
    )


NARROW = """\
fits:
  never: {need: at least 1 mm, chain: [1 mm ± 0.1 mm, -0.5 mm]}
  as-drawn: {need: at least 1 mm, chain: [1.4 mm ± 0.2 mm, -0.5 mm]}
"""


def test_a_fit_that_cannot_hold_is_told_from_one_that_misses_as_drawn(tmp_path):
    root = make_family(tmp_path / "waders", {**SMALL, "robots/avocet.yaml": ROBOT + NARROW})
    assert [found["what"] for found in problems(root)] == [
        "the fit never cannot hold: the gap is 0.40 mm at worst, 0.60 mm at best",
        "the fit as-drawn misses its need: the gap is 0.90 mm",
    ]


@pytest.mark.parametrize("code", ["over-limit", "need-missed"])
def test_strict_makes_a_miss_bad_news(tmp_path, code):
    root = make_family(tmp_path / "waders", {**SMALL, **WRONG[code][0]})
    answer = lineage(root, "check", "--strict", "--json")
    assert answer.status == 1
    assert [p["level"] for p in answer.json["problems"] if p["code"] == code] == ["error"]


def test_nothing_is_wrong_with_a_small_family(tmp_path):
    answer = lineage(make_family(tmp_path / "waders"), "check")
    assert answer == (0, "Nothing wrong.\n", "")


def test_damage_at_a_place_that_the_build_has_not_is_a_warning(tmp_path):
    family = GitFamily(tmp_path / "waders")
    fine(family.root, "record", "avocet", "A", "--on", "2026-03-01")
    fine(family.root, "bout", "avocet", "lost", "--broke", "batery: dented", "--on", "2026-03-20")
    (found,) = [problem for problem in problems(family.root) if problem["code"] == "unmatched-damage"]
    assert "did you mean battery?" in found["mend"]


def test_what_cannot_be_recorded_is_told_by_its_code(tmp_path):
    root = make_family(
        tmp_path / "waders", {**SMALL, "robots/avocet.yaml": ROBOT + "modules:\n  drive: drive-pod@now\n"}
    )
    assert "[unrecorded-module]" in lineage(root, "record", "avocet", "A").err
    make_family(root, {"robots/avocet.yaml": ROBOT + "files: [cad/avocet.txt]\n"})
    answer = lineage(root, "record", "avocet", "A")
    assert answer.status == 2
    assert "[file-missing]" in answer.err
    (root / "parts.csv").write_text("part,mass\nlid,heavy\n")
    assert "[parts-list]" in lineage(root, "add", "robot", "knot", "--parts", "parts.csv").err


@pytest.fixture
def recorded(tmp_path):
    family = GitFamily(tmp_path / "waders")
    fine(family.root, "record", "avocet", "A")
    fine(family.root, "measure", "avocet", "mass", "120 g")
    fine(family.root, "measure", "avocet", "mass", "121 g")
    return family


def errors(root):
    return {problem["code"] for problem in problems(root) if problem["level"] == "error"}


def test_a_recorded_build_that_was_changed_is_told(recorded):
    spec = recorded.root / "builds/avocet/A/spec.yaml"
    spec.write_bytes(spec.read_bytes() + b"# later\n")
    assert errors(recorded.root) == {"build-changed"}
    assert lineage(recorded.root, "card", "avocet@A").status == 2
    assert fine(recorded.root, "card", "avocet").status == 0


def test_a_recorded_build_that_is_not_whole_is_told(recorded):
    (recorded.root / "builds/avocet/A/family.yaml").unlink()
    assert "build-incomplete" in errors(recorded.root)


def test_a_recorded_build_under_another_name_is_told(recorded):
    (recorded.root / "builds/avocet/A").rename(recorded.root / "builds/avocet/B")
    assert "build-misplaced" in errors(recorded.root)


def test_a_line_that_was_changed_after_it_was_appended_is_told(recorded):
    log = recorded.root / "results/avocet.yaml"
    log.write_text(log.read_text().replace("120 g", "119 g"))
    found = [problem for problem in problems(recorded.root) if problem["code"] == "line-lost"]
    assert [problem["file"] for problem in found] == ["results/avocet.yaml"]


def test_two_branches_that_recorded_one_label_are_told_with_the_way_out(tmp_path):
    family = GitFamily(tmp_path / "waders")
    family.git("checkout", "--quiet", "-b", "laptop")
    family.write({"robots/avocet.yaml": ROBOT.replace("92 g", "90 g")})
    fine(family.root, "record", "avocet", "A")
    family.git("checkout", "--quiet", "main")
    family.write({"robots/avocet.yaml": ROBOT.replace("92 g", "99 g")})
    fine(family.root, "record", "avocet", "A")
    family.git("merge", "--quiet", "laptop", fine=False)
    found = [problem for problem in problems(family.root) if problem["code"] == "label-twice"]
    assert found
    assert all("avocet@A" in problem["what"] for problem in found)
    assert any("git" in problem["mend"] for problem in found)


def test_what_is_no_file_is_told_and_not_waited_for(tmp_path):
    root = make_family(tmp_path / "waders")
    (root / "lessons").mkdir()
    os.mkfifo(root / "lessons/glue.yaml")
    answer = lineage(root, "check")
    assert answer.status in {1, 2}
    assert "[not-a-file]" in answer.out + answer.err


def test_a_file_longer_than_anything_is_told(tmp_path):
    root = make_family(tmp_path / "waders")
    with (root / "robots/avocet.yaml").open("r+b") as file:
        file.truncate(70 * 1024 * 1024)
    answer = lineage(root, "check")
    assert answer.status in {1, 2}
    assert "[file-too-long]" in answer.out + answer.err


def test_a_link_out_of_the_family_is_not_followed(tmp_path):
    root = make_family(tmp_path / "waders")
    (tmp_path / "secret.yaml").write_text("robot: secret\n")
    (root / "robots/secret.yaml").symlink_to(tmp_path / "secret.yaml")
    answer = lineage(root, "check")
    assert "[outside-family]" in answer.out + answer.err
    assert lineage(root, "card", "secret").status == 2


def test_a_whole_disk_is_no_family(tmp_path, monkeypatch):
    root = make_family(tmp_path / "waders")
    monkeypatch.setattr("lineage.archive.tree.FILES_LIMIT", 0)
    answer = lineage(root, "check")
    assert answer.status in {1, 2}
    assert "[too-many-files]" in answer.out + answer.err


def test_a_design_that_cannot_be_asked_for_is_a_problem_and_no_fault(tmp_path, monkeypatch):
    root = make_family(tmp_path / "waders")

    def loaded(*_):
        raise AskedWrongly("there is no such thing", "another", "ask for it")

    monkeypatch.setattr(Workspace, "loaded", loaded)
    answer = lineage(root, "check")
    assert answer.status == 1
    assert "[unresolved]" in answer.out


def test_a_build_that_was_never_recorded_is_told_by_its_code(tmp_path):
    with pytest.raises(BadInput) as raised:
        read_record(WorkingTree(make_family(tmp_path / "waders")), "avocet", "Z")
    assert [problem.code for problem in raised.value.problems] == ["no-build"]


def test_a_module_is_checked_as_a_robot_is(tmp_path):
    root = make_family(tmp_path / "waders", {**SMALL, "modules/drive-pod.yaml": MODULE + "  x: {mas: 2 g}\n"})
    places = {(found["file"], found["line"], found["column"]) for found in problems(root)}
    assert ("modules/drive-pod.yaml", 5, 7) in places


OPEN_AT_A_CORNER = (
    line(0, 0, 200, 0, handle="A1"),
    line(200, 0.2, 200, 30),
    line(200, 30, 0, 30),
    line(0, 30, 0, 0),
)


@pytest.fixture
def with_open_plate(tmp_path):
    """A family whose lid has a drawing that is open at one corner."""
    root = make_family(
        tmp_path / "waders",
        {**SMALL, "robots/avocet.yaml": ROBOT.replace("area: 100 cm2", "outline: plates/lid.dxf")},
    )
    (root / "plates").mkdir()
    (root / "plates" / "lid.dxf").write_bytes(dxf(*OPEN_AT_A_CORNER))
    return root


def test_the_page_of_check_shows_the_place_in_a_drawing_that_is_refused(with_open_plate, tmp_path):
    page = tmp_path / "check.html"
    assert lineage(with_open_plate, "check", "--html", str(page)).status == 1
    shown = page.read_text(encoding="utf-8")
    assert "(200.00, 0.00) mm (LINE A1 on layer CUT) to (200.00, 0.20) mm" in shown
    rings = re.findall(r'<circle class="line" cx="([-\d.]+)" cy="([-\d.]+)"', shown)
    assert set(rings) == {("200", "0"), ("200", "-0.2")}
    assert shown.count("<svg viewBox") == 2  # the whole plate, and the corner enlarged


@pytest.mark.parametrize("words", [("card", "avocet"), ("compare", "avocet", "avocet")])
def test_a_page_that_a_drawing_keeps_from_being_made_shows_where(with_open_plate, tmp_path, words):
    page = tmp_path / "page.html"
    assert lineage(with_open_plate, *words, "--html", str(page)).status == 2
    assert "This page cannot be made" in page.read_text(encoding="utf-8")
    assert page.read_text(encoding="utf-8").count('cx="200" cy="-0.2"') == 2


def test_the_page_of_check_is_short_where_nothing_is_wrong(tmp_path):
    root = make_family(tmp_path / "waders", SMALL)
    answer = fine(root, "check", "--html", "-")
    assert "Nothing wrong" in answer.out
    assert "<svg viewBox" not in answer.out


def test_one_drawing_that_is_refused_leaves_the_rest_of_the_family_its_answers(with_open_plate):
    (with_open_plate / "robots" / "wren.yaml").write_text(
        "robot: wren\nclass: 3lb\nparts: {lid: {mass: 20 g}}\n"
    )
    for words in (
        ("card", "wren"),
        ("family",),
        ("history", "wren"),
        ("compare", "wren", "wren", "--with", "lid.mass=9 g"),
    ):
        fine(with_open_plate, *words)
    assert "avocet" in fine(with_open_plate, "family").out
