"""What a card has beside the fixed keys of its answer."""

from collections.abc import Iterator, Mapping, Sequence

from lineage.evidence.readings import side_of
from lineage.figures.drive import drive_figures
from lineage.figures.fits import FitFigure, against_reading
from lineage.figures.margin import size_fits
from lineage.figures.scale import Suspect, of_weighing, suspects, whole
from lineage.figures.spin import spinning
from lineage.figures.weighings import KnownWeighing, reading, weighed_ref
from lineage.figures.wrong_ways import wrong_ways
from lineage.reports.views import card_more as views
from lineage.reports.views.card import WrongWaysView
from lineage.reports.views.figures import ValueU, value_u
from lineage.spec.records import BenchReading, Event, GapReading, Result
from lineage.tasks.drawings import measures_of, symmetries
from lineage.tasks.mirrored import mirrored
from lineage.tasks.readings import readings_of
from lineage.tasks.states import State
from lineage.values.quantity import Size
from lineage.values.uncertain import Uncertain, from_source

CHANCE_TAKEN = 0.05  # of being over, for ballast that uses the class to the full


def spin_views(state: State) -> tuple[views.SpinView, ...]:
    """Every spinning part."""
    return tuple(
        views.SpinView(
            ref=spin.ref,
            rpm=spin.rpm,
            inertia_kg_m2=value_u(spin.inertia_kg_m2),
            energy_J=value_u(spin.energy_j),
            tip_m_s=spin.tip_m_s,
        )
        for spin in spinning(state.assembly, measures_of(state.workspace, state.assembly))
    )


def drive_view(state: State, mass: Uncertain | None, results: Sequence[Result]) -> views.DriveView | None:
    """The drive, where the spec says what it is."""
    drive = state.spec.design.drive
    if drive is None:
        return None
    figures = drive_figures(drive, mass)
    read = {r.of: r for r in results if isinstance(r, BenchReading) and r.is_[0].dimension == "force"}
    return views.DriveView(
        top_speed_m_s=figures.top_speed_m_s,
        push_N=figures.push_n,
        grip_limit_N=value_u(figures.grip_limit_n),
        first=figures.first,
        read={of: _bench(r) for of, r in read.items()},
    )


def _bench(result: BenchReading) -> ValueU:
    side = side_of(readings_of(result.is_))
    assert side is not None
    return ValueU(side.value, side.u)


def weighed_views(state: State) -> Iterator[views.WeighedThingView]:
    """Weighings of parts, modules, lists and roles of this very build beside what was worked out."""
    build = state.build
    if build is None:
        return
    scales = state.workspace.family.scales
    for known in state.amounts.weighings(state.ref.design):
        if known.assembly.spec.ref != build or weighed_ref(known) == "":
            continue
        yield _weighed_view(state, known, reading(known.weighing, scales))


def _weighed_view(state: State, known: KnownWeighing, measured: Uncertain) -> views.WeighedThingView:
    weighing, assembly = known.weighing, known.assembly
    shown = ValueU(measured.value, measured.u)
    unknown = tuple(ref for ref in (*weighing.of, *weighing.except_) if not assembly.resolve(ref))
    if unknown:
        return views.WeighedThingView(
            of=weighing.of or (f"all but {', '.join(weighing.except_)}",),
            on=str(weighing.on),
            measured_g=shown,
            predicted_g=None,
            normalised_error=None,
            lacking=unknown,
        )
    weight = state.amounts.weight_of(assembly)
    found = of_weighing(assembly, weight, weighing, measured)
    return views.WeighedThingView(
        of=found.refs,
        on=str(weighing.on),
        measured_g=shown,
        predicted_g=value_u(found.predicted),
        normalised_error=found.normalised_error,
        lacking=found.lacking,
        difference_g=None if found.lacking else value_u(found.residual),
        suspects=_suspect_views(suspects(assembly, weight, found)),
    )


def suspect_views(state: State, measured: Uncertain | None) -> tuple[views.SuspectView, ...]:
    """What the spec probably lacks, where the scales clearly say something else."""
    if measured is None:
        return ()
    weight = state.amounts.weight(state.ref, state.choices)
    return _suspect_views(suspects(state.assembly, weight, whole(weight, measured)))


def _suspect_views(found: Sequence[Suspect]) -> tuple[views.SuspectView, ...]:
    return tuple(views.SuspectView(what=s.what, about=s.about, why=s.why, grams=s.grams) for s in found)


def gap_views(
    figures: Mapping[str, FitFigure], measured: Mapping[str, ValueU]
) -> Mapping[str, views.MeasuredGapView]:
    """Measured gaps against the chains that should have said them."""
    found = {}
    for name, gap in measured.items():
        if name in figures:
            against = against_reading(figures[name], from_source(gap.value, ("gap", name), gap.u))
            found[name] = views.MeasuredGapView(
                residual_mm=against.residual_mm,
                normalised_error=against.normalised_error,
                meets_need=against.meets_need,
            )
    return found


def gap_readings(results: Sequence[Result]) -> Mapping[str, ValueU]:
    """The latest measured gap of each fit."""
    found = {}
    for result in results:
        if isinstance(result, GapReading):
            side = side_of(readings_of(result.is_))
            assert side is not None
            found[result.of] = ValueU(side.value, side.u)
    return found


def wrong_way_views(state: State) -> Mapping[str, WrongWaysView]:
    """How many ways round everything goes in, and which can go in wrong."""
    assembly = state.assembly
    found = wrong_ways(assembly, symmetries(state.workspace, assembly), mirrored(state.workspace, assembly))
    return {
        ref: WrongWaysView(
            orientations=way.orientations,
            marked=None if way.marked is None else way.marked == "yes",
            nearest_mm=way.nearest_mm,
            looks_right=way.looks_right,
            mirror_of=way.mirror_of,
            can_go_wrong=way.can_go_wrong,
        )
        for ref, way in found.items()
    }


def outside_view(state: State, event: Event | None) -> views.OutsideView | None:
    """The outside of a robot against its class and an event; None where nothing is said of either."""
    design, family = state.spec.design, state.spec.family
    weight_class = family.classes.get(design.class_ or "")
    limits = (weight_class.size if weight_class else None, event.size if event else None)
    if design.size is None and limits == (None, None):
        return None
    return views.OutsideView(
        size_mm=_sides(design.size),
        class_mm=_sides(limits[0]),
        fits_class=size_fits(design.size, limits[0]),
        event_mm=_sides(limits[1]),
        fits_event=size_fits(design.size, limits[1]),
    )


def fits_both(outside: views.OutsideView | None) -> bool | None:
    """Whether the outside is within both limits; None where one of those typed cannot be told."""
    if outside is None:
        return None
    told = [
        fits
        for limit, fits in (
            (outside.class_mm, outside.fits_class),
            (outside.event_mm, outside.fits_event),
        )
        if limit is not None
    ]
    if False in told:
        return False
    return None if None in told or not told else True


def _sides(size: Size | None) -> views.Sides | None:
    if size is None:
        return None
    return (size.length.value, size.width.value, None if size.height is None else size.height.value)
