"""States side by side as terminal text: totals first, then each change with its share."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from lineage.reports import said
from lineage.reports.fit_words import serviceable_so
from lineage.reports.text.layout import heading, safe, table, wrapped
from lineage.reports.text.todo import work_blocks
from lineage.reports.views.card import Card
from lineage.reports.views.compare import (
    ChangeView,
    Compare,
    EvidenceView,
    HintView,
    LagView,
    ModuleStepView,
    OtherwiseView,
    PairView,
    SiblingsView,
)


def compare_text(view: Compare) -> str:
    """The whole comparison."""
    names = " · ".join(f"{card.design}@{card.build}" for card in view.designs)
    blocks = [heading(wrapped(names)), _beside(view.designs), *_roles(view.designs)]
    blocks += _shared(view)
    blocks += _behind(view)
    for pair in view.pairs:
        blocks += _pair(pair)
    return "\n\n".join(block for block in blocks if block) + "\n"


def _beside(cards: Sequence[Card]) -> str:
    rows = [
        ["build", *(card.build for card in cards)],
        ["predicted", *(said.grams(card.weight.predicted_g) for card in cards)],
        ["weighed", *(said.grams(card.weight.measured_g) for card in cards)],
        [
            "limit",
            *(said.NOT_KNOWN if c.class_ is None else said.grams_alone(c.class_.limit_g) for c in cards),
        ],
        ["margin", *(said.grams(card.weight.margin_g) for card in cards)],
    ]
    if len({card.design for card in cards}) > 1:
        rows.append(["share of limit", *(_of_limit(card) for card in cards)])
    rows += [
        ["slowest way in", *(_slowest(card) for card in cards)],
        ["least gap", *(_least_gap(card) for card in cards)],
        ["bouts", *(str(card.failures.bouts) for card in cards)],
    ]
    return table(["", *(card.design for card in cards)], rows, "l" + "R" * len(cards))


def _roles(cards: Sequence[Card]) -> Iterator[str]:
    """Mass by role; of robots of different limits the share of each one's own beside it."""
    if len({card.design for card in cards}) > 1:
        roles = dict.fromkeys(role for card in cards for role in card.weight.by_role_g)
        rows = [[role, *(_role(card, role) for card in cards)] for role in roles]
        head = [
            "",
            *(f"{card.design}@{card.build}" if _is_twice(card, cards) else card.design for card in cards),
        ]
        yield f"{heading('Mass by role, and share of the limit')}\n{table(head, rows, 'l' + 'R' * len(cards))}"


def _is_twice(card: Card, cards: Sequence[Card]) -> bool:
    return sum(other.design == card.design for other in cards) > 1


def _role(card: Card, role: str) -> str:
    mass = card.weight.by_role_g.get(role)
    if mass is None:
        return ""
    if card.class_ is None:
        return said.grams_alone(mass)
    return f"{said.grams_alone(mass)} {said.percent(mass / card.class_.limit_g)}"


def _of_limit(card: Card) -> str:
    if card.class_ is None or card.weight.predicted_g is None:
        return said.NOT_KNOWN
    return said.percent(card.weight.predicted_g.value / card.class_.limit_g)


def _slowest(card: Card) -> str:
    times = [(way.seconds.value, ref) for ref, way in card.access.items() if way.seconds is not None]
    if not times:
        return said.NOT_KNOWN
    seconds, ref = max(times)
    return f"{said.duration(seconds)} ({ref})"


def _least_gap(card: Card) -> str:
    gaps = [(fit.nominal_mm, name) for name, fit in card.fits.items() if fit.nominal_mm is not None]
    return f"{said.millimetres(min(gaps)[0])} ({min(gaps)[1]})" if gaps else said.NOT_KNOWN


