"""What `family` answers: designs, who uses what, who lags, what kinds of change came to."""

from collections.abc import Mapping

from msgspec import Struct

from lineage.reports.views.compare import LagView


class GrewView(Struct, frozen=True, kw_only=True):
    """The build of a sibling that a design was drawn from; `newer` are builds that the sibling had by then."""

    build: str
    newer: tuple[str, ...]


class BuildView(Struct, frozen=True, kw_only=True):
    """A build in the chain of its design; `uses` are the module builds in it, `beside` its branches' labels."""

    label: str
    on: str
    before: str | None
    uses: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()


class DesignView(Struct, frozen=True, kw_only=True, rename={"class_": "class", "from_": "from"}):
    """A design of the family."""

    name: str
    kind: str
    class_: str | None
    state: str | None
    from_: str | None
    builds: tuple[BuildView, ...]
    now: str | None
    title: str | None = None
    next: tuple[str, ...] = ()
    events: Mapping[str, str | None] = {}
    grew: GrewView | None = None


class UseView(Struct, frozen=True, kw_only=True):
    """Where a design uses a module, and how many builds of it came after."""

    design: str
    place: str
    module: str
    label: str
    lags: int


class TallyView(Struct, frozen=True, kw_only=True):
    """One kind of change over the family; `mass_not_known` changes are left out of the grams."""

    kind: str
    changes: int
    mass_g: float
    kept: int
    judged: int
    verdicts: Mapping[str, int]
    mass_not_known: int = 0


class LessonStateView(Struct, frozen=True, kw_only=True):
    """A lesson by its state."""

    name: str
    state: str
    lesson: str | None = None


class SnagKindView(Struct, frozen=True, kw_only=True):
    """One mode of snag over the family; it keeps coming back where it was met in several builds.

    `cost_s` is the sum of the times typed, None where none was; `not_timed` how many snags have none.
    """

    mode: str
    count: int
    during: tuple[str, ...]
    designs: tuple[str, ...]
    builds: tuple[str, ...]
    cost_s: float | None
    not_timed: int
    lessons: tuple[str, ...]

    @property
    def keeps_coming_back(self) -> bool:
        """Whether it was met in more than one build."""
        return len(self.builds) > 1


class SheetView(Struct, frozen=True, kw_only=True):
    """Sheet of one material and thickness over the family's latest builds."""

    material: str
    thickness_mm: float | None
    area_mm2: float
    designs: tuple[str, ...]


class FamilyView(Struct, frozen=True, kw_only=True):
    """The whole family."""

    format: int = 1
    title: str
    designs: tuple[DesignView, ...]
    uses: tuple[UseView, ...]
    tally: tuple[TallyView, ...]
    lessons: tuple[LessonStateView, ...]
    stock: tuple[SheetView, ...]
    events: tuple[str, ...] = ()
    behind: tuple[LagView, ...] = ()
    snags: tuple[SnagKindView, ...] = ()
