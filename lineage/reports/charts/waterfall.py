"""The mass from one state to the next, change by change, and on to the scales where the robot was weighed."""

from collections.abc import Sequence

from lineage.reports import said
from lineage.reports.charts.pictures import LEFT, RIGHT, Dot, Mark, Picture, Row, bar, row, sentence
from lineage.reports.charts.scales import Scale, padded
from lineage.reports.views.compare import ChangeView, PairView
from lineage.reports.views.figures import ValueU

MOST = 14


def waterfall(pair: PairView, weighed: ValueU | None = None, number: int = 1) -> Picture | None:
    """Each change begins where the one before ended; what takes away is hatched. None where no mass changed.

    The axis does not begin at nothing: changes are small beside a robot.
    """
    before, after = pair.totals.mass_g.before, pair.totals.mass_g.after
    steps = _steps(pair.changes)
    if before is None or after is None or not steps:
        return None
    ends = [before]
    for _, mass in steps:
        ends.append(ends[-1] + mass)
    known = [*ends, after, *(() if weighed is None else (weighed.value,))]
    scale = padded(known, LEFT, RIGHT, 0.12)
    rows = [_level(pair.before, before, scale)]
    rows += [_step(name, start, mass, scale) for (name, mass), start in zip(steps, ends, strict=False)]
    rows.append(_level(pair.after, after, scale))
    if weighed is not None:
        missing = weighed.value - after
        rows.append(_step("in no spec: wire, tape, solder", after, missing, scale))
        rows.append(row("weighed", said.grams(weighed), Dot(at=scale.at(weighed.value)), strong=True))
    return Picture(
        name=f"waterfall-{number}",
        title="Mass, change by change; the axis does not begin at 0",
        said=sentence([f"{r.full} {r.figure}" for r in rows]),
        rows=tuple(rows),
        uprights=(),
        ticks=scale.ticks(),
        unit="g",
    )


def _steps(changes: Sequence[ChangeView]) -> list[tuple[str, float]]:
    """Changes with a mass, in their order, those beyond the largest few as one."""
    weighty = [
        (number, change.where, change.effect.mass_g)
        for number, change in enumerate(changes, 1)
        if change.effect.mass_g
    ]
    least = sorted((abs(mass) for *_, mass in weighty), reverse=True)[:MOST]
    floor = least[-1] if len(weighty) > MOST else 0.0
    named = [(number, where, mass) for number, where, mass in weighty if abs(mass) >= floor][:MOST]
    steps = [(f"{number} {where}", mass) for number, where, mass in named]
    rest = [mass for number, where, mass in weighty if (number, where, mass) not in named]
    if rest:
        steps.append((f"{said.whole(len(rest), 'smaller change')}", sum(rest)))
    return steps


def _level(name: str, mass: float, scale: Scale) -> Row:
    return row(
        name, said.grams_alone(mass), bar(scale, scale.low, mass, "open"), strong=True, link=scale.at(mass)
    )


def _step(name: str, start: float, mass: float, scale: Scale) -> Row:
    mark: Mark = bar(scale, start, start + mass, "solid" if mass >= 0 else "hatch")
    return row(name, said.signed_grams(mass), mark, link=scale.at(start + mass))