def _shared(view: Compare) -> Iterator[str]:
    if len({card.design for card in view.designs}) < 2:
        return
    shared, rows = view.shared, []
    for module in shared.modules:
        builds = ", ".join(
            f"{design} {label}" for design, label in module.builds.items() if label is not None
        )
        rows.append([module.name, builds, ", ".join(module.lags)])
    if rows:
        yield f"{heading('Shared modules')}\n{table(['module', 'builds', 'lags'], rows, 'lwl')}"
    named = (("stock", shared.stock), ("bought", shared.items), ("plates of one drawing", shared.plates))
    lines = [wrapped(f"{name}: {safe(', '.join(found))}", "  ", "") for name, found in named if found]
    if lines:
        yield f"{heading('In all of them')}\n" + "\n".join(lines)


def _behind(view: Compare) -> Iterator[str]:
    """What each that lags would get from moving on."""
    if not view.shared.behind:
        return
    yield heading("What moving on would bring")
    steps: dict[tuple[str, str, str], str] = {}  # the same step is told once, for the first that lacks it
    for lag in view.shared.behind:
        yield "\n".join(lag_lines(lag, steps))


def lag_lines(lag: LagView, told: dict[tuple[str, str, str], str]) -> Iterator[str]:
    """One that lags, what it would come to, and each build that it lacks; `told` are steps told before."""
    builds = said.whole(len(lag.steps), "build") if lag.steps else "some builds"
    yield wrapped(
        f"{lag.module}: {lag.design} is {builds} behind ({lag.label} → {lag.newest}) at {', '.join(lag.places)}",
        "    ",
        "",
    )
    effects = [] if lag.mass_g is None else [f"mass {said.signed_grams(lag.mass_g)} in all"]
    effects += [
        f"{name} {said.millimetres(g.before)} → {said.millimetres(g.after)}"
        for name, g in lag.gaps_mm.items()
    ]
    if effects:
        yield wrapped("; ".join(effects), "      ", "    ")
    if lag.misses:
        yield wrapped(f"would miss its need: {', '.join(lag.misses)}", "      ", "    ")
    if all("." in place for place in lag.places):
        yield "    comes with a newer build of what it is in"
    for step in lag.steps:
        key = (lag.module, step.before, step.after)
        if key in told:
            yield f"    {step.before} → {step.after}: as under {told[key]}"
            continue
        told[key] = lag.design
        yield from step_lines(step)


def step_lines(step: ModuleStepView) -> Iterator[str]:
    """One build of a module against the one before: why, which changes, and what is known of them."""
    mass = "" if step.mass_g is None else f", mass {said.signed_grams(step.mass_g)} a piece"
    yield f"    {step.before} → {step.after}{mass}"
    yield from (wrapped(f"why: {safe(why)}", "        ", "      ") for why in step.why)
    for change in step.changes:
        yield wrapped(_one_line(change), "        ", "      ")
        yield from (wrapped(e.text, "        ", "        ") for e in change.evidence if e.counting is None)
    if step.evidence is not None:
        yield wrapped(step.evidence.text, "        ", "      ")


def _one_line(change: ChangeView) -> str:
    """A change with its effects in one paragraph."""
    said_of_it = "; ".join(_effects(change))
    better = ["only described better"] if change.described_better else []
    return "; ".join([safe(change.text), *([said_of_it] if said_of_it else []), *better])


