"""The project speaks of itself alone: of no machine, no page that is not there, nobody's numbers of reports."""

import re
import subprocess

import pytest

from tests.source_trees import TOP, committed

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
