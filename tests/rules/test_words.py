"""The project speaks of itself alone: of no machine, no page that is not there, nobody's numbers of reports."""

import re
import subprocess

import pytest

from tests.source_trees import TOP, committed, modules

TEXTS = [path for path in committed() if path.suffix in {".py", ".md", ".toml", ".yaml", ".j2", ".css", ""}]
PAGES = {path.name for path in committed() if path.suffix == ".md"}
MACHINE = re.compile(r"(?<![\w.~$}*-])/(?:home|Users|root|work|opt|mnt|srv)/\w+")
NUMBERED = re.compile(r"\b(?:issue|ticket|bug|pull request)s?\s*#?\s*\d+", re.IGNORECASE)
PAGE = re.compile(r"\b([\w-]+\.md)\b")


def foreign(text):
    """What a text says that is not of the project."""
    return [*MACHINE.findall(text), *NUMBERED.findall(text), *sorted(set(PAGE.findall(text)) - PAGES)]


def test_every_file_speaks_of_the_project_alone():
    assert len(TEXTS) > 100
    faults = {path: foreign(path.read_text(encoding="utf-8")) for path in TEXTS}
    assert {str(path.relative_to(TOP)): found for path, found in faults.items() if found} == {}


def test_so_does_every_commit():
    log = subprocess.run(["git", "-C", str(TOP), "log", "--format=%B"], capture_output=True, check=False)
    assert foreign(log.stdout.decode()) == []


@pytest.mark.parametrize("text", ["see " + "notes" + ".md", "as in issue" + " 12", "in /home" + "/robin/x"])
def test_what_is_not_of_the_project_would_be_found(text):
    assert foreign(text)


# a count before a word in the plural, as `{n} bouts` and `"" if n == 1 else "s"` would write it
FIXED_PLURAL = re.compile(
    r"\{[^{}]+\} (?:more |clean )*(?:bouts|builds|changes|commits|designs|entities|events|failures|files|gaps|holes|knots|"
    r"lessons|pages|parts|pieces|points|problems|robots|screws|services|steps|things|tries|weighings|weights)\b"
    r"|['\"]s['\"] if\b|else ['\"]s['\"]"
)


def fixed_plurals(text):
    """Where a text of the program would say `1 bouts`, or works a plural out by itself."""
    docstrings = re.compile(r'"""(?:.|\n)*?"""')
    return FIXED_PLURAL.findall(docstrings.sub("", text))


def test_a_count_and_its_word_agree_by_the_one_helper_for_it():
    faults = {path: fixed_plurals(path.read_text(encoding="utf-8")) for path in modules()}
    left = {str(path.relative_to(TOP)): found for path, found in faults.items() if found}
    assert left == {"lineage/archive/tree.py": ["{FILES_LIMIT} files"]}  # a limit, and not of one


@pytest.mark.parametrize(
    "text", ['f"in {n} bouts"', 'f"{len(found)} more problems"', "{'s' if n != 1 else ''}"]
)
def test_a_plural_that_is_fixed_would_be_found(text):
    assert fixed_plurals(text)
