"""What a card has beside the answer's fixed keys: what spins, what drives, what the scales say is missing."""

from collections.abc import Mapping

from msgspec import Struct

from lineage.reports.views.figures import ValueU


class SpinView(Struct, frozen=True, kw_only=True):
    """A spinning part; for information, not for choosing a test box."""

    ref: str
    rpm: float
    inertia_kg_m2: ValueU | None
    energy_J: ValueU | None  # noqa: N815 - the unit's own letter
    tip_m_s: float | None


class DriveView(Struct, frozen=True, kw_only=True):
    """What the drive can do, losses left out, and push as it was read on the bench."""

    top_speed_m_s: float | None
    push_N: float | None  # noqa: N815
    grip_limit_N: ValueU | None  # noqa: N815
    first: str | None
    read: Mapping[str, ValueU]


class SuspectView(Struct, frozen=True, kw_only=True):
    """What the spec probably lacks or has wrong."""

    what: str
    about: tuple[str, ...]
    why: str
    grams: float | None


class WeighedThingView(Struct, frozen=True, kw_only=True):
    """A weighing of some of a build beside what was worked out for it; of what nobody knows nothing is."""

    of: tuple[str, ...]
    on: str
    measured_g: ValueU
    predicted_g: ValueU | None
    normalised_error: float | None
    lacking: tuple[str, ...]
    difference_g: ValueU | None = None
    suspects: tuple[SuspectView, ...] = ()


class MeasuredGapView(Struct, frozen=True, kw_only=True):
    """A measured gap against its chain."""

    residual_mm: float | None
    normalised_error: float | None
    meets_need: bool | None


class SpareScrewsView(Struct, frozen=True, kw_only=True):
    """Screws that a group has above the builder's own rule."""

    ref: str
    count: int
    enough: int
    could_go: int
    role: str
    holes: int | None
    grams: float | None
    seconds: float | None


class LoadView(Struct, frozen=True, kw_only=True):
    """Expected seconds of service a bout, and what makes most of it."""

    seconds_per_bout: float | None
    dominant: str | None
    items: Mapping[str, float]
    not_known: tuple[str, ...]


Sides = tuple[float, float, float | None]
"""Length, width and height, mm; the height of a limit may be free."""


class OutsideView(Struct, frozen=True, kw_only=True):
    """The outside of a robot against what its class and an event allow; the stricter of the two counts."""

    size_mm: Sides | None
    class_mm: Sides | None
    fits_class: bool | None
    event_mm: Sides | None
    fits_event: bool | None


class PaceView(Struct, frozen=True, kw_only=True):
    """What the family's timed services say of worked-out times: the factor on them, its relative u, and how many.

    `turnaround_s` is the time that there is between bouts.
    """

    factor: float
    spread: float
    timed: int
    turnaround_s: float | None


class TimedView(Struct, frozen=True, kw_only=True):
    """A timed service of this very build beside what was worked out for it at the family's pace."""

    of: str
    on: str
    timed_s: ValueU
    predicted_s: ValueU | None
    ratio: float | None
