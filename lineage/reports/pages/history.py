"""The builds of a design as a page."""

from collections.abc import Callable, Iterator, Sequence

from lineage.evidence.verdicts import WORKED_OUT
from lineage.reports import said
from lineage.reports.charts.over_builds import Panel, over_builds
from lineage.reports.pages.changes import change_entries
from lineage.reports.pages.lessons import lesson_tone
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Fold, Line, Page, Section, Verdict, filled, tables
from lineage.reports.pages.tables import Content, Head, Linked, Table, table
from lineage.reports.views.compare import ChangeView
from lineage.reports.views.family import GrewView
from lineage.reports.views.history import FiguresView, History, StepView


def history_page(view: History) -> Page:
    """The figures over the builds, then each build with its reasons and changes."""
    first = 1
    sections = [_figures(view)]
    for number, step in enumerate(view.steps, 1):
        real = [change for change in step.changes if not change.described_better]
        sections.append(_step(view.design, step, real, number, first))
        first += len(real)
    return Page(
        kind="History",
        title=view.design,
        block=tuple(_block(view)),
        verdict=_verdict(view),
        answers=tuple(_answers(view)),
        cautions=(),
        sections=filled(*sections),
        methods=METHODS,
    )


def _block(view: History) -> Iterator[Line]:
    yield Line(name="design", said=view.design)
    yield Line(name="builds", said=str(len(view.steps)))
    yield Line(name="working file", said=view.now or "none")
    if view.grew is not None:
        yield Line(name="grew from", said=grown_from(view.grew), to=view.grew.build)
    if view.title:
        yield Line(name="title", said=view.title)


def grown_from(grew: GrewView) -> str:
    """`turnstone@A, when turnstone was at B`."""
    sibling = grew.build.partition("@")[0]
    return f"{grew.build}, when {sibling} was at {grew.newer[-1]}" if grew.newer else grew.build


def _verdict(view: History) -> Verdict:
    if not view.steps:
        return Verdict(
            tone="open",
            word="No build yet",
            said="nothing is recorded",
            do=(f"lineage record {view.design} A records one.",),
        )
    last = view.steps[-1]
    now = {None: "there is no working file", "changed": "the working file has changed since"}.get(
        view.now, f"the working file is the {view.now}"
    )
    return Verdict(tone="open", word=f"{last.label} is the last build", said=f"recorded {last.on}; {now}")


def _answers(view: History) -> Iterator[Line]:
    if len(view.steps) < 2:
        return
    first, last = view.steps[0].figures, view.steps[-1].figures
    labels = f"{view.steps[0].label} → {view.steps[-1].label}"
    spoken: tuple[tuple[str, str, str], ...] = (
        ("mass", _or_nothing(first.mass_g, said.grams_alone), _or_nothing(last.mass_g, said.grams_alone)),
        (
            "slowest way in",
            _or_nothing(first.slowest_way_s, said.duration),
            _or_nothing(last.slowest_way_s, said.duration),
        ),
        (
            "least gap",
            _or_nothing(first.least_gap_mm, said.millimetres),
            _or_nothing(last.least_gap_mm, said.millimetres),
        ),
        ("bouts with a failure", _failed(first), _failed(last)),
    )
    for name, before, after in spoken:
        if before and after:
            yield Line(name=f"{name}, {labels}", said=f"{before} → {after}")


def _or_nothing(value: float | None, spoken: Callable[[float | None], str]) -> str:
    return "" if value is None else spoken(value)


def _failed(figures: FiguresView) -> str:
    share = figures.share_of_bouts_failed
    return "" if share is None else f"{round(share * figures.bouts)} of {figures.bouts}"


# --- over the builds -------------------------------------------------------------------------------------


