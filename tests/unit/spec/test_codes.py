"""Every code of a problem is explained, and each can be provoked."""

import re

import pytest

from lineage.spec.assembly import Spec
from lineage.spec.bout_file import counted_bouts, read_bouts
from lineage.spec.build_file import read_build
from lineage.spec.codes import PROBLEM_CODES
from lineage.spec.design_file import read_design
from lineage.spec.event_file import read_event
from lineage.spec.family_file import read_family
from lineage.spec.lesson_file import read_lesson
from lineage.spec.links import check_family, check_links
from lineage.spec.log import corrected
from lineage.spec.records import BuildRef
from lineage.spec.result_file import read_results

FAMILY = b"family: W\nclasses: {}\n"
R = "robot: a\n"


def robot(text):
    return read_design(
        (R + text).encode() if isinstance(text, str) else text, "a.yaml", "robot", "a"
    ).problems


def links(text, **modules):
    family = read_family(FAMILY).record
    specs = {}
    for name, other in {"a": R + text, **modules}.items():
        kind = "robot" if other.startswith("robot") else "module"
        record = read_design(other.encode(), f"{name}.yaml", kind, name).record
        specs[BuildRef(name, "A")] = Spec(ref=BuildRef(name, "A"), design=record, family=family)
    return check_links(specs[BuildRef("a", "A")], specs.get, {"steel"})


def results(line):
    log = read_results(line.encode(), "f", "a")
    return (*log.problems, *corrected(log.entries).problems)


def bouts(line):
    return counted_bouts(read_bouts(line.encode(), "f", "2025-03-09-meet").entries).problems


