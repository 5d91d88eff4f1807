"""What scales have said that still stands: a weighing counts for every build in which its thing is the
same.
"""

from collections.abc import Callable, Mapping, Sequence
from math import fsum, sqrt

from msgspec import Struct

from lineage.figures.contents import Content, content_of
from lineage.figures.masses import last_digit_u
from lineage.spec.assembly import Assembly
from lineage.spec.records import Scale, Weighing
from lineage.values.quantity import Quantity
from lineage.values.uncertain import Uncertain, from_source

Renamed = Callable[[str, str, str, str], str | None]
"""(design, from label, to label, reference then) → reference now, None where it is gone."""
DescribedBetter = Callable[[str, str, str, str], bool]
"""(design, from label, to label, reference now) → whether every change of it between was noted as that."""


class KnownWeighing(Struct, frozen=True, kw_only=True):
    """A weighing that stands in the results of a design, with the assembly of its build and its choices."""

    weighing: Weighing
    design: str
    assembly: Assembly


class Standing(Struct, frozen=True, kw_only=True):
    """A thing as a design at some level knows it; "" is the design itself."""

    design: str
    label: str
    ref: str


def reading(weighing: Weighing, scales: Mapping[str, Scale]) -> Uncertain:
    """What a weighing says, with the uncertainty of its scale and of its scatter.

    Mean of the readings; u² = ū² + s²/n. ū: of one reading, the typed ± as U (k = 2); else
    √(resolution²/12 + accuracy²/3) of the named scale; else half the last typed digit, rectangular. It is
    the same scale each time, so that it does not average out; s²/n is added from two readings on.
    weighing: one entry. scales: by name, of today's family.yaml.
    Result: g, one variable per entry; never missing.
    Source: JCGM 100:2008 (GUM), 4.2.3 (equation 5), 4.3.7 and F.2.2.1.
    """
    values = [quantity.centred for quantity in weighing.is_]
    n = len(values)
    mean = fsum(values) / n
    scale = scales.get(weighing.scale) if weighing.scale is not None else None
    one = fsum(_reading_u(quantity, scale) for quantity in weighing.is_) / n
    scatter = sum((value - mean) ** 2 for value in values) / (n - 1) / n if n > 1 else 0.0
    return from_source(mean, ("reading", weighing.design, weighing.id), sqrt(one**2 + scatter))


def _reading_u(quantity: Quantity, scale: Scale | None) -> float:
    if quantity.limit is not None:
        return quantity.limit / 2
    by_scale = None if scale is None else _scale_u(scale, quantity.value)
    return last_digit_u(quantity) if by_scale is None else by_scale


def _scale_u(scale: Scale, value: float) -> float | None:
    resolution = None if scale.resolution is None else scale.resolution.value
    accuracy = None
    if scale.accuracy is not None:
        share = scale.accuracy.share
        accuracy = scale.accuracy.mass if share is None else share * abs(value)
    if resolution is None and accuracy is None:
        return None
    return sqrt((resolution or 0.0) ** 2 / 12 + (accuracy or 0.0) ** 2 / 3)


def weighed_ref(known: KnownWeighing) -> str | None:
    """The one thing that a weighing weighed whole; "" its whole design; None where it was several or a
    remainder.
    """
    weighing = known.weighing
    if weighing.role is not None or weighing.except_ or len(weighing.of) > 1:
        return None
    if not weighing.of:
        return ""
    things = known.assembly.resolve(weighing.of[0])
    return things[0] if len(things) == 1 else None


def latest_whole(
    assembly: Assembly, known: Sequence[KnownWeighing], scales: Mapping[str, Scale]
) -> tuple[Weighing, Uncertain] | None:
    """What a build with its choices weighed as a whole, last time; never a mean over dates.

    assembly: the build with the choices shown. known: weighings that count, in order of time. scales: by name.
    Result: the entry and its reading in g; None where it was never weighed whole with these choices.
    Source: this project's rule; the reading by JCGM 100:2008 (GUM), 4.2.3 and 4.3.7.
    """
    for entry in reversed(known):
        same_build = entry.assembly.spec.ref == assembly.spec.ref
        if same_build and entry.assembly.fitted[""] == assembly.fitted[""] and weighed_ref(entry) == "":
            return entry.weighing, reading(entry.weighing, scales)
    return None