def _figures(view: History) -> Section:
    rows: list[list[Content]] = [
        [
            Linked(step.label, f"{view.design}@{step.label}"),
            step.on,
            said.grams_alone(step.figures.mass_g),
            _or_nothing(step.figures.weighed_g, said.grams_alone),
            said.duration(step.figures.slowest_way_s),
            _or_nothing(step.figures.least_gap_mm, said.millimetres),
            _failed(step.figures) or "no bouts",
        ]
        for step in view.steps
    ]
    heads = [Head("build"), Head("recorded", "word"), Head("predicted", "figure", "g"),
             Head("weighed", "figure", "g"), Head("slowest way in", "word"),
             Head("least gap", "figure", "mm"), Head("bouts with a failure", "word")]  # fmt: skip
    return Section(
        title="Build by build",
        name="builds",
        tables=tables(table("Figures of every build", heads, rows)),
        panels=tuple(_panels(view.steps)),
        method="history",
    )


def _panels(steps: Sequence[StepView]) -> Iterator[Panel]:
    figures = [step.figures for step in steps]
    shares = [None if f.share_of_bouts_failed is None else 100 * f.share_of_bouts_failed for f in figures]
    drawn = (
        _panel("over-mass", "Mass predicted, g", steps, [f.mass_g for f in figures], 1),
        _panel("over-slowest", "Slowest way in, s", steps, [f.slowest_way_s for f in figures], 0),
        _panel("over-gap", "Least gap, mm", steps, [f.least_gap_mm for f in figures], 2),
        _panel("over-failed", "Bouts with a failure, %", steps, shares, 0),
    )
    yield from (panel for panel in drawn if panel is not None)


def _panel(
    name: str, title: str, steps: Sequence[StepView], values: Sequence[float | None], places: int
) -> Panel | None:
    words = [said.NOT_KNOWN if value is None else f"{value:.{places}f}" for value in values]
    return over_builds(name, title, [step.label for step in steps], values, words)


# --- one build -------------------------------------------------------------------------------------------


def _step(design: str, step: StepView, real: Sequence[ChangeView], number: int, first: int) -> Section:
    better = list(dict.fromkeys(change.where for change in step.changes if change.described_better))
    lines = [Line(name=f"{design}@{step.label}", said=f"recorded {step.on}", to=f"{design}@{step.label}")]
    if step.before:
        pair = f"{design}@{step.before} {design}@{step.label}"
        lines.append(Line(name="made from", said=step.before, to=pair))
    if step.beside:
        lines.append(Line(name="a branch, beside", said=", ".join(step.beside)))
    lines += [
        Line(
            name=f"{'answers' if lesson.answers else 'taught'} {lesson.lesson}: {lesson.title}",
            said=lesson.state,
            tone=lesson_tone(lesson.state),
        )
        for lesson in step.learned
    ]
    notes = [f"Cannot be read: {step.problem}"] if step.problem else []
    notes += step.why
    if better:
        notes.append(f"Only described better, not changed: {', '.join(better)}.")
    return Section(
        title=f"{step.label}, {step.on}",
        name=f"build-{number}",
        lines=tuple(lines),
        notes=tuple(notes),
        tables=tables(_changed(step, real, first), _snags(step)),
        folds=(Fold(title="Each change, with its evidence", changes=change_entries(real, "change", first)),)
        if real
        else (),
    )


def _changed(step: StepView, real: Sequence[ChangeView], first: int) -> Table | None:
    rows = [
        [
            f"{number}. {change.where}",
            change.text.removeprefix(f"{change.where}: "),
            said.NOT_KNOWN if change.effect.mass_g is None else _grams(change.effect.mass_g),
            "" if change.verdict in {None, WORKED_OUT} else change.verdict or "",
        ]
        for number, change in enumerate(real, first)
    ]
    heads = [Head("changed", "ref"), Head("what"), Head("mass", "figure", "g"), Head("did it help?")]
    return table(f"Changed since {step.before}", heads, rows)


def _grams(mass: float) -> str:
    return said.signed_grams(mass) if mass else ""


def _snags(step: StepView) -> Table | None:
    rows = [[s.mode, s.at or "", s.during, str(s.count), said.duration(s.cost_s)] for s in step.snags]
    heads = [Head("what"), Head("at", "ref"), Head("during"), Head("times", "figure"), Head("cost", "word")]
    return table("Snags", heads, rows)
