"""Work shared out between two processes: everything is done once, whatever becomes of the other one."""

import os
import subprocess
import sys

import pytest

from lineage.archive import two_hands
from lineage.archive.two_hands import by_two


def squares(block):
    return [b"%d" % (number * number) for number in block]


BLOCKS = [range(at, at + 3) for at in range(0, 60, 3)]
EXPECTED = sorted(b"%d" % (number * number) for number in range(60))


def run(program: str) -> subprocess.CompletedProcess[str]:
    """In a process of its own, which has no threads."""
    head = "import os, sys, time\nfrom lineage.archive.two_hands import by_two, _may_fork\nme = os.getpid()\n"
    return subprocess.run(
        [sys.executable, "-c", head + program], capture_output=True, text=True, timeout=60, check=False
    )


two = pytest.mark.skipif(
    not hasattr(os, "sched_getaffinity") or len(os.sched_getaffinity(0)) < 2,
    reason="one processor is here, or no way to ask how many",
)


@pytest.mark.parametrize("may", [True, False])
def test_all_is_done_once(monkeypatch, may):
    if not may:
        monkeypatch.setattr(two_hands, "_may_fork", lambda: False)
    assert sorted(by_two(BLOCKS, squares)) == EXPECTED
    assert list(by_two([], squares)) == []


@two
def test_both_have_a_hand_in_it_and_long_results_come_whole():
    done = run(
        "def work(block):\n"
        "    time.sleep(0.05)\n"
        "    yield (b'mine' if os.getpid() == me else b'other') * 100_000\n"
        "assert _may_fork()\n"
        "got = list(by_two(list(range(12)), work))\n"
        "print(len(got), {len(result) for result in got} <= {400_000, 500_000}, len({result[:4] for result in got}))\n"
    )
    assert (done.stdout, done.stderr) == ("12 True 2\n", "")


@two
def test_drawings_that_were_read_before_leave_it_possible_to_share_out_the_work():
    done = run(
        "from lineage.archive.two_hands import with_one_thread\n"
        "before = dict(os.environ)\n"
        "with with_one_thread():\n"
        "    import ezdxf, shapely\n"
        "print(_may_fork(), dict(os.environ) == before)\n"
    )
    assert (done.stdout, done.stderr) == ("True True\n", "")


@two
@pytest.mark.parametrize("end", ["os._exit(3)", "os.kill(os.getpid(), 9)", "raise ValueError('no')"])
def test_what_the_other_one_leaves_undone_is_done_here(end):
    done = run(
        "def work(block):\n"
        f"    if os.getpid() != me: {end}\n"
        "    time.sleep(0.02)\n"
        "    yield b'%d' % block\n"
        "print(sorted(map(int, by_two(list(range(8)), work))) == list(range(8)))\n"
    )
    assert done.stdout == "True\n"
    assert done.returncode == 0


@two
def test_an_error_is_raised_here_and_the_other_one_does_not_go_on():
    done = run(
        "def work(block):\n"
        "    if os.getpid() == me: raise KeyError('broken')\n"
        "    time.sleep(30)\n"
        "    yield b''\n"
        "try: list(by_two([1, 2, 3], work))\n"
        "except KeyError as error: print('raised', error)\n"
        "try: os.waitpid(-1, 0)\n"
        "except ChildProcessError: print('alone')\n"
    )
    assert done.stdout == "raised 'broken'\nalone\n"
