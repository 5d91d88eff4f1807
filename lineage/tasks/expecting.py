"""What was expected of a change when it was recorded, and what came of it."""

from collections.abc import Mapping
from statistics import fmean

from lineage.changes.ops import Change
from lineage.evidence.bouts import same_mode
from lineage.evidence.verdicts import HELPED, MADE_IT_WORSE
from lineage.reports.views.compare import DeliveredView
from lineage.spec.records import BenchReading, Expectation, GapReading, ServiceReading
from lineage.tasks.differing import Step
from lineage.tasks.judging import Evidence
from lineage.tasks.running import build_of_result
from lineage.tasks.states import State

_KINDS = {"seconds": ServiceReading, "gap": GapReading, "reading": BenchReading}


def delivered(change: Change, step: Step, evidence: Evidence | None) -> Mapping[str, DeliveredView]:
    """Figure → expected, got, and whether it was kept; None where nobody can tell yet."""
    return {
        f"{expectation.figure} {expectation.about}": _one(expectation, step, evidence)
        for note in step.notes_of(change)
        for expectation in note.expect
    }


def _one(expectation: Expectation, step: Step, evidence: Evidence | None) -> DeliveredView:
    value = "" if expectation.value is None else f" {expectation.value.text}"
    expected = f"{expectation.relation}{value}"
    if expectation.figure == "failures":
        return _by_verdict(expectation, expected, evidence)
    before, after = _measured(expectation, step.before), _measured(expectation, step.after)
    got = None if after is None else f"{after:g}"
    return DeliveredView(expected=expected, got=got, kept=_kept(expectation, before, after))


def _by_verdict(expectation: Expectation, expected: str, evidence: Evidence | None) -> DeliveredView:
    if evidence is None:
        return DeliveredView(expected=expected, got=None, kept=None)
    verdict, after = evidence.judged.verdict, evidence.judged.comparison.after
    kept: bool | None = None
    if expectation.relation == "none":
        kept = False if after.count else None
    elif verdict in {HELPED, MADE_IT_WORSE}:
        kept = (verdict == HELPED) == (expectation.relation == "less")
    return DeliveredView(expected=expected, got=f"{after} ({verdict})", kept=kept)


def _kept(expectation: Expectation, before: float | None, after: float | None) -> bool | None:
    if after is None:
        return None
    limit = None if expectation.value is None else expectation.value.value
    if expectation.relation == "none":
        return after == 0
    if limit is not None:
        return after <= limit if expectation.relation == "at most" else after >= limit
    if before is None or before == after:
        return None
    return (after < before) == (expectation.relation == "less")


def _measured(expectation: Expectation, state: State) -> float | None:
    """The latest measured value of a figure of a build."""
    build = state.build
    if build is None:
        return None
    found = []
    for result in state.workspace.results(state.ref.design):
        if not isinstance(result, ServiceReading | GapReading | BenchReading):
            continue
        is_meant = isinstance(result, _KINDS[expectation.figure]) and same_mode(result.of) == same_mode(
            expectation.about
        )
        if is_meant and build_of_result(state.workspace, result).label == build.label:
            found.append(result)
    if not found:
        return None
    latest = max(enumerate(found), key=lambda pair: (str(pair[1].on), pair[0]))[1]
    return fmean(quantity.value for quantity in latest.is_)
