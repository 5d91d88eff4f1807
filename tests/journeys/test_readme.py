"""The tour of the README is what the program prints."""

import re
import shlex
from itertools import pairwise
from pathlib import Path

from tests.program import installed

README = Path(__file__).parents[2] / "README.md"


def tour():
    """(command line, lines that are shown) of every console block, in order."""
    for block in re.findall(r"^```console\n(.*?)^```", README.read_text(), re.DOTALL | re.MULTILINE):
        starts = [m.start() for m in re.finditer(r"^\$ ", block, re.MULTILINE)]
        assert starts, block
        for start, end in pairwise([*starts, len(block)]):
            line, _, shown = block[start + 2 : end].partition("\n")
            yield line, shown


def pieces(shown):
    """What stands between the lines that only say that something is left out, as patterns; `…` is anything."""
    for piece in re.split(r"^…$", shown, flags=re.MULTILINE):
        if piece.strip():
            yield re.escape(piece.strip("\n")).replace("…", "[^\\n]*")


def test_the_tour_is_what_the_program_prints(family):
    told = list(tour())
    assert len(told) >= 6
    for line, shown in told:
        answer = installed(family.root, *shlex.split(line)[1:])
        printed = answer.err + answer.out if line.startswith("lineage record") else answer.out + answer.err
        assert answer.status == 0, printed
        assert shown.strip(), line
        at = 0
        for piece in pieces(shown):
            found = re.compile(piece).search(printed, at)
            assert found, f"{line}\nno longer prints\n{piece}\nbut\n{printed}"
            at = found.end()
