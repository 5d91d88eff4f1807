"""Siblings side by side as a page: alike, done otherwise, only in one, and what moving on would bring."""

from collections.abc import Iterator, Mapping, Sequence

from lineage.reports import said
from lineage.reports.pages.changes import change_entries
from lineage.reports.pages.records import Fold, Line, Section
from lineage.reports.pages.tables import Content, Head, Linked, Table, table
from lineage.reports.views.compare import (
    ChangeView,
    LagView,
    ModuleStepView,
    OneThingView,
    OtherwiseView,
    PairView,
    SiblingsView,
)

_HOW = {"name": "", "lineage": "the same module", "role": "the same role"}


def by_thing(pair: PairView, name: str) -> list[Section]:
    """The things of two siblings; none where they are laid out change by change."""
    things = pair.by_thing
    if things is None:
        return []
    changes = {change.id: change for change in pair.changes}
    return [
        Section(
            title="Alike in both",
            name=f"{name}-alike",
            items=(", ".join(map(_names, things.alike)),) if things.alike else (),
        ),
        Section(
            title="The same idea, done otherwise",
            name=f"{name}-otherwise",
            tables=_tables(_otherwise(pair, things, changes)),
        ),
        Section(
            title="Only in one of the two",
            name=f"{name}-alone",
            tables=_tables(
                _alone(pair.before, things.only_before),
                _alone(pair.after, things.only_after),
            ),
        ),
        Section(
            title="Otherwise",
            name=f"{name}-whole",
            items=tuple(_one_line(changes[id_]) for id_ in things.whole),
        ),
    ]


def every_change(pair: PairView, changes: Sequence[ChangeView], prefix: str) -> tuple[Fold, ...]:
    """All changes between siblings, one click away: their things say the same sooner."""
    if pair.by_thing is None or not changes:
        return ()
    return (Fold(title="Every change, one by one", changes=change_entries(changes, prefix)),)


def _tables(*made: Table | None) -> tuple[Table, ...]:
    return tuple(one for one in made if one is not None)


def _otherwise(pair: PairView, things: SiblingsView, changes: Mapping[str, ChangeView]) -> Table | None:
    rows = [
        [
            _names(both),
            ", ".join(word for word in (both.idea, _HOW.get(both.by, "")) if word),
            _mass(both.mass_g[0]),
            _mass(both.mass_g[1]),
            " → ".join(map(_share, both.of_limit)) if both.of_limit != (None, None) else "",
            "; ".join(_one_line(changes[id_]).removeprefix(f"{both.after}: ") for id_ in both.changes),
        ]
        for both in things.otherwise
    ]
    heads = [Head("thing", "ref"), Head("is"), Head(pair.before, "figure", "g"), Head(pair.after, "figure", "g"),
             Head("of the limit", "word"), Head("how they differ")]  # fmt: skip
    return table("Each does it its own way", heads, rows)


def _alone(state: str, things: Sequence[OneThingView]) -> Table | None:
    rows = [
        [thing.ref, thing.what, _mass(thing.mass_g), _share(thing.of_limit)]
        for thing in sorted(things, key=lambda thing: -(thing.mass_g or 0.0))
    ]
    heads = [Head("thing", "ref"), Head("is"), Head("mass", "figure", "g"), Head("of the limit", "word")]
    return table(f"Only in {state}", heads, rows)


def _names(both: OtherwiseView) -> str:
    return both.before if both.before == both.after else f"{both.before} = {both.after}"


def _mass(mass_g: float | None) -> str:
    return "not in" if mass_g is None else said.grams_alone(mass_g)


def _share(share: float | None) -> str:
    return "" if share is None else said.percent(share)


def _one_line(change: ChangeView) -> str:
    mass = [f"mass {said.signed_grams(change.effect.mass_g)}"] if change.effect.mass_g else []
    gaps = [f"gap {fit} {said.signed_millimetres(gap)}" for fit, gap in change.effect.gaps_mm.items()]
    better = ["only described better"] if change.described_better else []
    return "; ".join([change.text, *mass, *gaps, *better])


# --- moving on -------------------------------------------------------------------------------------------


def moving_on(lags: Sequence[LagView]) -> Section:
    """What each that lags would get from a newer build of a module."""
    told: dict[tuple[str, str, str], str] = {}  # the same step is told once, for the first that lacks it
    return Section(
        title="What moving on would bring",
        name="moving-on",
        lines=tuple(line for lag in lags for line in _lag(lag)),
        tables=_tables(_steps([row for lag in lags for row in _step_rows(lag, told)])),
        method="lags" if lags else None,
    )


def _lag(lag: LagView) -> Iterator[Line]:
    builds = said.whole(len(lag.steps), "build") if lag.steps else "some builds"
    where = ", ".join(lag.places)
    yield Line(
        name=f"{lag.design}: {lag.module} at {where}",
        said=f"{builds} behind, {lag.label} → {lag.newest}",
        to=lag.design,
    )
    if lag.mass_g is not None:
        yield Line(
            name=f"mass of {lag.design} with {lag.module}@{lag.newest}",
            said=f"{said.signed_grams(lag.mass_g)} in all",
        )
    for name, gap in lag.gaps_mm.items():
        yield Line(
            name=f"gap {name} of {lag.design}",
            said=f"{said.millimetres(gap.before)} → {said.millimetres(gap.after)}",
        )
    if lag.misses:
        yield Line(name=f"{lag.design} would miss its need", said=", ".join(lag.misses), tone="bad")
    if all("." in place for place in lag.places):
        yield Line(name=f"{where} of {lag.design}", said="comes with a newer build of what it is in")


def _step_rows(lag: LagView, told: dict[tuple[str, str, str], str]) -> Iterator[list[Content]]:
    for step in lag.steps:
        name = Linked(f"{step.before} → {step.after}", f"{step.before} {step.after}")
        key = (lag.module, step.before, step.after)
        if key in told:
            yield [name, "", f"as under {told[key]}", "", ""]
            continue
        told[key] = lag.design
        yield [
            name,
            _piece(step),
            "; ".join(step.why),
            "; ".join(map(_one_line, step.changes)),
            _evidence(step),
        ]


def _piece(step: ModuleStepView) -> str:
    return "" if step.mass_g is None else said.signed_grams(step.mass_g)


def _evidence(step: ModuleStepView) -> str:
    own = [
        evidence.text for change in step.changes for evidence in change.evidence if evidence.counting is None
    ]
    return " ".join([*own, *(() if step.evidence is None else (step.evidence.text,))])


def _steps(rows: Sequence[Sequence[Content]]) -> Table | None:
    heads = [Head("build of the module"), Head("a piece", "figure", "g"), Head("why"), Head("what changed"),
             Head("did it help?")]  # fmt: skip
    return table("Builds that are lacking", heads, rows)