def _pair(pair: PairView) -> Iterator[str]:
    lines = [f"mass {_total(pair.totals.mass_g.before, pair.totals.mass_g.after)}"]
    if pair.weighed_g is not None:
        lines.append(f"on the scales {said.grams(pair.weighed_g.change)} change")
    if pair.missing_mass:
        lines.append(wrapped("left out, no mass in both: " + ", ".join(pair.missing_mass)))
    for name, gap in pair.totals.gaps_mm.items():
        if gap.change:
            lines.append(f"gap {name} {said.millimetres(gap.before)} → {said.millimetres(gap.after)}")
    if pair.serviceable is not None:
        lines.append(wrapped(f"mending to expect {serviceable_so(pair.serviceable)}", "  ", ""))
    yield f"{heading(f'{pair.before} → {pair.after}')}\n" + "\n".join(lines)
    if pair.by_thing is not None:
        yield from _by_thing(pair, pair.by_thing)
        return
    real = [change for change in pair.changes if not change.described_better]
    described = [change for change in pair.changes if change.described_better]
    if not pair.changes:
        yield "No change."
    yield from changes_text(real)
    if described:
        yield heading("Only described better")
        yield from changes_text(described)
    if pair.hints:
        hints = [hint_text(hint) for hint in pair.hints]
        yield f"{heading('Renamed?')}\n" + "\n".join(hints)
    work = list(work_blocks(pair.todo))
    if work:
        yield heading("To do, to get from one to the other")
        yield from work


def _by_thing(pair: PairView, things: SiblingsView) -> Iterator[str]:
    """Siblings by their things: alike, otherwise, only in one."""
    changes = {change.id: change for change in pair.changes}
    if things.alike:
        alike = ", ".join(_names(both) for both in things.alike)
        yield f"{heading('Alike in both')}\n{wrapped(alike)}"
    if things.otherwise:
        told = ["\n".join(_otherwise(both, changes)) for both in things.otherwise]
        yield f"{heading('The same idea, done otherwise')}\n" + "\n\n".join(told)
    for state, alone in ((pair.before, things.only_before), (pair.after, things.only_after)):
        if alone:
            rows = [
                [thing.ref, safe(thing.what), _grams(thing.mass_g), _share(thing.of_limit)]
                for thing in sorted(alone, key=lambda thing: -(thing.mass_g or 0.0))
            ]
            yield f"{heading(f'Only in {state}')}\n{table(['', 'is', 'mass', 'of limit'], rows, 'lwrr')}"
    if things.whole:
        lines = [wrapped(_one_line(changes[id_]), "    ", "") for id_ in things.whole]
        yield f"{heading('Otherwise')}\n" + "\n".join(lines)


def _names(both: OtherwiseView) -> str:
    return both.before if both.before == both.after else f"{both.before} = {both.after}"


def _otherwise(both: OtherwiseView, changes: Mapping[str, ChangeView]) -> Iterator[str]:
    """One idea that two siblings both have: how each does it."""
    how = {"name": "", "lineage": "the same module", "role": "the same role"}[both.by]
    idea = ", ".join(word for word in (both.idea, how) if word)
    told = f"{_names(both)}{f' ({idea})' if idea else ''}"
    if both.mass_g != (None, None):
        told += f": {_grams(both.mass_g[0])} → {_grams(both.mass_g[1])}"
        if both.of_limit != (None, None):
            told += f", {_share(both.of_limit[0])} → {_share(both.of_limit[1])} of the limit"
    yield wrapped(told, "    ", "")
    for id_ in both.changes:
        yield wrapped(_one_line(changes[id_]).removeprefix(f"{both.after}: "), "      ", "    ")


def _grams(mass_g: float | None) -> str:
    return "not in" if mass_g is None else said.grams_alone(mass_g)


def _share(share: float | None) -> str:
    return "" if share is None else said.percent(share)


def hint_text(hint: HintView) -> str:
    """What may be one thing renamed, and how to say so."""
    return wrapped(
        f"{hint.before} may now be called {hint.after} ({hint.why}): "
        f"lineage record --renamed {hint.before}={hint.after}",
        "  ",
    )


def _total(before: float | None, after: float | None) -> str:
    if before is None or after is None:
        return said.NOT_KNOWN
    return f"{said.grams_alone(before)} → {said.grams_alone(after)} ({said.signed_grams(after - before)})"


def group_text(name: str, changes: Sequence[ChangeView]) -> str:
    """A group of changes with what they come to together."""
    known = [change.effect.mass_g for change in changes if change.effect.mass_g is not None]
    mass = f": mass {said.signed_grams(sum(known))}" if any(known) else ""
    return "\n".join([heading(f"{name}{mass}"), *changes_text(changes)])


