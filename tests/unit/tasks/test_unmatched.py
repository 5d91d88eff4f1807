"""Names in log entries that the build does not have are kept as typed, said at once and found by `check`."""

import pytest

from lineage.cli.main import run
from lineage.tasks.check import check
from lineage.tasks.workspace import open_family
from tests.builders import GitFamily

FILES = {
    "family.yaml": "family: grebes\nclasses: {small: {limit: 500 g}}\nscales: {bench: {resolution: 0.1 g}}\n",
    "modules/pod.yaml": "module: pod\nparts: {motor: {mass: 30 g}}\n",
    "robots/dabchick.yaml": """\
robot: dabchick
parts: {lid: {mass: 20 g, size: 30 x 20 x 3 mm}}
options: {front: {fork: {parts: {tine: {mass: 9 g}}}, scoop: {parts: {blade: {mass: 8 g}}}}}
fitted: {front: fork}
fits: {lid-over-wire: {need: at least 1 mm, chain: [9 mm, -lid.height]}}
""",
}
EVENT = "2026-03-08-meeting"


@pytest.fixture
def family(tmp_path) -> GitFamily:
    made = GitFamily(tmp_path / "family", {**FILES, f"events/{EVENT}.yaml": "event: Meeting\n"})
    for design in ("pod", "dabchick"):
        assert run(["-C", str(made.root), "record", design, "A", "--on", "2026-03-07"]) == 0
    return made


@pytest.mark.parametrize(
    ("words", "what", "mend"),
    [
        (
            "gap 2 mm --of lid-over-wires",
            "dabchick has no fit 'lid-over-wires'",
            "did you mean lid-over-wire?",
        ),
        ("mass 20.1 g --of lit", "dabchick has nothing called 'lit'", "did you mean lid?"),
        ("mass 29 g --except tyres", "dabchick has nothing called 'tyres'", ""),
        ("service 9 s --of lit", "dabchick has nothing called 'lit'", "did you mean lid?"),
        ("mass 29 g --scale bunch", "family.yaml has no scale 'bunch'", "did you mean bench?"),
        (
            "mass 29 g --choice front=plough",
            "dabchick@A has no choice 'plough' of front",
            "one of: fork, scoop",
        ),
    ],
)
def test_a_result_with_an_unknown_name_is_kept_and_said(family, capsys, words, what, mend):
    root = str(family.root)
    assert run(["-C", root, "measure", "dabchick", *words.split(), "--on", "2026-03-09"]) == 0
    said = capsys.readouterr()
    assert "kept in results/dabchick.yaml" in said.out
    assert f"unmatched: {what}{f'; {mend}' if mend else ''}\n" in said.err
    (problem,) = check(open_family(root))
    assert (problem.code, problem.level, problem.what) == ("unmatched-name", "warning", what)
    assert mend in f"{problem.wanted} {problem.mend}"


def test_names_that_there_are_are_not_remarked_on(family, capsys):
    root = str(family.root)
    for words in (
        "gap 6 mm --of lid-over-wire",
        "mass 9 g --of front",
        "bench 3 N --of anything",
        "mass 29 g",
    ):
        assert run(["-C", root, "measure", "dabchick", *words.split(), "--on", "2026-03-09"]) == 0
    assert "unmatched" not in capsys.readouterr().err
    assert check(open_family(root)) == ()


def test_a_bout_with_a_choice_that_there_is_not_is_kept_and_said(family, capsys):
    root = str(family.root)
    words = [
        "bout",
        "dabchick",
        "lost",
        "--event",
        EVENT,
        "--choice",
        "front=plough",
        "--broke",
        "front: bent",
    ]
    assert run(["-C", root, *words]) == 0
    assert (
        "unmatched: dabchick@A has no choice 'plough' of front; one of: fork, scoop"
        in capsys.readouterr().err
    )
    assert [problem.code for problem in check(open_family(root))] == ["unmatched-name"]


def test_a_module_fights_no_bouts(family, capsys):
    root = str(family.root)
    assert run(["-C", root, "bout", "pod", "won", "--event", EVENT]) == 0
    (problem,) = check(open_family(root))
    assert (problem.code, problem.mend) == ("unknown-robot", "correct it with --instead-of")
