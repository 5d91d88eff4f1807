"""The history of a design as terminal text: a line of figures a build, then what each did."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.text.compare import changes_text
from lineage.reports.text.layout import heading, safe, table, wrapped
from lineage.reports.views.history import History, StepView


def history_text(view: History) -> str:
    """The whole history."""
    return "\n\n".join(block for block in _blocks(view) if block) + "\n"


def _blocks(view: History) -> Iterator[str]:
    title = f"{view.design}  {safe(view.title)}" if view.title else view.design
    yield f"{heading(title)}\n{view.now or 'no working file'}"
    rows = [
        [
            step.label,
            step.on,
            said.grams_alone(step.figures.mass_g),
            "" if step.figures.weighed_g is None else said.grams_alone(step.figures.weighed_g),
            said.duration(step.figures.slowest_way_s),
            "" if step.figures.least_gap_mm is None else said.millimetres(step.figures.least_gap_mm),
            _failed(step),
        ]
        for step in view.steps
    ]
    head = ["build", "recorded", "predicted", "weighed", "slowest", "least gap", "bouts with a failure"]
    yield table(head, rows, "llrrrrr")
    for step in view.steps:
        yield _step(step)


def _failed(step: StepView) -> str:
    share = step.figures.share_of_bouts_failed
    if share is None:
        return "no bouts"
    return f"{round(share * step.figures.bouts)} of {step.figures.bouts}"


def _step(step: StepView) -> str:
    after = f" (after {step.before})" if step.before else ""
    lines = [heading(f"{step.label}, {step.on}{after}")]
    lines += [wrapped(f"why: {safe(why)}") for why in step.why]
    lines += changes_text([change for change in step.changes if not change.described_better])
    lines += [
        wrapped(
            f"snag while {snag.during}: {safe(snag.at or '')} {safe(snag.mode)}, {said.duration(snag.cost_s)}",
            "  ",
        )
        for snag in step.snags
    ]
    return "\n".join(lines)
