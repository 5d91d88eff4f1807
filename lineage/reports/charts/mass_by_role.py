"""The mass of a build laid up role by role against its limit."""

from lineage.reports import said
from lineage.reports.charts.pictures import (
    INNER,
    LEFT,
    Dot,
    Picture,
    Row,
    Span,
    bar,
    row,
    sentence,
    upright,
)
from lineage.reports.charts.scales import Scale, round_up
from lineage.reports.views.card import Card


def mass_by_role(card: Card, name: str = "mass") -> Picture | None:
    """Each role begins where the one before ends, so that the last ends at what is predicted."""
    roles = sorted(card.weight.by_role_g.items(), key=lambda item: (-item[1], item[0]))
    whole = sum(mass for _, mass in roles)
    if not roles or whole <= 0:
        return None
    limit = None if card.class_ is None else card.class_.limit_g
    scale = Scale(low=0, high=_upper(card, whole, limit), left=LEFT, right=INNER)
    rows, laid = [], 0.0
    for role, mass in roles:
        end = laid + mass
        rows.append(row(role, said.grams_alone(mass), bar(scale, laid, end), link=scale.at(end)))
        laid = end
    rows += _whole(card, scale)
    lines = () if limit is None else (upright(scale, limit, f"limit {said.grams_alone(limit)}", "limit"),)
    return Picture(
        name=name,
        title="Mass by role, laid end to end",
        said=sentence([f"{r.full} {r.figure}" for r in rows] + [line.label for line in lines]),
        rows=tuple(rows),
        uprights=lines,
        ticks=scale.ticks(),
        unit="g",
    )


def _upper(card: Card, whole: float, limit: float | None) -> float:
    known = [f for f in (card.weight.predicted_g, card.weight.measured_g) if f is not None]
    return round_up(max(whole, limit or 0.0, *(f.value + 2 * (f.u or 0.0) for f in known)) * 1.03, 20)


def _whole(card: Card, scale: Scale) -> list[Row]:
    weight, rows = card.weight, []
    predicted = weight.predicted_g
    if predicted is not None:
        end = predicted.value
        spread = 2 * (predicted.u or 0.0)
        marks = [bar(scale, 0, end, "open")]
        span = Span(low=scale.at(end - spread), high=scale.at(end + spread), at=scale.at(end), sign="none")
        rows.append(row("predicted", said.grams(predicted), *marks, span, strong=True))
    if weight.measured_g is not None:
        at = scale.at(weight.measured_g.value)
        label = f"weighed {weight.measured_on}" if weight.measured_on else "weighed"
        rows.append(row(label, said.grams(weight.measured_g), Dot(at=at), strong=True))
    return rows
