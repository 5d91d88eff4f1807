"""In how many of the bouts a thing failed, with exact limits."""

from lineage.reports import said
from lineage.reports.charts.pictures import LEFT, RIGHT, Picture, Span, row, sentence
from lineage.reports.charts.scales import Scale, Tick
from lineage.reports.views.card import Card

MOST = 12


def failures_by_thing(card: Card, name: str = "failures") -> Picture | None:
    """The share of bouts with its 95 % limits, thing by thing; None where nothing failed."""
    failed = [item for item in card.failures.items if item.share is not None][:MOST]
    if not failed:
        return None
    scale = Scale(low=0, high=100, left=LEFT, right=RIGHT)
    rows = []
    for item in failed:
        assert item.share is not None
        span = Span(
            low=scale.at(100 * item.share.low),
            high=scale.at(100 * item.share.high),
            at=scale.at(100 * item.share.value),
        )
        rows.append(row(f"{item.at}: {item.mode}", f"{item.count} of {card.failures.bouts}", span))
    ticks = tuple(Tick(scale.at(share), f"{share}") for share in (0, 20, 40, 60, 80, 100))
    told = [
        f"{r.full} {r.figure}, {said.share_limits(i.share.low, i.share.high)}"
        for r, i in zip(rows, failed, strict=True)
        if i.share is not None
    ]
    return Picture(
        name=name,
        title="Share of bouts in which it failed, with exact 95 % limits",
        said=sentence(told),
        rows=tuple(rows),
        uprights=(),
        ticks=ticks,
        unit="%",
    )
