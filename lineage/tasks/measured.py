"""Readings, trials, timed services and gaps of two builds beside each other, and which change they belong to."""

from collections.abc import Iterator, Mapping
from math import log

from msgspec.structs import replace

from lineage.changes.ops import Change
from lineage.evidence.bouts import same_mode
from lineage.evidence.exact import Counts, Stratum, compare_counts
from lineage.evidence.readings import (
    Difference,
    Side,
    difference,
    log_ratio,
    side_of,
    verdict_of_difference,
    verdict_of_gap,
    verdict_of_trials,
)
from lineage.evidence.sentences import sentence_for_difference, sentence_for_gap, sentence_for_trials
from lineage.evidence.verdicts import Verdict
from lineage.figures.fits import meets, need_limits_mm
from lineage.reports.views import compare as views
from lineage.spec.records import BenchReading, GapReading, Result, ServiceReading, Trial
from lineage.tasks.differing import Step
from lineage.tasks.readings import readings_of
from lineage.tasks.running import build_of_result
from lineage.tasks.states import State
from lineage.tasks.steps import with_head


class Readings:
    """What was read on both sides of a step, the latest of each build."""

    def __init__(self, step: Step) -> None:
        self.step = step
        self.before = _renamed(_latest(step.before), step.pairing.names_before)
        self.after = _latest(step.after)
        self._claimed: set[tuple[str, str]] = set()
        self._owners = {key: tuple(self._owners_of(key)) for key in self._keys()}

    def _keys(self) -> Iterator[tuple[str, str]]:
        if not self.step.are_siblings:
            yield from dict.fromkeys([*self.before, *self.after])

    def _owners_of(self, key: tuple[str, str]) -> Iterator[str]:
        """Ids of the changes that a reading belongs to."""
        kind, of = key
        for change in self.step.changes:
            if kind in {"bench", "trial"}:
                meant = {same_mode(text) for note in self.step.notes_of(change) for text in note.for_}
                if same_mode(of) in meant:
                    yield change.id
            elif kind == "gap":
                gap = self.step.gaps.get(of)
                if gap is not None and change.id in gap.shares:
                    yield change.id
            elif any(way.ref == of and change.id in way.touched_by for way in self.step.ways):
                yield change.id

    def of_change(self, change: Change) -> tuple[views.EvidenceView, ...]:
        """Evidence from what was read, for one change."""
        keys = [key for key, owners in self._owners.items() if change.id in owners]
        return tuple(self._evidence(key, change.id) for key in keys)

    @property
    def unclaimed(self) -> tuple[views.EvidenceView, ...]:
        """What was read on both sides and belongs to no change."""
        return tuple(
            self._evidence(key, None)
            for key, owners in self._owners.items()
            if not owners and key in self.before and key in self.after
        )

    def _evidence(self, key: tuple[str, str], change: str | None) -> views.EvidenceView:
        old, new = self.before.get(key), self.after.get(key)
        others = {o.id: o.text for o in self.step.changes if o.id in self._owners[key] and o.id != change}
        if change is None:
            others = {}
        if key[0] == "trial":
            return _trial(key[1], old, new, others)
        if key[0] == "gap" and self.step.gaps.get(key[1]) is not None:
            return self._gap(key[1], old, new, others)
        return _reading(key, old, new, others)

    def _gap(
        self, fit: str, old: Result | None, new: Result | None, others: Mapping[str, str]
    ) -> views.EvidenceView:
        """A gap is arithmetic until both builds were measured; then it is asked whether its need came to be met."""
        sides = _side(old), _side(new)
        specs = self.step.before.spec.design.fits, self.step.after.spec.design.fits
        met = [
            None if side is None or fit not in fits else meets(side.value, need_limits_mm(fits[fit].need))
            for side, fits in zip(sides, specs, strict=True)
        ]
        verdict = verdict_of_gap(difference(*sides), met_before=met[0], met_after=met[1])
        gap = self.step.gaps[fit]
        told = sentence_for_gap(sides, met, (gap.before, gap.after), verdict, others=tuple(others.values()))
        read = _reading(("gap", fit), old, new, others)
        return replace(read, verdict=verdict, text=f"{fit}: {told}")


def _renamed(
    found: Mapping[tuple[str, str], Result], names: Mapping[str, str]
) -> Mapping[tuple[str, str], Result]:
    """Timed services under the names that their things have in the second state."""
    return {(kind, with_head(of, names) if kind == "service" else of): r for (kind, of), r in found.items()}


