"""Odds ratios of several changes under each other, with their counts and exact limits."""

from collections.abc import Sequence

from lineage.reports import said
from lineage.reports.charts.pictures import LEFT, RIGHT, Picture, Row, Span, row, sentence, upright
from lineage.reports.charts.scales import Scale, Tick
from lineage.reports.views.compare import EvidenceView

FAR = 100.0


def forest(named: Sequence[tuple[str, EvidenceView]], number: int = 1) -> Picture | None:
    """One line a change, on a logarithmic axis; limits beyond it end in an arrow.

    What has no exposure on a side has no line and is left out; None where nothing is left.
    """
    scale = Scale(low=1 / FAR, high=FAR, left=LEFT, right=RIGHT, log=True)
    rows = [
        made
        for name, evidence in named
        if evidence.counting is not None and (made := _row(name, evidence, scale)) is not None
    ]
    if not rows:
        return None
    ticks = tuple(Tick(scale.at(odds), f"{odds:g}") for odds in (0.01, 0.1, 1.0, 10.0, 100.0))
    return Picture(
        name=f"forest-{number}",
        title="Odds of failing after against before, 95 % limits",
        said=sentence([f"{r.full} {r.figure}" for r in rows]),
        rows=tuple(rows),
        uprights=(upright(scale, 1.0, "no change", "nothing"),),
        ticks=ticks,
        unit="",
        left_word="fails less",
        right_word="fails more",
    )


def _row(name: str, evidence: EvidenceView, scale: Scale) -> Row | None:
    if evidence.interval95 is None:
        return None
    low, high = evidence.interval95
    ratio = evidence.odds_ratio
    span = Span(
        low=scale.at(low or 0.0),
        high=scale.at(FAR if high is None else high),
        at=scale.at(ratio) if ratio is not None and scale.has(ratio) else None,
        low_open=not low or low < scale.low,
        high_open=high is None or high > scale.high,
    )
    counts = f"{said.counts(evidence.before)} → {said.counts(evidence.after)}"
    return row(f"{name}: {evidence.verdict}", counts, span)
