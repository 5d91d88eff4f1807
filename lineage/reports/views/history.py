"""What `history` answers: the builds of one design in order, why each was made and what it did."""

from msgspec import Struct

from lineage.reports.views.card import SnagView
from lineage.reports.views.compare import ChangeView
from lineage.reports.views.family import GrewView


class FiguresView(Struct, frozen=True, kw_only=True):
    """Figures of one build. The share is of fought bouts in which something failed."""

    mass_g: float | None
    slowest_way_s: float | None
    least_gap_mm: float | None
    share_of_bouts_failed: float | None
    weighed_g: float | None = None
    bouts: int = 0


class LearnedView(Struct, frozen=True, kw_only=True):
    """A lesson that a build taught, or was made to answer, with how it stands today."""

    lesson: str
    title: str
    state: str
    answers: bool


class StepView(Struct, frozen=True, kw_only=True):
    """One build: why it was made, what changed since the one before, what was learned.

    `beside` are other builds made from the same one: branches. `problem` says why a build has no figures.
    """

    label: str
    on: str
    why: tuple[str, ...]
    changes: tuple[ChangeView, ...]
    figures: FiguresView
    before: str | None = None
    snags: tuple[SnagView, ...] = ()
    learned: tuple[LearnedView, ...] = ()
    beside: tuple[str, ...] = ()
    problem: str | None = None


class History(Struct, frozen=True, kw_only=True):
    """The builds of one design."""

    format: int = 1
    design: str
    steps: tuple[StepView, ...]
    title: str | None = None
    now: str | None = None
    grew: GrewView | None = None
