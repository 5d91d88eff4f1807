"""The program as such: help, exit statuses, what goes where, and what it loads."""

import json
import os
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest

from lineage.cli.main import COMMANDS
from lineage.cli.main import lineage as table
from tests.builders import GitFamily
from tests.program import call, fine, installed, lineage

SCRIPT = Path(sys.executable).with_name("lineage")


def command_of(name):
    """The command that is called by these words."""
    first, *rest = name.split()
    command = table.get_command(click.Context(table), first)
    for word in rest:
        command = command.commands[word]
    return command


def with_those_inside(name):
    """A command, and those that a group holds."""
    command = command_of(name)
    inside = command.commands if isinstance(command, click.Group) else {}
    return [name, *(f"{name} {word}" for word in inside)]


def examples(name):
    """The command lines of a command's epilog."""
    text = " ".join((command_of(name).epilog or "").split("\n"))
    return [f"lineage {part}".split("    ")[0].strip() for part in text.split("lineage ")[1:]]


def parsed(line):
    """The name of the command that a line calls, its options and arguments read and nothing done."""
    program, *words = shlex.split(line.partition(" > ")[0])
    assert program == "lineage"
    if words[0] == "-C":
        words = words[2:]
    name = words.pop(0)
    if isinstance(command_of(name), click.Group):
        name = f"{name} {words.pop(0)}"
    command_of(name).make_context(name, words)
    return name


@pytest.fixture
def small(tmp_path) -> GitFamily:
    return GitFamily(tmp_path / "waders")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_examples_that_it_can_read(command):
    for name in with_those_inside(command):
        called = [parsed(line) for line in examples(name)]
        assert called, name
        assert all(other.startswith(name) for other in called), name


def test_an_example_with_an_option_that_is_not_there_would_be_found():
    with pytest.raises(click.UsageError):
        parsed("lineage card avocet --jsn")


@pytest.mark.parametrize(
    "name", ["card", "compare", "lessons", "todo", "check", "history", "family", "spares", "schema"]
)
def test_examples_that_only_read_work_on_the_sample_family(demo, tmp_path, name):
    for line in examples(name):
        words = shlex.split(line.partition(" > ")[0])[1:]
        if words[-2] in {"--html", "--csv"}:
            words[-1] = str(tmp_path / words[-1])
        answer = lineage(demo, *words)
        assert answer.status in ({0, 1} if "--strict" in words else {0}), line + answer.err


@pytest.mark.parametrize("command", COMMANDS)
def test_help_fits_a_terminal_and_shows_its_example(command):
    for name in with_those_inside(command):
        answer = fine(Path.cwd(), *name.split(), "--help")
        assert answer.err == ""
        assert "Example" in answer.out
        assert all(len(line) <= 80 for line in answer.out.splitlines()), name


def test_help_of_the_whole_lists_every_command_in_its_order():
    listed = installed(Path.cwd(), "--help").out.partition("Commands:\n")[2]
    assert [line.split()[0] for line in listed.splitlines() if line[:2] == "  " and line[2:3].isalpha()][
        : len(COMMANDS)
    ] == list(COMMANDS)


def loaded(words, at, env=None):
    """Names of the libraries that a call loads, beyond those that Python loads by itself."""
    program = (
        "import sys; before = set(sys.modules); import contextlib, io, json\n"
        "from lineage.cli.main import run\n"
        "with contextlib.redirect_stdout(io.StringIO()): status = run(sys.argv[1:])\n"
        "new = {name.partition('.')[0] for name in set(sys.modules) - before}\n"
        "print(json.dumps([status, sorted(new - set(sys.stdlib_module_names))]))"
    )
    answer = call([sys.executable, "-c", program, *words], at, env)
    status, names = json.loads(answer.out)
    assert status == 0, answer.err
    return set(names)


def test_help_loads_click_alone(tmp_path):
    assert loaded(["--help"], tmp_path) == {"lineage", "click"}


def test_a_card_whose_drawings_were_read_before_loads_nothing_heavy(demo, tmp_path):
    env = {"ROBOT_LINEAGE_CACHE": str(tmp_path / "cache")}
    heavy = {"git", "gitdb", "jinja2", "deepdiff", "ezdxf", "shapely", "numpy", "scipy"}
    fine(demo, "card", "avocet@E", env=env)
    assert loaded(["card", "avocet@E"], demo, env) & heavy == set()


def test_a_card_is_the_same_with_and_without_what_was_read_before(demo, tmp_path):
    env = {"ROBOT_LINEAGE_CACHE": str(tmp_path / "cache")}
    asked = ("card", "dunlin@C", "--json")
    first = fine(demo, *asked, env=env).out
    assert fine(demo, *asked, env=env).out == first
    assert fine(demo, *asked, env={"ROBOT_LINEAGE_CACHE": "off"}).out == first


def test_the_script_and_the_module_are_one_program(demo):
    assert SCRIPT.exists(), f"the program is not installed beside {sys.executable}"
    asked = ("card", "dunlin@C")
    assert call([str(SCRIPT), *asked], demo) == installed(demo, *asked)
    assert call([str(SCRIPT), "--version"], demo).out.startswith("lineage, version ")


