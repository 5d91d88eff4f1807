"""README.md and DEVELOPERS.md say what is."""

import re

import pytest

from lineage.cli.main import COMMANDS
from tests.source_trees import TOP, committed

README = (TOP / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")


def line_after(mark):
    """The lines of the code block right after a marker comment."""
    (found,) = re.findall(rf"^<!-- {mark} -->\n```sh\n(.*?)\n```$", README, re.DOTALL | re.MULTILINE)
    return found.split("\n")


def test_one_line_sets_up_and_runs_the_main_job():
    (line,) = line_after("set up and run")
    steps = line.split(" && ")
    assert steps[0] == "python3 -m venv .venv"
    assert "pip install -q ." in steps
    assert steps[-1] == "lineage demo waders"


def test_one_line_passes_the_tests_also_where_there_is_no_environment():
    (line,) = line_after("the tests")
    assert line.startswith("[ -d .venv ] || python3 -m venv .venv && ")
    assert "pip install -q -e '.[test]'" in line
    assert line.endswith(" && .venv/bin/pytest")


def test_the_job_stands_at_the_very_top_before_anything_else():
    title, _, rest = README.partition("\n\n")
    assert title == "# lineage"
    first = rest.partition("\n\n")[0]
    for word in ("weight", "fits", "build", "changed", "siblings", "lessons"):
        assert word in first
    assert (
        README.index("<!-- set up and run -->")
        < README.index("<!-- the tests -->")
        < README.index("## A tour")
    )


def test_the_list_of_commands_is_what_help_says():
    rows = re.findall(r"^\| `lineage (\w+)` \| (.+?) \|$", README, re.MULTILINE)
    assert rows == list(COMMANDS.items())


def test_the_table_of_rooms_has_every_room():
    rooms = {path.name for path in (TOP / "lineage").iterdir() if (path / "__init__.py").exists()}
    table = DEVELOPERS.partition("## The rooms")[2].partition("##")[0]
    assert rooms | {"problems"} <= set(re.findall(r"`(\w+)`", table))


def test_the_table_of_tests_has_every_folder():
    folders = {  # tests/data holds what others read
        path.name for path in (TOP / "tests").iterdir() if path.name != "data" and any(path.rglob("*.py"))
    }
    assert folders == set(re.findall(r"^\| `tests/(\w+)`", DEVELOPERS, re.MULTILINE))


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(page):
    text = (TOP / page).read_text(encoding="utf-8")
    links = re.findall(r"\]\(([^)#]+)\)", text)
    assert links
    for link in links:
        assert (TOP / link).exists(), link


PATHS = re.findall(r"`((?:tests|templates|sample-family|lineage|\.ci)/[\w./-]+|\w+/\w+\.py)`", DEVELOPERS)


@pytest.mark.parametrize("path", sorted(path for path in set(PATHS) if "NAME" not in path))
def test_the_files_that_developers_are_sent_to_are_there(path):
    assert (
        (TOP / path).exists()
        or (TOP / "lineage" / path).exists()
        or (TOP / "lineage/reports" / path).exists()
    )


CAUTIONS = [
    "power link out *and* weapon restraint on",
    "wait for everything to stop",
    "comes off last, in the arena or test box",
    "closed test box or arena made for that energy",
    "not for choosing a test box",
    "failsafe",
    "springs, pressure, capacitors",
    "pinch fingers",
    "medical implants",
    "charge attended",
    "swollen",
    "soldering near a connected pack",
    "transport rules",
    "PVC",
    "corrosive and poisonous",
    "hardly visible flame",
    "formaldehyde",
    "extinguisher",
    "Polycarbonate does not belong in a laser",
    "Carbon and glass fibre",
    "hands away from the blade",
    "eye protection",
    "Threadlock attacks polycarbonate and ABS",
    "minors",
    "The event's own rules, its inspectors, licensed practice and local codes stand over",
    "no inspection",
    "never listed as screws that could go",
]


@pytest.mark.parametrize("caution", CAUTIONS)
def test_no_caution_is_missing(caution):
    section = " ".join(README.partition("## Cautions")[2].partition("## Licence")[0].split())
    assert caution in section


def test_the_top_level_holds_what_it_may():
    wanted = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "lineage",
        "tests",
        "templates",
        "sample-family",
    }
    found = {path.relative_to(TOP).parts[0] for path in committed()}
    assert {name for name in found if not name.startswith(".")} == wanted


def test_pictures_are_small():
    for path in committed():
        if path.suffix in {".png", ".svg", ".jpg"}:
            assert path.stat().st_size < 100_000, path
