"""One build on one card."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from lineage.evidence.bouts import RobotBout, same_mode, tallied, unmatched_bouts
from lineage.evidence.exact import share_of
from lineage.figures.balance import balance
from lineage.figures.bays import work_out_bays
from lineage.figures.fits import FitFigure
from lineage.figures.grips import grips
from lineage.figures.margin import Margin, ballast, limit_of, margin_of, materials_against, role_may_be
from lineage.figures.scale import normalised_error
from lineage.figures.weight import choice_masses
from lineage.reports.views import card as views
from lineage.reports.views.card_more import OutsideView
from lineage.reports.views.cautions import cautions_for
from lineage.reports.views.figures import ValueU, value_u
from lineage.spec.records import Event, Result, Snag, Trial
from lineage.tasks import card_more as more
from lineage.tasks import card_service as service
from lineage.tasks.amounts import Measured
from lineage.tasks.running import all_bouts, bouts_with, build_of_result, robot_bouts
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW, Workspace
from lineage.values.formatting import count_of
from lineage.values.uncertain import Uncertain


def card(state: State, event: Event | None = None, risk: float = more.CHANCE_TAKEN) -> views.Card:
    """Everything worked out of one state of one design, against an event's limits where one is named.

    `risk` is the chance of being over that ballast may bring.
    """
    record = None if state.ref.label == NOW else state.workspace.record_of(state.ref)
    results = sorted(_results(state), key=lambda result: str(result.on))
    gaps = more.gap_readings(results)
    measured = state.amounts.measured(state.ref, state.choices)
    mass = None if measured is None else measured.mass
    margin = _margin(state, event, mass)
    weight = _weight(state, measured, margin)
    predicted = weight.predicted_g
    fits = state.amounts.fits(state.ref, state.choices)
    bouts = bouts_of(state)
    outside = more.outside_view(state, event)
    return views.Card(
        design=state.ref.design,
        build=state.label,
        on=None if record is None else str(record.on),
        title=state.spec.design.title,
        class_=_class(state, event, outside),
        weight=weight,
        fits={name: _fit(figure, gaps.get(name)) for name, figure in fits.items()},
        bays=_bays(state),
        grips=_grips(state),
        access=service.access_views(state, event),
        wrong_ways=more.wrong_way_views(state),
        failures=failures_view(bouts, _left_out(state.workspace, state, bouts)),
        snags=tuple(snag_views([result for result in results if isinstance(result, Snag)])),
        trials=tuple(_trials(results)),
        cautions=cautions_for(state.assembly, None if predicted is None else predicted.value),
        spin=more.spin_views(state),
        drive=more.drive_view(state, _predicted(state) if mass is None else mass, results),
        ballast_g=None if margin is None else ballast(margin.margin, risk),
        ballast_risk=risk,
        weighings=tuple(more.weighed_views(state)),
        suspects=more.suspect_views(state, mass),
        measured_gaps=more.gap_views(fits, gaps),
        spare_screws=service.spare_screw_views(state),
        service_load=service.load_view(state, bouts),
        empty_holes=service.empty_holes(state),
        outside=outside,
        pace=service.pace_view(state, event),
        timed_services=tuple(service.timed_views(state, results)),
    )


def _predicted(state: State) -> Uncertain | None:
    weight = state.amounts.weight(state.ref, state.choices)
    return weight.predicted if weight.is_complete else None


# --- weight ----------------------------------------------------------------------------------------------


def _class(state: State, event: Event | None, outside: OutsideView | None) -> views.ClassView | None:
    design, family = state.spec.design, state.spec.family
    if design.class_ is None or design.class_ not in family.classes:
        return None
    weight_class = family.classes[design.class_]
    limit = limit_of(design.class_, weight_class, event)
    assert limit is not None
    return views.ClassView(
        name=design.class_,
        limit_g=limit,
        limit_at=event.name if event is not None and design.class_ in event.limits else None,
        size_ok=more.fits_both(outside),
        materials_against=materials_against(state.assembly, weight_class.materials),
    )


def _margin(state: State, event: Event | None, mass: Uncertain | None) -> Margin | None:
    design, family = state.spec.design, state.spec.family
    limit = limit_of(design.class_, family.classes.get(design.class_ or ""), event)
    if limit is None or design.class_ is None:
        return None
    weight = state.amounts.weight(state.ref, state.choices)
    return margin_of(limit, weight, mass, state.amounts.usual_gap(design.class_))


def _weight(state: State, measured: Measured | None, margin: Margin | None) -> views.WeightView:
    amounts, design = state.amounts, state.spec.design
    weight = amounts.weight(state.ref, state.choices)
    weight_class = state.spec.family.classes.get(design.class_ or "")
    gap = amounts.usual_gap(design.class_) if design.class_ is not None else None
    mass = None if measured is None else measured.mass
    reserve = (
        weight_class.reserve.value if weight_class is not None and weight_class.reserve is not None else 0.0
    )
    rooms = role_may_be(weight.by_role, margin.margin, reserve) if margin is not None else None
    complete = weight.is_complete
    centre = balance(state.assembly, weight.masses)
    return views.WeightView(
        predicted_g=value_u(weight.predicted) if weight.known_items else None,
        known_items=len(weight.known_items),
        items_without_mass=weight.without_mass,
        measured_g=value_u(mass),
        measured_on=None if measured is None else str(measured.weighing.on),
        normalised_error=normalised_error(mass, weight.predicted) if mass is not None and complete else None,
        usual_gap_g=None if gap is None else views.UsualGap(value=gap.value, u=gap.u, builds=gap.builds),
        margin_g=None if margin is None else value_u(margin.margin),
        chance_over=None if margin is None else margin.chance_over,
        role_may_be=None
        if rooms is None
        else {
            name: views.RoleMayBe(now_g=room.now_g, may_be_g=room.may_be_g) for name, room in rooms.items()
        },
        by_role_g=weight.by_role,
        by_material_g=weight.by_material,
        by_module_g=weight.by_module,
        choices=choice_masses(state.spec, state.workspace.lookup, amounts.weight_of),
        balance=None
        if centre is None
        else views.Balance(
            centre_mm=tuple(_plain(axis) for axis in centre.centre),  # type: ignore[arg-type]
            known_mass_g=centre.known_mass.value,
        ),
        items=tuple(
            views.ItemView(
                ref=item.ref,
                kind=item.kind,
                count=item.count,
                mass_g=value_u(item.mass),
                basis=item.basis if item.mass is not None else None,
            )
            for item in weight.items
        ),
    )


def _plain(figure: Uncertain) -> ValueU:
    return ValueU(figure.value, figure.u)


# --- fits, bays, grips, ways -----------------------------------------------------------------------------


def _fit(figure: FitFigure, measured: ValueU | None) -> views.FitView:
    return views.FitView(
        nominal_mm=figure.nominal_mm,
        worst_mm=figure.worst_mm,
        rss_mm=figure.rss_mm,
        need_mm=figure.need_mm,
        chance_missed=figure.chance_missed,
        measured_mm=measured,
        contributors=tuple(
            views.ContributorView(
                ref=c.ref,
                coefficient=c.coefficient,
                nominal_mm=c.nominal_mm,
                tolerance_mm=c.tolerance_mm,
                from_=c.source,
                share=c.share,
            )
            for c in figure.contributors
        ),
        fails_with=figure.fails_with,
        tighten_first=figure.tighten,
        missing=figure.no_tolerance,
        holds=figure.holds,
        not_in=figure.not_in,
        all_tried=figure.all_tried,
    )


def _bays(state: State) -> Mapping[str, views.BayView]:
    return {
        name: views.BayView(
            goes_in=bay.goes_in,
            spare_mm=bay.spare_mm,
            fill=bay.fill,
            placement=None
            if bay.placement is None
            else tuple(
                {"ref": p.ref, "piece": p.piece, "at_mm": p.at_mm, "size_mm": p.size_mm}
                for p in bay.placement
            ),
            why=bay.why,
        )
        for name, bay in work_out_bays(state.assembly).items()
    }


def _grips(state: State) -> Mapping[str, views.GripView]:
    return {
        ref: views.GripView(
            engaged_turns=grip.engaged_turns, protrusion_mm=grip.protrusion_mm, warnings=grip.warnings
        )
        for ref, grip in grips(state.assembly).items()
    }


# --- what was logged -------------------------------------------------------------------------------------


def _results(state: State) -> Iterator[Result]:
    build = state.build
    if build is None:
        return
    for result in state.workspace.results(state.ref.design):
        if build_of_result(state.workspace, result).label == build.label:
            yield result


def bouts_of(state: State) -> Sequence[RobotBout]:
    """Bouts of this build, fought or not, of a module those of the robots that had it in; none for working files."""
    build = state.build
    if build is None:
        return ()
    if state.spec.design.kind == "module":
        return bouts_with(state.workspace, build)
    return [bout for bout in robot_bouts(state.workspace, state.ref.design) if bout.label == build.label]


def failures_view(bouts: Sequence[RobotBout], left_out: tuple[str, ...] = ()) -> views.FailuresView:
    """What failed in some robot-bouts, each with the share of those that were fought in a known build."""
    counted = [bout for bout in bouts if bout.is_exposure]
    times = [bout.ran_s for bout in counted]
    seconds = [time for time in times if time is not None]
    whole = bool(times) and len(seconds) == len(times)
    items = []
    for tally in tallied(counted):
        share = share_of(tally.failures, len(counted)) if tally.failures and tally.is_known else None
        items.append(
            views.FailureView(
                at=tally.at,
                mode=tally.mode,
                severity=tally.severity,
                count=tally.failures or tally.listed,
                share=None if share is None else views.ShareView(share.value, share.low, share.high),
                cost_s=tally.cost_s,
            )
        )
    return views.FailuresView(
        bouts=len(counted),
        minutes=sum(seconds) / 60 if whole else None,
        unmatched=unmatched_bouts(counted),
        items=tuple(items),
        found=tuple(
            views.FoundView(at=t.at, mode=t.mode, count=t.listed) for t in tallied(counted, found=True)
        ),
        left_out=left_out,
    )


def _left_out(workspace: Workspace, state: State, bouts: Sequence[RobotBout]) -> tuple[str, ...]:
    """What is not counted, said; of a module whose bouts they are."""
    said: list[str] = []
    if state.spec.design.kind == "module":
        said += _of_robots(workspace, bouts)
    unfought = sum(not bout.was_fought for bout in bouts)
    if unfought:
        said.append(
            f"{unfought} won or lost without a fight: counted as won or lost, not as a bout of its things"
        )
    uncertain = sum(not b.is_certain for b in robot_bouts(workspace, state.ref.design))
    if uncertain:
        said.append(
            f"{count_of(uncertain, 'bout')} of {state.ref.design} whose build is not certain: left out"
        )
    untimed = sum(bout.ran_s is None for bout in bouts if bout.is_exposure)
    if untimed:
        said.append(f"{count_of(untimed, 'bout')} without a duration: minutes are not known")
    return tuple(said)


def _of_robots(workspace: Workspace, bouts: Sequence[RobotBout]) -> Iterator[str]:
    """Which robots had a module in, and what in those bouts may be its own or not."""
    if not bouts:
        return
    robots = Counter(bout.robot for bout in bouts if bout.is_exposure)
    told = ", ".join(f"{robot} {count}" for robot, count in robots.items())
    yield f"bouts of {told or 'none of its robots'}; one with it in several places is one bout"
    labels = {(bout.robot, bout.label) for bout in bouts}
    lost = sum(
        any(f.counts and not f.things for f in bout.failures)
        for bout in all_bouts(workspace)
        if bout.is_exposure and (bout.robot, bout.label) in labels
    )
    if lost:
        yield f"damage at a place that nobody knows in {lost} of them may be its own"
    uncertain = sum(not bout.is_certain and bout.robot in robots for bout in all_bouts(workspace))
    if uncertain:
        yield f"{count_of(uncertain, 'bout')} of its robots whose build is not certain: left out"


def snag_views(snags: Sequence[Snag]) -> Iterator[views.SnagView]:
    """Snags counted by when, where and what; the dearest first."""
    groups: dict[tuple[str, str | None, str], list[Snag]] = {}
    for snag in snags:
        groups.setdefault((snag.during, snag.at, same_mode(snag.mode)), []).append(snag)
    made = []
    for (during, at, _), group in groups.items():
        times = [snag.took.value for snag in group if snag.took is not None]
        made.append(
            views.SnagView(
                during=during,
                at=at,
                mode=group[0].mode,
                count=len(group),
                cost_s=sum(times) if times else None,
            )
        )
    return iter(sorted(made, key=lambda s: (-(s.cost_s or 0.0), -s.count, s.during, s.at or "", s.mode)))


def _trials(results: Sequence[Result]) -> Iterator[views.TrialView]:
    """The latest trial of each kind."""
    latest = {result.of: result for result in results if isinstance(result, Trial)}
    for result in latest.values():
        share = share_of(result.passed, result.tries)
        if share is not None:
            yield views.TrialView(
                of=result.of, passed=result.passed, tries=result.tries, low=share.low, high=share.high
            )