def _latest(state: State) -> Mapping[tuple[str, str], Result]:
    """The latest result of each kind and name of a build."""
    build, found = state.build, {}
    if build is None:
        return {}
    for result in sorted(state.workspace.results(state.ref.design), key=lambda r: str(r.on)):
        if not isinstance(result, BenchReading | Trial | GapReading | ServiceReading):
            continue
        resolved = build_of_result(state.workspace, result)
        if resolved.is_certain and resolved.label == build.label:
            found[_kind(result), result.of] = result
    return found


def _kind(result: Result) -> str:
    kinds = {BenchReading: "bench", Trial: "trial", GapReading: "gap", ServiceReading: "service"}
    return kinds[type(result)]


def _trial(of: str, old: Result | None, new: Result | None, others: Mapping[str, str]) -> views.EvidenceView:
    before, after = _counts(old), _counts(new)
    better = getattr(new or old, "better", None)
    comparison = compare_counts([Stratum(before, after)])
    verdict = verdict_of_trials(before, after, better)
    return views.EvidenceView(
        figure=f"trial {of}",
        counting=None,
        before=None if old is None else {"passed": before.count, "tries": before.of},
        after=None if new is None else {"passed": after.count, "tries": after.of},
        ratio=comparison.ratio,
        odds_ratio=comparison.odds_ratio,
        difference=None,
        interval95=comparison.interval95,
        p_value=comparison.p_value,
        method="exact conditional (hypergeometric), central 95 % limits",
        strata=(),
        others=tuple(others),
        luck=None,
        to_settle=None,
        verdict=verdict,
        text=f"{of}: {sentence_for_trials(comparison, verdict, others=tuple(others.values()))}",
    )


def _counts(result: Result | None) -> Counts:
    return Counts(result.passed, result.tries) if isinstance(result, Trial) else Counts(0, 0)


def _reading(
    key: tuple[str, str], old: Result | None, new: Result | None, others: Mapping[str, str]
) -> views.EvidenceView:
    kind, of = key
    before, after = _side(old), _side(new)
    found = log_ratio(before, after) if kind == "service" else difference(before, after)
    verdict = _verdict(kind, found, (old, new), (before, after))
    unit = _unit(new or old)
    text = sentence_for_difference(
        before, after, found, verdict, unit=unit, as_ratio=kind == "service", others=tuple(others.values())
    )
    return views.EvidenceView(
        figure=f"{'reading' if kind == 'bench' else kind} {of}",
        counting=None,
        before=_side_view(before),
        after=_side_view(after),
        ratio=None,
        odds_ratio=None,
        difference=None if before is None or after is None else _difference(kind, before, after, found),
        interval95=None if found is None else found.interval95,
        p_value=None,
        method="difference of means" if kind != "service" else "logarithm of the ratio of means",
        strata=(),
        others=tuple(others),
        luck=None,
        to_settle=None,
        verdict=verdict,
        text=f"{of}: {text}",
    )


def _difference(kind: str, before: Side, after: Side, found: Difference | None) -> float | None:
    """After less before, of times the logarithm of their ratio; None where a time is not above 0."""
    if found is not None:
        return found.value
    if kind != "service":
        return after.value - before.value
    return log(after.value / before.value) if before.value > 0 and after.value > 0 else None


def _verdict(
    kind: str,
    found: Difference | None,
    results: tuple[Result | None, Result | None],
    sides: tuple[Side | None, Side | None],
) -> Verdict:
    (old, new), (before, after) = results, sides
    if before is None:
        return "nothing to compare with"
    if after is None:
        return "not tried yet"
    if kind == "service":
        return verdict_of_difference(found, "less")
    better = getattr(new, "better", None) or getattr(old, "better", None)
    return verdict_of_difference(found, better)


def _side(result: Result | None) -> Side | None:
    readings = getattr(result, "is_", None)
    return None if readings is None else side_of(readings_of(readings))


def _side_view(side: Side | None) -> Mapping[str, float | int | None] | None:
    return None if side is None else {"n": side.n, "value": side.value, "u": side.u}


def _unit(result: Result | None) -> str:
    if isinstance(result, ServiceReading):
        return "s"
    if isinstance(result, GapReading):
        return "mm"
    readings = getattr(result, "is_", ())
    return _BASE.get(readings[0].dimension, "") if readings else ""


_BASE = {
    "mass": "g", "force": "N", "length": "mm", "time": "s", "speed": "m/s", "current": "A", "voltage": "V",
    "temperature": "°C", "rotation": "rpm", "energy": "J", "power": "W", "angle": "°", "torque": "Nm",
    "charge": "Ah", "pressure": "Pa",
}  # fmt: skip
