"""What `lessons EVENT` answers: an event turned into what to do."""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from lineage.reports.views.card import SnagView
from lineage.reports.views.compare import ChangeView


class EntryView(Struct, frozen=True, kw_only=True):
    """A robot at the event."""

    robot: str
    build: str | None
    weighed_g: float | None
    margin_g: float | None
    bouts: int
    won: int
    lost: int
    drawn: int
    lost_because: tuple[str, ...]


class BrokeView(Struct, frozen=True, kw_only=True):
    """What broke at the event, by rank; `took_s` are the times that `cost_s` is the sum of, `before` the same robot,
    thing and mode at all earlier events."""

    robot: str
    at: str
    mode: str
    severity: str
    count: int
    cost_s: float | None
    cost_bout: int
    seen_before: int
    rank: int
    took_s: tuple[float, ...] = ()
    cost_bout_before: int = 0
    cost_s_before: float | None = None


class FixView(Struct, frozen=True, kw_only=True):
    """A mend in the pits against the time there was."""

    robot: str
    bout: str | None
    at: str
    took_s: float | None
    predicted_s: float | None
    over: bool | None


class TimeView(Struct, frozen=True, kw_only=True):
    """Time in the pits."""

    turnaround_s: float | None
    fixes: tuple[FixView, ...]


class AlsoView(Struct, frozen=True, kw_only=True):
    """Where else the same flaw may live."""

    design: str
    build: str | None
    ref: str
    why: str


class HereView(Struct, frozen=True, kw_only=True):
    """A lesson at one event: in how many robot-bouts it was followed, and in how many of them it failed."""

    word: str
    bouts: int
    failures: int
    robots: tuple[str, ...]


class LessonView(Struct, frozen=True, kw_only=True):
    """A lesson and its state."""

    lesson: str
    state: str
    about: tuple[str, ...]
    also_in: tuple[AlsoView, ...]
    title: str
    do: str | None = None
    text: str | None = None
    here: HereView | None = None


class FirstView(Struct, frozen=True, kw_only=True):
    """What to do first."""

    what: str
    why: str
    cost_bouts: int
    cost_s: float | None
    count: int


class PackView(Struct, frozen=True, kw_only=True):
    """A spare to pack."""

    item: str
    ref: str | None
    quantity: int | None
    chance_short: float | None
    rework: tuple[str, ...]
    always: bool


class ConsumableView(Struct, frozen=True, kw_only=True):
    """What mending eats: how many are in the robot (screws alone), how many its log says were used, and where."""

    what: str
    in_it: int | None
    used: int
    at: tuple[str, ...]


class PackingView(Struct, frozen=True, kw_only=True):
    """A robot's box."""

    packing: tuple[PackView, ...]
    chance_box_short: float | None
    basis: str
    consumables: tuple[ConsumableView, ...] = ()


class Lessons(Struct, frozen=True, kw_only=True):
    """The report after an event."""

    format: int = 1
    event: str
    on: str
    title: str
    entries: tuple[EntryView, ...]
    broke: tuple[BrokeView, ...]
    time: TimeView
    changes: tuple[ChangeView, ...]
    snags: tuple[SnagView, ...]
    lessons: tuple[LessonView, ...]
    first: tuple[FirstView, ...]
    pit_left: tuple[str, ...]
    packing: Mapping[str, PackingView]
    cautions: tuple[str, ...]
    said: tuple[str, ...] = ()
    pit_notes: tuple[str, ...] = ()
    extra: Mapping[str, Any] = {}