PROVOKED = {
    "too-large": lambda: robot(b"#" * 2_000_001),
    "too-deep": lambda: robot("notes: " + "[" * 51 + "]" * 51),
    "too-many-values": lambda: robot("notes: [" + "a," * 100_001 + "]"),
    "encoding": lambda: robot(b"\xff"),
    "control-character": lambda: robot("title: \x01"),
    "conflict-marker": lambda: robot("<<<<<<< a\n"),
    "tab": lambda: robot("parts:\n\ta: 1\n"),
    "directive": lambda: robot(b"%YAML 1.2\n---\nrobot: a\n"),
    "second-document": lambda: robot("---\nb: 1\n"),
    "empty-file": lambda: robot(b""),
    "unclosed": lambda: robot("title: [\n"),
    "colon": lambda: robot("title: a: b\n"),
    "comma": lambda: robot("drive: {ratio: 1,5 mm}\n"),
    "comment": lambda: robot("title: ASME #4-40\n"),
    "needs-quotes": lambda: robot("title: @a\n"),
    "escape": lambda: robot('title: "\\q"\n'),
    "dash": lambda: robot("next: [- a]\n"),
    "indent": lambda: robot(b"- a\nb: c\n"),
    "syntax": lambda: robot("b\nc: d\n"),
    "duplicate-key": lambda: robot("title: a\ntitle: b\n"),
    "tag": lambda: robot("title: !a b\n"),
    "anchor": lambda: robot("title: &a b\n"),
    "alias": lambda: robot("title: *a\n"),
    "merge-key": lambda: robot("<<: {title: a}\n"),
    "key-shape": lambda: robot("? [a]\n: b\n"),
    "empty": lambda: robot("title:\n"),
    "not-finite": lambda: robot("drive: {ratio: .inf}\n"),
    "unknown-key": lambda: robot("colour: red\n"),
    "missing-key": lambda: robot("fits: {a: {need: at least 1 mm}}\n"),
    "wrong-shape": lambda: robot("parts: none\n"),
    "number": lambda: robot("drive: {ratio: fast}\n"),
    "leading-zero": lambda: robot("drive: {motors: 02}\n"),
    "word": lambda: robot("state: broken\n"),
    "quantity": lambda: robot("parts: {a: {mass: 92}}\n"),
    "date": lambda: read_event(b"event: a\non: today\n", "f", "2025-03-09-meet").problems,
    "path": lambda: robot("files: ../a\n"),
    "name": lambda: robot("parts: {A: {mass: 92 g}}\n"),
    "reserved-name": lambda: robot(b"robot: con\n"),
    "label": lambda: robot("from: a@-\n"),
    "ref": lambda: robot("access: {A: []}\n"),
    "build-ref": lambda: robot("from: b\n"),
    "event-name": lambda: read_event(b"event: a\n", "f", "meet").problems,
    "file-name": lambda: robot(b"robot: b\n"),
    "turn": lambda: robot("modules: {b: {use: c@A, turned: up}}\n"),
    "text": lambda: robot("title: ''\n"),
    "content-id": lambda: read_build(b"id: 1\n", "f").problems,
    "one-of": lambda: robot("parts: {a: {role: other}}\n"),
    "only-robots": lambda: read_design(b"module: a\nclass: b\n", "f", "module", "a").problems,
    "expectation": lambda: read_build(b"notes: [{about: a, expect: {b: c}}]\n", "f").problems,
    "format": lambda: read_build(b"format: 9\n", "f").problems,
    "days": lambda: read_event(b"event: a\non: []\n", "f", "2025-03-09-meet").problems,
    "tries": lambda: results("- {on: 2025-03-01, kind: trial, of: a, passed: 2, tries: 1}"),
    "entry": lambda: results("stray"),
    "entry-id": lambda: results("- {withdrawn: yes, instead_of: last}"),
    "correction-of-nothing": lambda: results("- {withdrawn: yes, instead_of: 0123456789}"),
    "differing-doubles": lambda: bouts("- {robot: a, bout: 1}\n- {robot: a, bout: 1, note: b}"),
    "double-name": lambda: links("parts: {b: {mass: 1 g}}\nmodules: {b: c@A}\n", c="module: c\n"),
    "unknown-ref": lambda: links("parts: {b: {mass: 1 g, behind: c}}\n"),
    "unknown-stock": lambda: links("parts: {b: {stock: c, length: 1 mm}}\n"),
    "unknown-material": lambda: links("stock: {b: {material: steal, thickness: 1 mm}}\n"),
    "unknown-like": lambda: check_family(read_family(FAMILY + b"materials: {a: {like: b}}\n").record, ()),
    "unknown-class": lambda: links("class: b\n"),
    "unknown-build": lambda: links("modules: {b: c@A}\n"),
    "module-ring": lambda: links("modules: {b: c@A}\n", c="module: c\nmodules: {d: c@A}\n"),
    "not-a-module": lambda: links("modules: {b: c@A}\n", c="robot: c\n"),
    "not-fitted": lambda: links("options: {b: {c: {}}}\n"),
    "unknown-option": lambda: links("fitted: {b: c}\n"),
    "unknown-choice": lambda: links("options: {b: {c: {}}}\nfitted: {b: d}\n"),
    "unknown-dim": lambda: links("parts: {b: {mass: 1 g}}\nfits: {c: {need: at least 1 mm, chain: [b.width]}}\n"),
    "wrong-unit": lambda: links("fits: {c: {need: at least 1 mm, chain: [1 deg]}}\n"),
    "behind-itself": lambda: links("parts: {b: {mass: 1 g, behind: b}}\n"),
    "holds-nothing": lambda: links("bays: {b: {inside: 1 x 1 x 1 mm, holds: []}}\n"),
    "stock-lacks": lambda: links(
        "stock: {c: {material: steel}}\nparts: {b: {stock: c, length: 1 mm}}\n"
    ),
}  # fmt: skip


@pytest.mark.parametrize("code", PROBLEM_CODES)
def test_every_code_can_be_provoked(code):
    assert code in [problem.code for problem in PROVOKED[code]()]


def test_no_code_is_provoked_that_is_not_explained():
    assert set(PROVOKED) == set(PROBLEM_CODES)


@pytest.mark.parametrize("code", PROBLEM_CODES)
def test_a_problem_says_what_was_found_what_is_wanted_and_how_to_mend_it(code):
    for problem in PROVOKED[code]():
        assert problem.code in PROBLEM_CODES
        assert problem.what
        assert problem.wanted
        assert problem.mend
        assert not re.search(r"\n|None|<class|lambda", problem.what + problem.wanted + problem.mend)


@pytest.mark.parametrize("code", PROBLEM_CODES)
def test_a_code_is_explained_in_one_line(code):
    assert re.fullmatch(r"[a-z][a-z0-9-]*", code)
    assert PROBLEM_CODES[code].endswith(".")
    assert "\n" not in PROBLEM_CODES[code]


def test_lessons_have_no_codes_of_their_own():
    problems = read_lesson(b"lesson: a\nfrom: [{}]\ncolour: b\n", "f", "a").problems
    assert {problem.code for problem in problems} <= set(PROBLEM_CODES)
    assert problems
