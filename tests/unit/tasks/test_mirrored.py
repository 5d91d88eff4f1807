"""Left and right plates: the same stock, another drawing, and one turned over is the other."""

from io import StringIO

import ezdxf
import pytest

from lineage.tasks.mirrored import mirrored
from tests.in_memory import InMemory

LEFT = [(0, 0), (80, 0), (80, 30), (30, 50), (0, 40)]


def drawing(points: list[tuple[float, float]], hole: tuple[float, float]) -> str:
    document = ezdxf.new(units=4)
    document.modelspace().add_lwpolyline(points, close=True)
    document.modelspace().add_circle(hole, 3)
    out = StringIO()
    document.write(out)
    return out.getvalue()


def turned_over(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(200 - x, y) for x, y in points]


@pytest.fixture(scope="module")
def family() -> InMemory:
    square = [(0, 0), (60, 0), (60, 60), (0, 60)]
    return InMemory({
        "plates/left.dxf": drawing(LEFT, (12, 10)),
        "plates/right.dxf": drawing(turned_over(LEFT), (188, 10)),
        "plates/other.dxf": drawing(turned_over(LEFT), (188, 12)),
        "plates/lid.dxf": drawing(square, (30, 30)),
        "plates/lid-again.dxf": drawing([(x + 7, y) for x, y in square], (37, 30)),
    })  # fmt: skip


def found(family: InMemory, **parts: str) -> dict[str, tuple[str, ...]]:
    lines = [f"  {name}: {{{text}}}" for name, text in parts.items()]
    family.write({"robots/wren.yaml": "\n".join(["robot: wren", "parts:", *lines, ""])})
    state = family.state("wren")
    return dict(mirrored(state.workspace, state.assembly))


def test_a_left_and_a_right_plate_are_named_with_each_other(family):
    pair = found(
        family,
        left="stock: pc-3, outline: plates/left.dxf",
        right="stock: pc-3, outline: plates/right.dxf",
        other="stock: pc-3, outline: plates/other.dxf",
    )
    assert pair == {"left": ("right",), "right": ("left",)}


def test_plates_of_other_stock_are_told_apart_by_it(family):
    assert not found(
        family, left="stock: pc-3, outline: plates/left.dxf", right="stock: al-2, outline: plates/right.dxf"
    )


def test_a_plate_that_is_its_own_mirror_image_has_no_left_and_right(family):
    assert not found(
        family, lid="stock: pc-3, outline: plates/lid.dxf", twin="stock: pc-3, outline: plates/lid-again.dxf"
    )
