"""A dimension chain as a ladder of arrows, and the gap it leaves with its ranges."""

from itertools import accumulate

from lineage.reports import said
from lineage.reports.charts.pictures import (
    INNER,
    LEFT,
    RIGHT,
    Arrow,
    Dot,
    Picture,
    Row,
    Span,
    bar,
    row,
    sentence,
    upright,
)
from lineage.reports.charts.scales import Scale, padded
from lineage.reports.views.card import FitView


def fit_ladder(
    fit_name: str, fit: FitView, number: int | str = 1, *, beside: FitView | None = None
) -> Picture | None:
    """Each dimension begins where the one before ends; what is left at the end is the gap. `beside` is a chain that
    is drawn beside it, to the same scale.

    The last rows show the gap alone, enlarged by the same scale as its need: None where nothing was worked out.
    """
    if fit.nominal_mm is None or not fit.contributors:
        return None
    ends = _ends(fit)
    at = ends[-1]
    scale = padded([*ends, *(_ends(beside) if beside is not None else ())], LEFT, RIGHT)
    rows = [
        row(
            term.ref,
            _term(term.coefficient, term.nominal_mm, term.tolerance_mm),
            Arrow(start=scale.at(start), end=scale.at(end)),
            link=scale.at(end),
        )
        for term, start, end in zip(fit.contributors, ends, ends[1:], strict=False)
    ]
    gap = bar(scale, 0, at, "solid" if at >= 0 else "hatch")
    rows.append(row("gap" if at >= 0 else "overlap", said.millimetres(fit.nominal_mm), gap, strong=True))
    return Picture(
        name=f"chain-{number}",
        title=f"Chain of {fit_name}",
        said=sentence([f"{r.full} {r.figure}" for r in rows]),
        rows=tuple(rows),
        uprights=(),
        ticks=scale.ticks(),
        unit="mm",
    )


def _ends(fit: FitView) -> list[float]:
    """Where each dimension ends, laid off from 0."""
    return list(accumulate((term.coefficient * term.nominal_mm for term in fit.contributors), initial=0.0))


def gap_against_need(
    fit_name: str, fit: FitView, number: int | str = 1, *, beside: FitView | None = None
) -> Picture | None:
    """The gap with worst case, root sum square and what was measured, between the limits of its need."""
    if fit.nominal_mm is None:
        return None
    scale = padded([0.0, *_values(fit), *(_values(beside) if beside is not None else ())], LEFT, INNER)
    low, high = fit.need_mm
    lines = [] if low is None else [upright(scale, low, f"at least {low:g} mm", "limit")]
    lines += [] if high is None else [upright(scale, high, f"at most {high:g} mm", "limit")]
    rows = tuple(_ranges(fit, scale))
    return Picture(
        name=f"gap-{number}",
        title=f"Gap of {fit_name} against its need",
        said=sentence([f"{r.full} {r.figure}" for r in rows] + [line.label for line in lines]),
        rows=rows,
        uprights=tuple(lines),
        ticks=scale.ticks(),
        unit="mm",
    )


def _values(fit: FitView) -> list[float]:
    """Everything that is shown of a gap."""
    single = [fit.nominal_mm, *fit.need_mm, fit.measured_mm.value if fit.measured_mm is not None else None]
    return [v for v in (*single, *(fit.worst_mm or ()), *(fit.rss_mm or ())) if v is not None]


def _ranges(fit: FitView, scale: Scale) -> list[Row]:
    assert fit.nominal_mm is not None
    at = scale.at(fit.nominal_mm)
    rows = []
    for label, limits in (("worst case", fit.worst_mm), ("root sum square", fit.rss_mm)):
        if limits is not None:
            span = Span(low=scale.at(limits[0]), high=scale.at(limits[1]), at=at)
            rows.append(row(label, said.millimetre_range(limits), span))
    if not rows:
        rows.append(row("nominal", said.millimetres(fit.nominal_mm), Span(low=at, high=at, at=at)))
    if fit.measured_mm is not None:
        measured = Dot(at=scale.at(fit.measured_mm.value))
        rows.append(row("measured", said.figure_mm(fit.measured_mm), measured, strong=True))
    return rows


def _term(coefficient: float, nominal: float, tolerance: float | None) -> str:
    times = {1.0: "+", -1.0: "-"}.get(coefficient, f"{coefficient:+g} × ")
    within = "" if tolerance is None else f" ± {said.bare_mm(tolerance)}"
    return f"{times}{said.bare_mm(nominal)}{within} mm"
