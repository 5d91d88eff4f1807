"""How long, and how much memory, drawings take: usual ones, and those made to take much."""

import subprocess
import sys
import time
from statistics import median

import pytest

from lineage.drawings.dxf import read_drawing
from lineage.drawings.moments import measures
from lineage.drawings.symmetry import ways_round
from tests.drawn import (
    around,
    block,
    circle,
    dxf,
    entity,
    insert,
    line,
    outline_of,
    polyline,
    rectangle,
    spline,
)

FIVE_SECONDS, MEMORY_MB = 5.0, 300


def seconds(work, times=7):
    taken = []
    for _ in range(times):
        begun = time.process_time()
        work()
        taken.append(time.process_time() - begun)
    return median(taken)


def test_two_hundred_entities_take_less_than_sixty_milliseconds():
    data = dxf(rectangle(200, 100), *[circle(5 + n % 20 * 9, 5 + n // 20 * 9, 3) for n in range(199)])
    assert seconds(lambda: read_drawing(data, "x.dxf")) < 0.060


def test_measures_of_sixty_segments_take_less_than_two_milliseconds():
    plate = outline_of(
        rectangle(100, 50), *(circle(10 + n % 7 * 13, 8 + n // 7 * 11 + n % 3, 2) for n in range(28))
    )
    assert seconds(lambda: measures(plate)) < 0.002
    assert seconds(lambda: ways_round(plate)) < 0.020


RING = [around(0, 0, 50, n * 360 / 49_000) for n in range(49_000)]
STEEP = [(0, 0), (1e4, 1e5), (-1e5, 1e5), (3, 4), (1e5, 9), (0, 0)]

GREEDY = {
    "points": dxf(polyline(*RING)),
    "loose lines": dxf("".join(line(n, 0, n + 1, 0) for n in range(19_000))),
    "old polyline": dxf(
        entity("POLYLINE", (66, 1), (70, 1))
        + "".join(entity("VERTEX", (10, x), (20, y)) for x, y in RING)
        + "0\nSEQEND\n"
    ),
    "hatch": dxf(circle(0, 0, 5), entity("HATCH") + "10\n1.0\n20\n2.0\n" * 1_300_000),
    "knots": dxf(entity("SPLINE", (71, 3)) + "40\n1.5\n" * 900_000),
    "splines": dxf(spline(5, [0] * 6 + [1] * 6, STEEP) * 1_000),
    "rings": dxf("".join(circle(0, 0, 1 + n / 20) for n in range(4_900))),
    "one corner": dxf("".join(line(0, 0, *around(0, 0, 10, n)) for n in range(15_000))),
    "many corners": dxf("".join(line(*around(0, 0, 0.04, n), *around(0, 0, 10, n)) for n in range(15_000))),
    "inserts": dxf(insert("B", 0, 0, (70, 30_000), (71, 30_000)) * 1_000, blocks=block("B", circle(0, 0, 1))),
    "toothed": dxf(polyline(*RING), "".join(circle(*around(0, 0, 50, n * 6), 1) for n in range(60))),
    "touching": dxf(
        rectangle(500, 500), "".join(circle(9 + n % 60 * 2, 9 + n // 60 * 2, 1) for n in range(3_000))
    ),
}

CHILD = """
import resource, sys
from lineage.drawings.dxf import read_drawing
reading = read_drawing(sys.stdin.buffer.read(), "x.dxf")
used = resource.getrusage(resource.RUSAGE_SELF)
print(used.ru_utime + used.ru_stime, used.ru_maxrss // 1024)
"""


@pytest.mark.parametrize("kind", GREEDY)
def test_greedy_drawings_stay_within_five_seconds_and_300_megabytes(kind):
    """Of a processor, the start of Python and of the libraries included."""
    done = subprocess.run([sys.executable, "-c", CHILD], input=GREEDY[kind], capture_output=True, check=True)
    seconds, megabytes = map(float, done.stdout.split())
    assert seconds < FIVE_SECONDS
    assert megabytes < MEMORY_MB
