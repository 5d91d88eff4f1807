"""What a builder sees at a terminal of eighty columns: nothing breaks its columns, a bar while one waits, no colours."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lineage.reports.text.layout import shown_width
from tests.program import fine, lineage
from tests.wide_names import EVENT, LONG, OTHER, wide_family

ASKED = {
    "card": ("card", f"{OTHER}@B"),
    "card of a module": ("card", LONG),
    "compare": ("compare", f"{OTHER}@A", f"{OTHER}@B"),
    "compare siblings": ("compare", OTHER, LONG),
    "history": ("history", OTHER),
    "family": ("family",),
    "lessons": ("lessons", EVENT),
    "todo": ("todo", OTHER),
    "spares": ("spares", OTHER, "--bouts", "6"),
}


@pytest.fixture(scope="module")
def wide(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return wide_family(tmp_path_factory.mktemp("wide"))


@pytest.mark.parametrize("what", ASKED)
def test_wide_and_long_names_stay_within_eighty_columns(what: str, wide: Path) -> None:
    answer = lineage(wide, *ASKED[what])
    assert answer.status in {0, 1}, answer.err
    lines = answer.out.splitlines()
    assert len(lines) > 5
    assert [line for line in lines if shown_width(line) > 80] == []


def at_a_terminal(at: Path, *words: str, **env: str) -> tuple[str, str]:
    """What a command puts out when only its error output is a terminal, and when both are: (out, terminal)."""
    import pty

    here, there = pty.openpty()
    command = [sys.executable, "-m", "lineage", *words]
    changed = {**os.environ, "TERM": "xterm-256color", **env}
    ran = subprocess.Popen(command, cwd=at, env=changed, stdin=there, stdout=subprocess.PIPE, stderr=there)
    os.close(there)
    shown = b""
    while True:
        try:
            read = os.read(here, 4096)
        except OSError:  # the program has gone
            break
        if not read:
            break
        shown += read
    out, _ = ran.communicate(timeout=60)
    os.close(here)
    assert ran.returncode == 0, shown.decode()
    return out.decode(), shown.decode()


def test_a_bar_shows_how_far_the_pages_are_where_somebody_sits_at_a_terminal(
    wide: Path, tmp_path: Path
) -> None:
    out, shown = at_a_terminal(wide, "site", str(tmp_path / "seen"))
    assert "pages" in shown
    assert "100%" in shown
    assert shown.count("\r") > 3
    piped = fine(wide, "site", str(tmp_path / "piped"))
    assert piped.err == ""
    assert out == piped.out.replace("piped", "seen")


@pytest.mark.parametrize("env", [{}, {"NO_COLOR": "1"}])
def test_no_colour_is_put_out_at_a_terminal(wide: Path, env: dict[str, str]) -> None:
    out, shown = at_a_terminal(wide, "card", OTHER, **env)
    assert out == fine(wide, "card", OTHER).out
    assert "\x1b[" not in out + shown


def asked_of_the_sample(demo: Path) -> list[tuple[str, ...]]:
    """Every command that shows something, for every design, build and event of the sample family."""
    robots = sorted(path.stem for path in (demo / "robots").glob("*.yaml"))
    modules = sorted(path.stem for path in (demo / "modules").glob("*.yaml"))
    events = sorted(path.stem for path in (demo / "events").glob("*.yaml"))
    asked: list[tuple[str, ...]] = [("family",), ("compare", *robots), ("check",)]
    asked += [(command, design) for design in (*robots, *modules) for command in ("card", "history")]
    for robot in robots:
        asked += [("todo", robot), ("spares", robot, "--bouts", "8")]
    asked += [("lessons", event) for event in events]
    for place in sorted((demo / "builds").glob("*/*/build.yaml")):
        asked.append(("card", f"{place.parents[1].name}@{place.parent.name}"))
    return asked


def test_all_that_is_said_of_the_sample_family_fits_eighty_columns(demo: Path) -> None:
    asked = asked_of_the_sample(demo)
    assert len(asked) > 50
    for words in asked:
        answer = lineage(demo, *words)
        assert answer.status in {0, 1}, answer.err
        too_long = [line for line in answer.out.splitlines() if shown_width(line) > 80]
        problems = [
            line for line in too_long if line.startswith(("bouts/", "robots/", "modules/", "events/"))
        ]
        assert too_long == problems, words  # a problem is one line behind its place, however long
