"""What changed from one state to another, with what each change did and what is known of it."""

from collections.abc import Iterator, Mapping

from lineage.changes.ops import Change
from lineage.evidence.verdicts import WORKED_OUT
from lineage.reports.views import compare as views
from lineage.reports.views.figures import ValueU, value_u
from lineage.spec.records import BuildRef, ChangeNote
from lineage.tasks.differing import Gap, Step, step_between
from lineage.tasks.expecting import delivered
from lineage.tasks.judging import Evidence, Judge, judge_of
from lineage.tasks.measured import Readings
from lineage.tasks.serviceable import serviceable
from lineage.tasks.states import State
from lineage.tasks.steps import ChangedStep
from lineage.tasks.todo import work


def pair(before: State, after: State, renamed: Mapping[str, str] | None = None) -> views.PairView:
    """What changed from one state to another; `renamed` are renames that are not recorded yet."""
    if renamed is not None or not _are_plain(before, after):
        return _pair(before, after, renamed)
    known = before.amounts.pairs
    key = (before.ref, after.ref)
    if key not in known:
        known[key] = _pair(before, after, None)
    made = known[key]
    assert isinstance(made, views.PairView)
    return made


def _are_plain(before: State, after: State) -> bool:
    """Whether two states are all that their references say, of one workspace."""
    shown = before.label == before.ref.label and after.label == after.ref.label
    return shown and before.amounts is after.amounts and not before.choices and not after.choices


def _pair(before: State, after: State, renamed: Mapping[str, str] | None) -> views.PairView:
    step = step_between(before, after, renamed)
    judged = _judged(step)
    readings = Readings(step)
    return views.PairView(
        before=str(before),
        after=str(after),
        pairing=tuple(views.PairingView(before=p.before, after=p.after, by=p.by) for p in step.pairing.pairs),
        changes=tuple(change_view(change, step, judged, readings) for change in step.changes),
        totals=_totals(step),
        weighed_g=_weighed(before, after),
        measured=readings.unclaimed,
        todo=work(before, after, step),
        hints=tuple(views.HintView(before=h.before, after=h.after, why=h.why) for h in step.pairing.hints),
        missing_mass=step.mass.missing,
        siblings=step.are_siblings,
        serviceable=serviceable(step),
    )


# --- one change ------------------------------------------------------------------------------------------

Judged = Mapping[str, Evidence]


def _judged(step: Step) -> Judged:
    """What failures say of each change of a step between builds of one design."""
    if step.are_siblings or step.before.workspace is not step.after.workspace:
        return {}
    judge = judge_of(step.after.workspace)
    changed = _as_changed(step, judge)
    answers = ((change.id, judge.of_change(change, changed)) for change in step.changes)
    return {id_: answer for id_, answer in answers if answer is not None}


def _as_changed(step: Step, judge: Judge) -> ChangedStep:
    """The step as judging sees it, with the notes of all builds on the way."""
    return judge.steps.between(step.before.ref, step.after.ref, step.pairing.renames, step.notes)


def change_view(change: Change, step: Step, judged: Judged, readings: Readings) -> views.ChangeView:
    """One change with its effects and evidence."""
    share = step.mass.shares[change.id]
    evidence = judged.get(change.id)
    said = (() if evidence is None else (evidence_view(evidence),)) + readings.of_change(change)
    access = {way.ref: way for way in step.ways if way.is_changed and change.id in way.touched_by}
    gaps = {name: gap.shares[change.id] for name, gap in step.gaps.items() if change.id in gap.shares}
    arithmetic = share.mass_g is not None or gaps or access
    return views.ChangeView(
        id=change.id,
        where=change.where,
        kind=change.kind,
        from_=change.before,
        to=change.after,
        text=_text(change, step),
        notes=tuple(_note(note) for note in step.notes_of(change)),
        described_better=step.is_described_better(change),
        effect=views.EffectView(
            mass_g=share.mass_g,
            gaps_mm=gaps,
            access={
                ref: views.BeforeAfter(
                    screws=(way.before.screws, way.after.screws),
                    seconds=(way.before.seconds, way.after.seconds),
                )
                for ref, way in access.items()
            },
        ),
        factors_g=share.factors_g,
        evidence=said,
        verdict=evidence.judged.verdict if evidence is not None else WORKED_OUT if arithmetic else None,
        delivered=delivered(change, step, evidence),
        design=step.after.ref.design,
    )


