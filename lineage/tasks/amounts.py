"""What states of designs amount to: weight, ways in, fits; each worked out once for a workspace."""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Any

from msgspec import Struct

from lineage.figures.fits import FitFigure, work_out_fits
from lineage.figures.margin import UsualGap, gap_of, usual_gap
from lineage.figures.service import WayIn, ways_in
from lineage.figures.service_times import Timing, timing_from
from lineage.figures.weighings import KnownWeighing, reading, standing_weighings, weighed_ref
from lineage.figures.weight import Weight, weigh
from lineage.problems import AskedWrongly, BadInput
from lineage.spec.assembly import Assembly
from lineage.spec.records import BuildRef, ServiceReading, Weighing
from lineage.tasks.drawings import measures_of
from lineage.tasks.running import build_of_result
from lineage.tasks.workspace import NOW, Workspace
from lineage.values.uncertain import Uncertain

Choices = Mapping[str, str]


class Measured(Struct, frozen=True, kw_only=True):
    """A whole weighing that counts for a build."""

    weighing: Weighing
    mass: Uncertain


def amounts_of(workspace: Workspace) -> "Amounts":
    """The one Amounts of a workspace: what is worked out stands as long as the workspace does."""
    amounts = workspace.worked_out.setdefault("amounts", None) or Amounts(workspace)
    workspace.worked_out["amounts"] = amounts
    assert isinstance(amounts, Amounts)
    return amounts


