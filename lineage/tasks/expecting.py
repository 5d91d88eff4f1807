"""What was expected of a change when it was recorded, and what came of it."""

from collections.abc import Mapping, Sequence
from statistics import fmean

from lineage.changes.ops import Change
from lineage.evidence.bouts import same_mode
from lineage.evidence.exact import Counts
from lineage.evidence.readings import difference, log_ratio, side_of, verdict_of_difference, verdict_of_trials
from lineage.evidence.verdicts import HELPED, MADE_IT_WORSE, Verdict
from lineage.reports.views.compare import DeliveredView
from lineage.spec.records import (
    BenchReading,
    Better,
    ChangeNote,
    Expectation,
    GapReading,
    Result,
    ServiceReading,
    Trial,
)
from lineage.tasks.differing import Step
from lineage.tasks.judging import Evidence
from lineage.tasks.readings import readings_of
from lineage.tasks.running import build_of_result
from lineage.tasks.states import State

Read = ServiceReading | GapReading | BenchReading | Trial


def _read_as(expectation: Expectation, result: Result) -> str | None:
    """The name that a result of the expected kind goes by; None for one of another kind."""
    if expectation.figure == "seconds":
        return result.of if isinstance(result, ServiceReading) else None
    if expectation.figure == "gap":
        return result.of if isinstance(result, GapReading) else None
    return result.of if isinstance(result, BenchReading | Trial) else None


def delivered(change: Change, step: Step, evidence: Evidence | None) -> Mapping[str, DeliveredView]:
    """Figure → expected, got, and whether it was kept; None where nobody can tell yet."""
    return outcomes(step.notes_of(change), step.before, step.after, evidence)


def outcomes(
    notes: Sequence[ChangeNote], before: State, after: State, evidence: Evidence | None
) -> Mapping[str, DeliveredView]:
    """What came of the expectations of some notes on one change between two states."""
    return {
        f"{expectation.figure} {expectation.about}": _one(expectation, before, after, evidence)
        for note in notes
        for expectation in note.expect
    }


def _one(expectation: Expectation, old: State, new: State, evidence: Evidence | None) -> DeliveredView:
    value = "" if expectation.value is None else f" {expectation.value.text}"
    expected = f"{expectation.relation}{value}"
    if expectation.figure == "failures":
        return _by_verdict(expectation, expected, evidence)
    before, after = _latest(expectation, old), _latest(expectation, new)
    return DeliveredView(
        expected=expected,
        got=None if after is None else f"{_value(after):g}",
        kept=None if after is None else _kept(expectation, before, after),
    )


def _by_verdict(expectation: Expectation, expected: str, evidence: Evidence | None) -> DeliveredView:
    if evidence is None:
        return DeliveredView(expected=expected, got=None, kept=None)
    verdict, after = evidence.judged.verdict, evidence.judged.comparison.after
    return DeliveredView(
        expected=expected, got=f"{after} ({verdict})", kept=_kept_failures(expectation, verdict, after)
    )


def _kept_failures(expectation: Expectation, verdict: Verdict, after: Counts) -> bool | None:
    """By the counts where a number or none was expected, else by the verdict; None while neither can tell."""
    if expectation.value is not None:
        if not after.of:
            return None
        got = after.count / after.of if expectation.value.dimension == "share" else float(after.count)
        return _within(expectation, got)
    if expectation.relation == "none":
        return False if after.count else True if verdict == HELPED else None
    if verdict in {HELPED, MADE_IT_WORSE}:
        return (verdict == HELPED) == (expectation.relation == "less")
    return None


def _within(expectation: Expectation, got: float) -> bool:
    assert expectation.value is not None
    limit = expectation.value.value
    return got <= limit if expectation.relation == "at most" else got >= limit


def _kept(expectation: Expectation, before: Read | None, after: Read) -> bool | None:
    """By the measured value where a number or none was expected, else by what the readings can tell apart."""
    if expectation.relation == "none":
        return _value(after) == 0
    if expectation.value is not None:
        return _within(expectation, _value(after))
    verdict = None if before is None else _verdict(expectation, before, after)
    return verdict == HELPED if verdict in {HELPED, MADE_IT_WORSE} else None


def _verdict(expectation: Expectation, before: Read, after: Read) -> Verdict | None:
    """Whether the readings went the way that was expected, as readings are judged everywhere."""
    better: Better = "less" if expectation.relation == "less" else "more"
    if isinstance(before, Trial) and isinstance(after, Trial):
        return verdict_of_trials(
            Counts(before.passed, before.tries), Counts(after.passed, after.tries), better
        )
    if isinstance(before, Trial) or isinstance(after, Trial):
        return None
    sides = side_of(readings_of(before.is_)), side_of(readings_of(after.is_))
    found = log_ratio(*sides) if isinstance(after, ServiceReading) else difference(*sides)
    return verdict_of_difference(found, better)


def _value(read: Read) -> float:
    """The measured value: the mean of the readings, of a trial the share that passed."""
    if isinstance(read, Trial):
        return read.passed / read.tries
    return fmean(quantity.value for quantity in read.is_)


def _latest(expectation: Expectation, state: State) -> Read | None:
    """The latest result about a figure of a build."""
    build = state.build
    if build is None:
        return None
    found = []
    for result in state.workspace.results(state.ref.design):
        of = _read_as(expectation, result)
        if of is None or same_mode(of) != same_mode(expectation.about):
            continue
        resolved = build_of_result(state.workspace, result)
        if resolved.is_certain and resolved.label == build.label:
            assert isinstance(result, ServiceReading | GapReading | BenchReading | Trial)
            found.append(result)
    return max(enumerate(found), key=lambda pair: (str(pair[1].on), pair[0]))[1] if found else None
