"""Two hundred parts are weighed while nobody notices."""

from statistics import median
from time import perf_counter

from lineage.figures.weight import weigh
from lineage.values.uncertain import total
from tests.hand_built import assembled, robot
from tests.weighing_bench import bolts, drawn, piece, stock


def two_hundred_parts():
    sheets = {f"s{n}": stock("acetal", thickness=f"{n + 2} mm ± 0.1 mm", kerf="0.1 mm") for n in range(8)}
    plates = {f"plate-{n}": piece(stock=f"s{n % 8}", outline=f"{n}.dxf", role="chassis") for n in range(100)}
    bought = {f"part-{n}": piece(mass=f"{n + 1} g", role="drive") for n in range(80)}
    groups = {f"screws-{n}": bolts(f"M3x{n + 5} cap", 4, washers=1) for n in range(20)}
    design = robot(stock=sheets, parts={**plates, **bought}, fasteners=groups)
    drawings = {f"{n}.dxf": f"id {n}" for n in range(100)}
    return assembled(design, drawings=drawings), {
        f"id {n}": drawn(1000.0 + n, 150.0, limit=0.1) for n in range(100)
    }


def milliseconds(work):
    times = []
    for _ in range(9):
        start = perf_counter()
        work()
        times.append((perf_counter() - start) * 1000)
    return median(times)


def test_two_hundred_parts_are_weighed_in_fifteen_milliseconds():
    assembly, measures = two_hundred_parts()
    weight = weigh(assembly, measures)
    assert weight.is_complete
    assert milliseconds(lambda: weigh(assembly, measures)) < 15
    assert milliseconds(lambda: total(item.mass for item in weight.items)) < 3
