"""The history of a design as terminal text: a line of figures a build, then what each did."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.text.compare import changes_text
from lineage.reports.text.layout import heading, safe, table, wrapped
from lineage.reports.views.family import GrewView
from lineage.reports.views.history import History, StepView


def history_text(view: History) -> str:
    """The whole history."""
    return "\n\n".join(block for block in _blocks(view) if block) + "\n"


def _blocks(view: History) -> Iterator[str]:
    title = f"{view.design}  {safe(view.title)}" if view.title else view.design
    lines = [heading(title), view.now or "no working file"]
    if view.grew is not None:
        lines.append(grew_text(view.grew))
    yield "\n".join(lines)
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


def grew_text(grew: GrewView) -> str:
    """`grew from turnstone@A, when turnstone was at B`."""
    sibling = grew.build.partition("@")[0]
    had = f", when {sibling} was at {grew.newer[-1]}" if grew.newer else ""
    return f"grew from {grew.build}{had}"


def _step(step: StepView) -> str:
    lines = [heading(f"{step.label}, {step.on}{_made_from(step)}")]
    if step.problem:
        lines.append(wrapped(f"cannot be read: {safe(step.problem)}", "  ", ""))
    lines += [wrapped(f"why: {safe(why)}") for why in step.why]
    real = [change for change in step.changes if not change.described_better]
    lines += changes_text(real, step.why if len(step.why) == 1 else ())
    better = list(dict.fromkeys(change.where for change in step.changes if change.described_better))
    if better:
        lines.append(wrapped(f"only described better: {', '.join(better)}", "  ", ""))
    lines += [
        wrapped(
            f"snag while {snag.during}: {safe(snag.at or '')} {safe(snag.mode)}, {said.duration(snag.cost_s)}",
            "  ",
        )
        for snag in step.snags
    ]
    for lesson in step.learned:
        how = "answers" if lesson.answers else "taught"
        lines.append(wrapped(f"{how} {lesson.lesson}: {safe(lesson.title)} ({lesson.state})", "      ", "  "))
    return "\n".join(lines)


def _made_from(step: StepView) -> str:
    """The build that it was made from; of a branch what else was."""
    if not step.before:
        return ""
    if step.beside:
        return f" (a branch from {step.before}, beside {', '.join(step.beside)})"
    return f" (after {step.before})"