def changes_text(changes: Sequence[ChangeView], said_above: Collection[str] = ()) -> Iterator[str]:
    """Changes in turn; the same module step in other places is said once, with what it weighs in all of them."""
    steps: dict[tuple[str | None, str | None], list[ChangeView]] = {}
    for change in changes:
        if change.kind == "module moved on":
            steps.setdefault((change.from_, change.to), []).append(change)
    for change in changes:
        same = (
            steps.get((change.from_, change.to), [change]) if change.kind == "module moved on" else [change]
        )
        if change is same[0]:
            yield change_text(change, same[1:], said_above)


def change_text(
    change: ChangeView, elsewhere: Sequence[ChangeView] = (), said_above: Collection[str] = ()
) -> str:
    """One change with its effects, reasons and evidence; `elsewhere` are the same step in other places.

    Reasons that were `said_above` are not said again.
    """
    lines = [wrapped(f"{safe(change.text)}  [{change.kind}]", "    ", "")]
    if elsewhere:
        lines.append(wrapped("and so " + ", ".join(other.where for other in elsewhere), "      ", "    "))
    effects = list(_effects(change, each=bool(elsewhere)))
    if effects:
        lines.append(wrapped("; ".join(effects), "      ", "    "))
    if change.factors_g and len(change.factors_g) > 1:
        factors = ", ".join(f"{name} {said.signed_grams(share)}" for name, share in change.factors_g.items())
        lines.append(wrapped(f"of which {factors}", "      ", "    "))
    lines += [wrapped(way, "      ", "    ") for way in _ways(change)]
    whys = dict.fromkeys(note.why for note in change.notes if note.why and note.why not in said_above)
    lines += [wrapped(f"why: {safe(why)}", "      ", "    ") for why in whys]
    for name, delivered in change.delivered.items():
        kept = {True: "kept", False: "missed", None: "cannot tell yet"}[delivered.kept]
        lines.append(wrapped(f"expected {name} {delivered.expected}: {kept}", "      ", "    "))
    for evidence in change.evidence:
        settles = f" {to_settle_text(evidence, change.design)}" if evidence.to_settle else ""
        lines.append(wrapped(f"{safe(evidence.text)}{settles}", "      ", "    "))
    return "\n".join(lines)


def _effects(change: ChangeView, *, each: bool = False) -> Iterator[str]:
    """What a change did to mass and gaps."""
    if change.effect.mass_g is None:
        yield "mass not known"
    elif change.effect.mass_g:
        yield f"mass {said.signed_grams(change.effect.mass_g)}{' each' if each else ''}"
    yield from (f"{name} {said.signed_millimetres(gap)}" for name, gap in change.effect.gaps_mm.items())


def to_settle_text(evidence: EvidenceView, design: str | None) -> str:
    """How many further clean bouts of the robot asked about would make it `helped`."""
    whose = f" of {design}" if design else ""
    return f"{said.whole(evidence.to_settle, 'more clean bout')}{whose} would settle it."


def _ways(change: ChangeView) -> Iterator[str]:
    """The ways in that a change touches, the one that changed most first; at most three."""
    ways = sorted(change.effect.access.items(), key=lambda item: -abs(_gain(item[1].seconds)))
    for ref, way in ways[:3]:
        screws = f"{_or_none(way.screws[0])} → {_or_none(way.screws[1])} {said.screws(way.screws[1])}"
        yield f"way in to {ref}: {screws}, {said.duration(way.seconds[0])} → {said.duration(way.seconds[1])}"
    if len(ways) > 3:
        yield f"and {said.whole(len(ways) - 3, 'more way')} in"


def _gain(seconds: tuple[float | None, float | None]) -> float:
    before, after = seconds
    return 0.0 if before is None or after is None else after - before


def _or_none(count: int | None) -> str:
    return "no way" if count is None else str(count)