def standing_weighings(
    assembly: Assembly,
    known: Sequence[KnownWeighing],
    renamed: Renamed,
    scales: Mapping[str, Scale],
    described_better: DescribedBetter = lambda *_: False,
) -> dict[str, Uncertain]:
    """Which weighings stand for the things of an assembly, each as the mass of all pieces of its reference.

    A weighing of a part, fastener group or module stands where that thing has the same content under recorded
    renames, in any build; in every place of the design whose results hold it, and in every design where
    those are the module's own. A place's own weighing comes first, then the latest.
    assembly: whose things. known: weighings that count, in order of time. renamed: follows recorded renames.
    scales: by name. described_better: passes over changes of the description alone.
    Result: g by reference, pieces weighed scaled to pieces there are; a whole design has none here.
    Source: this project's rule; u by JCGM 100:2008 (GUM), 5.1.2.
    """
    if not known:
        return {}
    search = _Search(assembly, renamed, described_better)
    weighed: dict[str, Uncertain] = {}
    own: set[str] = set()
    for entry in known:
        ref = weighed_ref(entry)
        if ref is None:
            continue
        for target in search.targets(entry, ref):
            is_own = search.is_own(entry, ref, target)
            if target in own and not is_own:
                continue
            own |= {target} if is_own else set()
            weighed[target] = _of_all_pieces(entry, ref, assembly, target, scales)
    return weighed


def _of_all_pieces(
    entry: KnownWeighing, ref: str, assembly: Assembly, target: str, scales: Mapping[str, Scale]
) -> Uncertain:
    pieces = entry.weighing.count or _pieces(entry.assembly, ref)
    return reading(entry.weighing, scales).scaled(_pieces(assembly, target) / pieces)


def _pieces(assembly: Assembly, ref: str) -> int:
    if not ref:
        return 1
    thing = assembly.things[ref]
    if thing.kind == "place":
        return 1
    return thing.group.count if thing.kind == "fasteners" else thing.part.count


class _Search:
    """Finds the things of an assembly that a weighing is true of."""

    def __init__(self, assembly: Assembly, renamed: Renamed, described_better: DescribedBetter) -> None:
        self.assembly = assembly
        self.renamed = renamed
        self.described_better = described_better
        self.levels = {ref: _levels(assembly, ref) for ref in assembly.things}
        self.contents: dict[str, Content] = {}
        self.by_module: dict[str, list[str]] = {}
        for ref, levels in self.levels.items():
            for level in levels:
                self.by_module.setdefault(level.design, []).append(ref)

    def targets(self, entry: KnownWeighing, ref: str) -> list[str]:
        """References that stand below the design whose results hold the weighing, and are the thing
        weighed.
        """
        below = self.by_module.get(entry.design, [])
        then = _levels(entry.assembly, ref)
        content = content_of(entry.assembly, ref)
        return [target for target in below if self._is_same(entry, then, content, target)]

    def is_own(self, entry: KnownWeighing, ref: str, target: str) -> bool:
        """Whether it is the very thing of this design that was weighed."""
        design = self.assembly.spec.ref
        return entry.design == design.design and self._now(entry.assembly.spec.ref.label, ref) == target

    def _now(self, label: str, ref: str) -> str | None:
        design = self.assembly.spec.ref
        return self._followed(design.design, label, design.label, ref)

    def _followed(self, design: str, then: str, now: str, ref: str) -> str | None:
        return ref if then == now or not ref else self.renamed(design, then, now, ref)

    def _is_same(
        self, entry: KnownWeighing, then: tuple[Standing, ...], content: Content, target: str
    ) -> bool:
        levels = self.levels[target]
        outermost = next(place for place, level in enumerate(levels) if level.design == entry.design)
        return any(
            old.design == new.design and self._matches(old, new, content, target)
            for new in levels[outermost:]
            for old in then
        )

    def _matches(self, old: Standing, new: Standing, content: Content, target: str) -> bool:
        if self._followed(old.design, old.label, new.label, old.ref) != new.ref:
            return False
        if target not in self.contents:
            self.contents[target] = content_of(self.assembly, target)
        if self.contents[target] == content:
            return True
        return bool(new.ref) and self.described_better(new.design, old.label, new.label, new.ref)


def _levels(assembly: Assembly, ref: str) -> tuple[Standing, ...]:
    """A thing as the design knows it, then as each module around it does; of a place last as its module
    itself.
    """
    places = ["", *reversed(assembly.around(ref))]
    if ref and assembly.things[ref].kind == "place":
        places.append(ref)
    return tuple(
        Standing(
            design=assembly.inner[place].ref.design,
            label=assembly.inner[place].ref.label,
            ref=ref[len(place) :].removeprefix(".") if place else ref,
        )
        for place in places
    )
