"""What `card` answers: one design in one build, in the keys and units of its JSON form."""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from lineage.reports.views.card_more import (
    DriveView,
    LoadView,
    MeasuredGapView,
    OutsideView,
    PaceView,
    SpareScrewsView,
    SpinView,
    SuspectView,
    TimedView,
    WeighedThingView,
)
from lineage.reports.views.figures import ValueU

Grams = Mapping[str, float]


class ClassView(Struct, frozen=True, kw_only=True):
    """The class a robot is built for; `limit_at` is the event whose own limit it is."""

    name: str
    limit_g: float
    size_ok: bool | None = None
    materials_against: tuple[str, ...] | None = None
    limit_at: str | None = None


class UsualGap(Struct, frozen=True, kw_only=True):
    """What weighed builds of a class came out above (or below) their predictions."""

    value: float
    u: float | None
    builds: int


class RoleMayBe(Struct, frozen=True, kw_only=True):
    """What a role weighs, and what it may."""

    now_g: float
    may_be_g: float | None


class Balance(Struct, frozen=True, kw_only=True):
    """Centre of mass of what has a centre."""

    centre_mm: tuple[ValueU, ValueU, ValueU]
    known_mass_g: float


class ItemView(Struct, frozen=True, kw_only=True):
    """One line of the weight."""

    ref: str
    kind: str
    count: int
    mass_g: ValueU | None
    basis: str | None


class WeightView(Struct, frozen=True, kw_only=True):
    """What a build weighs."""

    predicted_g: ValueU | None
    known_items: int
    items_without_mass: tuple[str, ...]
    measured_g: ValueU | None
    measured_on: str | None
    normalised_error: float | None
    usual_gap_g: UsualGap | None
    margin_g: ValueU | None
    chance_over: float | None
    role_may_be: Mapping[str, RoleMayBe] | None
    by_role_g: Grams
    by_material_g: Grams
    by_module_g: Grams
    choices: Mapping[str, Mapping[str, float | None]]
    balance: Balance | None
    items: tuple[ItemView, ...]


class ContributorView(Struct, frozen=True, kw_only=True, rename={"from_": "from"}):
    """One term of a dimension chain."""

    ref: str
    coefficient: float
    nominal_mm: float
    tolerance_mm: float | None
    from_: str | None
    share: float | None


class FitView(Struct, frozen=True, kw_only=True):
    """A fit worked out.

    `holds` says how far down its need holds, from `in the worst case` to `never`; `not_in` are terms that are not
    fitted; `all_tried` is False where there are more combinations of choices than are tried.
    """

    nominal_mm: float | None
    worst_mm: tuple[float, float] | None
    rss_mm: tuple[float, float] | None
    need_mm: tuple[float | None, float | None]
    chance_missed: float | None
    measured_mm: ValueU | None
    contributors: tuple[ContributorView, ...]
    fails_with: tuple[Mapping[str, str], ...]
    tighten_first: str | None = None
    missing: tuple[str, ...] = ()
    holds: str | None = None
    not_in: tuple[str, ...] = ()
    all_tried: bool = True


class BayView(Struct, frozen=True, kw_only=True):
    """Whether what a bay holds goes in."""

    goes_in: bool | None
    spare_mm: tuple[float, float, float] | None
    fill: float | None
    placement: tuple[Mapping[str, object], ...] | None
    why: str | None = None


class GripView(Struct, frozen=True, kw_only=True):
    """How far the screws of a group hold."""

    engaged_turns: float | None
    protrusion_mm: float | None
    warnings: tuple[str, ...]


class StepView(Struct, frozen=True, kw_only=True):
    """One step of a way in: screws undone (`screws` of one `type`, with a `tool`), or a thing taken off."""

    do: Literal["undo", "off"]
    ref: str
    screws: int | None = None
    type: str | None = None
    tool: str | None = None


class AccessView(Struct, frozen=True, kw_only=True):
    """The cheapest way in to a thing.

    `steps` are `undo` and `off` in the order in which they are done; `chance_in_time` that of the job within the time
    between bouts; `blocked_by` the ring that leaves no way; `over_budget` that there are too many ways to try.
    """

    screws: int | None
    seconds: ValueU | None
    tools: tuple[str, ...]
    undo: tuple[str, ...]
    off: tuple[str, ...]
    ways: int
    fits_turnaround: bool | None
    steps: tuple[StepView, ...] = ()
    chance_in_time: float | None = None
    blocked_by: tuple[str, ...] | None = None
    over_budget: bool = False


class WrongWaysView(Struct, frozen=True, kw_only=True):
    """How many ways round a thing goes in, the right one counted.

    `looks_right`: another way misses by so little that it looks right; `mirror_of`: plates that it can be taken for,
    turned over; `can_go_wrong`: any of these, and nothing marks it.
    """

    orientations: int | None
    marked: bool | None
    nearest_mm: float | None
    looks_right: bool = False
    mirror_of: tuple[str, ...] = ()
    can_go_wrong: bool = False


class ShareView(Struct, frozen=True):
    """A share of bouts with its exact 95 % limits."""

    value: float
    low: float
    high: float


class FailureView(Struct, frozen=True, kw_only=True):
    """What failed in how many robot-bouts; no share where it is only listed."""

    at: str
    mode: str
    severity: str
    count: int
    share: ShareView | None
    cost_s: float | None


class FoundView(Struct, frozen=True, kw_only=True):
    """What was found broken at strip-down."""

    at: str
    mode: str
    count: int


class FailuresView(Struct, frozen=True, kw_only=True):
    """What failed in the bouts of a build."""

    bouts: int
    minutes: float | None
    unmatched: int
    items: tuple[FailureView, ...]
    found: tuple[FoundView, ...]
    left_out: tuple[str, ...] = ()


class SnagView(Struct, frozen=True, kw_only=True):
    """A snag, counted."""

    during: str
    at: str | None
    mode: str
    count: int
    cost_s: float | None


class TrialView(Struct, frozen=True, kw_only=True):
    """k of n passed, with exact limits."""

    of: str
    passed: int
    tries: int
    low: float
    high: float


class Card(Struct, frozen=True, kw_only=True, rename={"class_": "class"}):
    """One design in one build."""

    format: int = 1
    design: str
    build: str
    on: str | None
    title: str | None
    class_: ClassView | None
    weight: WeightView
    fits: Mapping[str, FitView]
    bays: Mapping[str, BayView] | None
    grips: Mapping[str, GripView] | None
    access: Mapping[str, AccessView]
    wrong_ways: Mapping[str, WrongWaysView] | None
    failures: FailuresView
    snags: tuple[SnagView, ...]
    trials: tuple[TrialView, ...]
    cautions: tuple[str, ...]
    spin: tuple[SpinView, ...] = ()
    drive: DriveView | None = None
    ballast_g: float | None = None
    ballast_risk: float = 0.05
    weighings: tuple[WeighedThingView, ...] = ()
    suspects: tuple[SuspectView, ...] = ()
    measured_gaps: Mapping[str, MeasuredGapView] = {}
    spare_screws: tuple[SpareScrewsView, ...] = ()
    service_load: LoadView | None = None
    empty_holes: Mapping[str, int] = {}
    outside: OutsideView | None = None
    pace: PaceView | None = None
    timed_services: tuple[TimedView, ...] = ()
