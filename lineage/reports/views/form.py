"""What `form` prints: the paper for the pits, a sheet a robot."""

from msgspec import Struct

from lineage.reports.views.lessons import PackView


class ThingView(Struct, frozen=True, kw_only=True):
    """A thing of the robot, its number on the paper, and the way in to it."""

    number: str
    name: str
    screws: int | None
    seconds: float | None
    tools: tuple[str, ...]
    first_off: tuple[str, ...]
    is_slow: bool = False


class InsideView(Struct, frozen=True, kw_only=True):
    """What is inside a module, once for all places that use it; numbers go on from those of the places."""

    module: str
    places: tuple[str, ...]
    things: tuple[ThingView, ...]


class ToMeasureView(Struct, frozen=True, kw_only=True):
    """A gap to measure, with its need."""

    fit: str
    need_mm: tuple[float | None, float | None]


class PitSheetView(Struct, frozen=True, kw_only=True, rename={"class_": "class"}):
    """One robot: what it has to meet, what to pack, what it is made of, what can be fitted."""

    robot: str
    build: str
    class_: str | None
    limit_g: float | None
    predicted_g: float | None
    weighed_g: float | None
    weighed_on: str | None
    size: str | None
    inspect: tuple[str, ...]
    packing: tuple[PackView, ...]
    things: tuple[ThingView, ...]
    inside: tuple[InsideView, ...]
    gaps: tuple[ToMeasureView, ...]
    choices: tuple[str, ...]
    fitted: str
    cautions: tuple[str, ...]


class PitForm(Struct, frozen=True, kw_only=True):
    """The paper for one event."""

    format: int = 1
    event: str
    title: str
    on: str
    turnaround_s: float | None
    bouts: int
    sheets: tuple[PitSheetView, ...]