def test_journeys_run_the_program_that_is_tested():
    import lineage as tested

    answer = call([sys.executable, "-c", "import lineage; print(lineage.__file__)"], Path(os.sep))
    assert answer.out.strip() == tested.__file__


def test_0_is_done_and_1_is_bad_news(small):
    small.write({"robots/avocet.yaml": "robot: avocet\nclass: 3lb\nparts:\n  lead: {mass: 2 kg}\n"})
    plain, strict = lineage(small.root, "check"), lineage(small.root, "check", "--strict")
    assert (plain.status, strict.status) == (0, 1)
    assert "over the limit" in strict.out
    small.write({"robots/avocet.yaml": "robot: avocet\nparts:\n  lead: {mass: 2}\n"})
    assert lineage(small.root, "check").status == 1


@pytest.mark.parametrize(
    "words",
    [
        ("crad", "avocet"),
        ("card",),
        ("card", "avocet", "--jsn"),
        ("card", "avocett"),
        ("card", "avocet@Z"),
        ("card", "avocet", "--choice", "front"),
        ("card", "avocet", "--choice", "front=forks"),
        ("compare", "avocet@A"),
        ("todo", "avocet", "--for", "nowhere"),
        ("card", "avocet", "--html", "no/such/folder/page.html"),
        ("record", "avocet", "now"),
        ("-C", "nowhere", "check"),
    ],
    ids=" ".join,
)
def test_2_is_asked_wrongly_and_says_how_to_ask(small, words):
    answer = lineage(small.root, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert answer.err
    assert "Traceback" not in answer.err


def test_3_is_a_fault_of_ours_with_a_report_that_names_no_folder_of_the_builder(small):
    program = (
        "import sys, lineage.tasks.card as task; from lineage.cli.main import run\n"
        "def fails(*_): raise ZeroDivisionError('as provoked')\n"
        "task.card = fails; sys.exit(run(['card', 'avocet']))"
    )
    answer = call([sys.executable, "-c", program], small.root)
    assert answer.status == 3
    assert answer.out == ""
    assert "fault of lineage" in answer.err
    assert "lineage card avocet" in answer.err
    assert "ZeroDivisionError: as provoked" in answer.err
    assert str(small.root) not in answer.err


def test_130_is_interrupted(small):
    """Ctrl-C while a list of entries is being typed in."""
    program = (
        "import io, signal, sys, time\n"
        # whoever runs the tests in the background of a shell hands down that interrupts are ignored
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "class Typing(io.BytesIO):\n"
        "    def read(self, *_): print('reading', file=sys.stderr, flush=True); time.sleep(30)\n"
        "class Stdin: buffer = Typing()\n"
        "sys.stdin = Stdin()\n"
        "from lineage.cli.main import run\n"
        "sys.exit(run(['measure', 'avocet', '--from', '-']))"
    )
    running = subprocess.Popen(
        [sys.executable, "-c", program], cwd=small.root, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert running.stderr.readline() == b"reading\n"
    time.sleep(0.05)
    running.send_signal(signal.SIGINT)
    out, err = running.communicate(timeout=20)
    assert running.returncode == 130
    assert (out, err.strip()) == (b"", b"")
    assert not (small.root / "results").exists()


def test_a_reader_that_goes_away_is_no_fault(demo):
    line = f"{shlex.quote(sys.executable)} -m lineage card dunlin@C | head -n 1"
    done = subprocess.run(["bash", "-c", line], cwd=demo, capture_output=True, check=False)
    assert done.stdout.count(b"\n") == 1
    assert done.stderr == b""


def test_answers_go_to_stdout_and_all_else_to_stderr(demo, tmp_path):
    card = fine(demo, "card", "dunlin@A")
    assert (card.err, card.out[:8]) == ("", "dunlin@A")
    page = fine(demo, "card", "dunlin@A", "--html", str(tmp_path / "page.html"))
    assert page.out == ""
    assert "page written" in page.err
    assert fine(demo, "card", "dunlin@A", "--html", "-").out.lower().startswith("<!doctype html>")


def test_no_setting_of_the_machine_changes_an_answer(demo):
    """Neither its language nor its place, its terminal or the chance in its hashes; and no colour comes in."""
    asked = ("card", "dunlin@C")
    plain = fine(demo, *asked).out
    env = {
        "LC_ALL": "C",
        "TZ": "Pacific/Kiritimati",
        "PYTHONHASHSEED": "7",
        "COLUMNS": "200",
        "TERM": "xterm",
    }
    assert fine(demo, *asked, env=env).out == plain
    assert fine(demo, *asked, env={"NO_COLOR": "1"}).out == plain
    assert "\x1b" not in plain


def test_a_folder_inside_the_family_will_do(demo):
    plain = fine(demo, "card", "dunlin@C").out
    assert fine(demo / "robots", "card", "dunlin@C").out == plain
    assert fine(demo.parent, "-C", str(demo), "card", "dunlin@C").out == plain