class Amounts:
    """Figures of any state of any design of one workspace."""

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace
        self._weights: dict[tuple[BuildRef, tuple[tuple[str, str], ...]], Weight] = {}
        self.pairs: dict[
            tuple[BuildRef, BuildRef], Any
        ] = {}  # what changed between two states, see compare.py
        self._ways: dict[tuple[BuildRef, tuple[tuple[str, str], ...]], Mapping[str, WayIn]] = {}

    # --- weight ------------------------------------------------------------------------------------------

    def weight(self, ref: BuildRef, choices: Choices | None = None) -> Weight:
        """What a state weighs, weighings that stand counted."""
        key = (ref, tuple(sorted((choices or {}).items())))
        if key not in self._weights:
            self._weights[key] = self.weight_of(self.workspace.assembly(ref, choices))
        return self._weights[key]

    def weight_of(self, assembly: Assembly) -> Weight:
        """What an assembly weighs, weighings that stand counted."""
        weighed = standing_weighings(
            assembly,
            self._weighings_for(assembly),
            self.renamed,
            self.workspace.family.scales,
            self.described_better,
        )
        return weigh(assembly, measures_of(self.workspace, assembly), weighed)

    def _weighings_for(self, assembly: Assembly) -> tuple[KnownWeighing, ...]:
        designs = {spec.ref.design for spec in assembly.inner.values()}
        found = [known for design in sorted(designs) for known in self.weighings(design)]
        return tuple(sorted(found, key=lambda known: str(known.weighing.on)))

    def weighings(self, design: str) -> tuple[KnownWeighing, ...]:
        """Weighings in the results of a design whose build is known, in order of time."""
        if design not in self._known:
            self._known[design] = tuple(self._read_weighings(design))
        return self._known[design]

    @cached_property
    def _known(self) -> dict[str, tuple[KnownWeighing, ...]]:
        return {}

    def _read_weighings(self, design: str) -> Iterator[KnownWeighing]:
        for result, ref in self._weighings_with_builds(design):
            try:
                assembly = self.workspace.assembly(ref, result.fitted)
            except (AskedWrongly, BadInput):
                continue  # a build or choice that cannot be read is told by `check`; its weighing waits
            yield KnownWeighing(weighing=result, design=design, assembly=assembly)

    def _weighings_with_builds(self, design: str) -> Iterator[tuple[Weighing, BuildRef]]:
        for result in self.workspace.results(design):
            if isinstance(result, Weighing) and result.on is not None:
                label = build_of_result(self.workspace, result).label
                if label is not None:
                    yield result, BuildRef(design, label)

    def measured(self, ref: BuildRef, choices: Choices | None = None) -> Measured | None:
        """The latest whole weighing of a build with its choices."""
        build = self.build_behind(ref)
        if build is None:
            return None
        wanted = dict(self.workspace.assembly(ref, choices).fitted[""])
        found = [
            known
            for known in self.weighings(ref.design)
            if weighed_ref(known) == ""
            and known.assembly.spec.ref == build
            and dict(known.assembly.fitted[""]) == wanted
        ]
        if not found:
            return None
        latest = max(found, key=lambda known: str(known.weighing.on))
        latest = [known for known in found if known.weighing.on == latest.weighing.on][-1]
        return Measured(weighing=latest.weighing, mass=reading(latest.weighing, self.workspace.family.scales))

    def build_behind(self, ref: BuildRef) -> BuildRef | None:
        """The build itself, or the last one where the working files still are just that."""
        return ref if ref.label != NOW else self.workspace.same_as(ref.design)

    def usual_gap(self, class_name: str) -> UsualGap | None:
        """What weighed builds of a class came out above their predictions."""
        if class_name not in self._gaps:
            self._gaps[class_name] = usual_gap(list(self._gaps_of(class_name)))
        return self._gaps[class_name]

    @cached_property
    def _gaps(self) -> dict[str, UsualGap | None]:
        return {}

    def _gaps_of(self, class_name: str) -> Iterator[Uncertain]:
        for design in self.workspace.designs:
            if not self._is_ever_of(class_name, design):
                continue
            for ref, choices in self._weighed_builds(design):
                if self.workspace.spec(ref).design.class_ != class_name:
                    continue
                measured = self.measured(ref, choices)
                gap = gap_of(measured.mass if measured else None, self.weight(ref, choices))
                if gap is not None:
                    yield gap

    def _is_ever_of(self, class_name: str, design: str) -> bool:
        """Whether any weighed build of a design is of a class: sooner said than every build laid out."""
        refs = {ref for _, ref in self._weighings_with_builds(design)}
        return any(self._class_of(ref) == class_name for ref in refs)

    def _class_of(self, ref: BuildRef) -> str | None:
        try:
            return self.workspace.spec(ref).design.class_
        except (AskedWrongly, BadInput):
            return None  # told by `check`

    def _weighed_builds(self, design: str) -> Iterator[tuple[BuildRef, Choices]]:
        """Each build that was weighed whole, once, with the choices of its latest weighing."""
        latest: dict[BuildRef, KnownWeighing] = {}
        for known in self.weighings(design):
            if weighed_ref(known) == "":
                latest[known.assembly.spec.ref] = known
        for ref, known in latest.items():
            yield ref, known.assembly.fitted[""]

    # --- renames -----------------------------------------------------------------------------------------

    def renamed(self, design: str, then: str, now: str, ref: str) -> str | None:
        """A thing's reference in another build of its design, recorded renames followed."""
        from lineage.tasks.chain import follow  # noqa: PLC0415

        return follow(self.workspace, design, then, now, ref)

    def described_better(self, design: str, then: str, now: str, ref: str) -> bool:
        """Whether all that was done to a thing between two builds was to describe it better."""
        from lineage.tasks.chain import only_described_better  # noqa: PLC0415

        return only_described_better(self.workspace, design, then, now, ref, of_content=True)

    # --- ways in -----------------------------------------------------------------------------------------

    @cached_property
    def timing(self) -> Timing:
        """What the family's timed services say of worked-out times."""
        ratios = []
        for design in self.workspace.designs:
            for result in self.workspace.results(design):
                if isinstance(result, ServiceReading):
                    ratio = self._ratio(result)
                    if ratio is not None:
                        ratios.append(ratio)
        return timing_from(ratios)

    def _ratio(self, result: ServiceReading) -> float | None:
        label = build_of_result(self.workspace, result).label
        if label is None:
            return None
        try:
            assembly = self.workspace.assembly(BuildRef(result.design, label))
        except (AskedWrongly, BadInput):
            return None
        way = ways_in(assembly, self.workspace.family.times, Timing()).get(result.of)
        if way is None or way.seconds is None or way.seconds.value <= 0:
            return None
        timed = sum(quantity.value for quantity in result.is_) / len(result.is_)
        return timed / way.seconds.value if timed > 0 else None

    def ways(self, ref: BuildRef, choices: Choices | None = None) -> Mapping[str, WayIn]:
        """The way in to everything."""
        key = (ref, tuple(sorted((choices or {}).items())))
        if key not in self._ways:
            assembly = self.workspace.assembly(ref, choices)
            self._ways[key] = ways_in(assembly, self.workspace.family.times, self.timing)
        return self._ways[key]

    # --- fits --------------------------------------------------------------------------------------------

    def fits(self, ref: BuildRef, choices: Choices | None = None) -> Mapping[str, FitFigure]:
        """The design's own fits, tried with every combination of choices."""
        assembly = self.workspace.assembly(ref, choices)
        return work_out_fits(assembly, lambda other: self.workspace.assembly(ref, other))
