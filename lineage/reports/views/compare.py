"""What `compare` answers: designs beside each other, and what changed from each to the next."""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from lineage.reports.views.card import Card
from lineage.reports.views.figures import ValueU
from lineage.reports.views.todo import TodoView


class StratumView(Struct, frozen=True, kw_only=True):
    """One robot's counts before and after."""

    design: str
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None


class EvidenceView(Struct, frozen=True, kw_only=True):
    """What the counts or readings say of a change.

    Of counts also what else was different between the bouts, in which robots the thing had failed at the last event
    before it, whether the strata differ by more than chance, and failures at no known place that may be its own.
    """

    figure: str
    counting: str | None
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    ratio: float | None
    odds_ratio: float | None
    difference: float | None
    interval95: tuple[float | None, float | None] | None
    p_value: float | None
    method: str
    strata: tuple[StratumView, ...]
    others: tuple[str, ...]
    luck: float | None
    to_settle: int | None
    verdict: str
    text: str
    circumstances: tuple[str, ...] = ()
    after_bad_run: tuple[str, ...] = ()
    pull_apart: bool | None = None
    unmatched: int | None = None


class BeforeAfter(Struct, frozen=True, kw_only=True):
    """Screws and seconds of a way in, before and after."""

    screws: tuple[int | None, int | None]
    seconds: tuple[float | None, float | None]


class EffectView(Struct, frozen=True, kw_only=True):
    """What a change did to the figures."""

    mass_g: float | None
    gaps_mm: Mapping[str, float]
    access: Mapping[str, BeforeAfter]


class NoteView(Struct, frozen=True, kw_only=True, rename={"for_": "for"}):
    """Why something was changed, as recorded."""

    why: str | None
    aim: tuple[str, ...]
    for_: tuple[str, ...]
    expect: Mapping[str, str]


class DeliveredView(Struct, frozen=True, kw_only=True):
    """An expectation and what came of it."""

    expected: str
    got: str | None
    kept: bool | None


class ChangeView(Struct, frozen=True, kw_only=True, rename={"from_": "from"}):
    """One change with its effects and evidence."""

    id: str
    where: str
    kind: str
    from_: str | None
    to: str | None
    text: str
    notes: tuple[NoteView, ...]
    described_better: bool
    effect: EffectView
    factors_g: Mapping[str, float] | None
    evidence: tuple[EvidenceView, ...]
    verdict: str | None
    delivered: Mapping[str, DeliveredView]
    design: str | None = None


class Totals(Struct, frozen=True, kw_only=True):
    """A figure before, after, and its change."""

    before: float | None
    after: float | None
    change: float | None


class TotalsView(Struct, frozen=True, kw_only=True):
    """Whole figures of a pair; the changes add up to the effects."""

    mass_g: Totals
    gaps_mm: Mapping[str, Totals]
    access: Mapping[str, BeforeAfter]


class WeighedView(Struct, frozen=True, kw_only=True):
    """The two builds on the scales."""

    before: ValueU
    after: ValueU
    change: ValueU


class PairingView(Struct, frozen=True, kw_only=True):
    """Two things that are one, and how that is known."""

    before: str
    after: str
    by: str


class HintView(Struct, frozen=True, kw_only=True):
    """What may have been renamed."""

    before: str
    after: str
    why: str


class OneThingView(Struct, frozen=True, kw_only=True):
    """A thing that one of two siblings has; shares are of its own limit."""

    ref: str
    what: str
    mass_g: float | None
    of_limit: float | None


class OtherwiseView(Struct, frozen=True, kw_only=True):
    """A thing that two siblings both have; `idea` says what it is to both, `changes` how the two differ."""

    before: str
    after: str
    by: str
    idea: str
    mass_g: tuple[float | None, float | None]
    of_limit: tuple[float | None, float | None]
    changes: tuple[str, ...]


class SiblingsView(Struct, frozen=True, kw_only=True):
    """Two siblings by their things: what is alike, what is the same idea done otherwise, what only one has.

    `whole` are ids of the changes at no thing: fits, bays, settings, options, text.
    """

    alike: tuple[OtherwiseView, ...]
    otherwise: tuple[OtherwiseView, ...]
    only_before: tuple[OneThingView, ...]
    only_after: tuple[OneThingView, ...]
    whole: tuple[str, ...]


class ServiceableView(Struct, frozen=True, kw_only=True):
    """Mending to expect a bout before and after, for the same failures: those of the bouts of both states.

    `items` are seconds a bout by thing, before and after; `left_out` failed too, but is not in both with a known time.
    """

    bouts: int
    before_s: float
    after_s: float
    dominant: str | None
    items: Mapping[str, tuple[float, float]]
    left_out: tuple[str, ...]


class PairView(Struct, frozen=True, kw_only=True):
    """What changed from one state to the next."""

    before: str
    after: str
    pairing: tuple[PairingView, ...]
    changes: tuple[ChangeView, ...]
    totals: TotalsView
    weighed_g: WeighedView | None
    measured: tuple[EvidenceView, ...]
    todo: TodoView
    hints: tuple[HintView, ...] = ()
    missing_mass: tuple[str, ...] = ()
    siblings: bool = False
    serviceable: ServiceableView | None = None
    by_thing: SiblingsView | None = None


class SharedModule(Struct, frozen=True, kw_only=True):
    """A module that several of the designs use."""

    name: str
    builds: Mapping[str, str | None]
    lags: tuple[str, ...]


class ModuleStepView(Struct, frozen=True, kw_only=True):
    """One build of a module against the one that it was made from; the mass is that of one place."""

    before: str
    after: str
    why: tuple[str, ...]
    mass_g: float | None
    changes: tuple[ChangeView, ...]
    evidence: EvidenceView | None


class LagView(Struct, frozen=True, kw_only=True):
    """A design with an older build of a module, and what moving on to another's would bring.

    `places` are where it has that module; those with a dot are inside another module, which has to move on for it.
    `mass_g` and the gaps are the design's own with all places moved on, None where that cannot be worked out;
    `misses` are needs that would then be missed.
    """

    design: str
    module: str
    places: tuple[str, ...]
    label: str
    newest: str
    steps: tuple[ModuleStepView, ...]
    mass_g: float | None = None
    gaps_mm: Mapping[str, Totals] = {}
    misses: tuple[str, ...] = ()


class SharedView(Struct, frozen=True, kw_only=True):
    """What the designs share; `plates` are cut from one drawing in all of them."""

    modules: tuple[SharedModule, ...]
    stock: tuple[str, ...]
    items: tuple[str, ...]
    plates: tuple[str, ...] = ()
    behind: tuple[LagView, ...] = ()


class Compare(Struct, frozen=True, kw_only=True):
    """Two to five states beside each other."""

    format: int = 1
    designs: tuple[Card, ...]
    shared: SharedView
    pairs: tuple[PairView, ...]