def _text(change: Change, step: Step) -> str:
    """A change in words; siblings do not rename each other's things."""
    if change.kind == "module swapped":
        return change.text + _grown(change, step)
    if not step.are_siblings or change.kind != "part renamed":
        return change.text
    by = next((pair.by for pair in step.pairing.pairs if pair.after == change.where), "name")
    return f"{change.before} of {step.before.ref.design} answers to {change.after}, by {by}"


def _grown(change: Change, step: Step) -> str:
    """That a module grew out of the one it stands for: other robots' steps between the two are not pooled."""
    use = next((edit for edit in change.edits if edit.leaf[2:] == ("use",)), None)
    if use is None or not isinstance(use.before, BuildRef) or not isinstance(use.after, BuildRef):
        return ""
    parent = step.after.workspace.lookup(use.after).design.from_
    if parent is None or parent.design != use.before.design:
        return ""
    return f"; {use.after.design} grew from {parent}, and is judged in this robot alone"


def _note(note: ChangeNote) -> views.NoteView:
    return views.NoteView(
        why=note.why,
        aim=note.aim,
        for_=note.for_,
        expect={f"{e.figure} {e.about}": expected_text(e) for e in note.expect},
    )


def expected_text(expectation: object) -> str:
    """`at most 60 s`, `less`."""
    from lineage.spec.records import Expectation  # noqa: PLC0415

    assert isinstance(expectation, Expectation)
    value = "" if expectation.value is None else f" {expectation.value.text}"
    return f"{expectation.relation}{value}"


def evidence_view(evidence: Evidence) -> views.EvidenceView:
    """What failures say, as an answer."""
    comparison = evidence.judged.comparison
    return views.EvidenceView(
        figure="failures",
        counting="bout",
        before={"failures": comparison.before.count, "exposure": comparison.before.of},
        after={"failures": comparison.after.count, "exposure": comparison.after.of},
        ratio=comparison.ratio,
        odds_ratio=comparison.odds_ratio,
        difference=None,
        interval95=comparison.interval95,
        p_value=comparison.p_value,
        method="exact conditional (hypergeometric), strata by robot, central 95 % limits",
        strata=tuple(
            views.StratumView(
                design=design,
                before={"failures": s.before.count, "exposure": s.before.of},
                after={"failures": s.after.count, "exposure": s.after.of},
            )
            for design, s in zip(evidence.designs, comparison.strata, strict=True)
        ),
        others=evidence.others,
        luck=evidence.judged.luck,
        to_settle=evidence.to_settle,
        verdict=evidence.judged.verdict,
        text=evidence.text,
        circumstances=evidence.circumstances,
        after_bad_run=evidence.after_bad_run,
        pull_apart=evidence.judged.pull_apart,
        unmatched=evidence.judged.unmatched,
    )


# --- the whole pair --------------------------------------------------------------------------------------


def _totals(step: Step) -> views.TotalsView:
    mass = step.mass
    return views.TotalsView(
        mass_g=views.Totals(before=mass.before_g, after=mass.after_g, change=mass.after_g - mass.before_g),
        gaps_mm={name: _gap_total(gap) for name, gap in step.gaps.items()},
        access={
            way.ref: views.BeforeAfter(
                screws=(way.before.screws, way.after.screws), seconds=(way.before.seconds, way.after.seconds)
            )
            for way in step.ways
        },
    )


def _gap_total(gap: Gap) -> views.Totals:
    known = gap.before is not None and gap.after is not None
    change = gap.after - gap.before if known else None  # type: ignore[operator]
    return views.Totals(before=gap.before, after=gap.after, change=change)


def _weighed(before: State, after: State) -> views.WeighedView | None:
    old = before.amounts.measured(before.ref, before.choices)
    new = after.amounts.measured(after.ref, after.choices)
    if old is None or new is None:
        return None
    change = value_u(new.mass.minus(old.mass))
    assert change is not None
    return views.WeighedView(
        before=ValueU(old.mass.value, old.mass.u), after=ValueU(new.mass.value, new.mass.u), change=change
    )


def changes_since(before: BuildRef, after: State) -> Iterator[views.ChangeView]:
    """The changes from a build to a later state of the same design, as in a comparison."""
    yield from pair(State(after.amounts, before), after).changes
