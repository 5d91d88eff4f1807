"""What fits, ways round, sizes and ways in come to, in words: the same for text and pages."""

from collections.abc import Iterator, Mapping

from lineage.reports import said
from lineage.reports.views.card import AccessView, Card, FitView, StepView, WrongWaysView
from lineage.reports.views.compare import ServiceableView

MAKE_SAFE = "Make the robot safe: power link out, weapon restraint on, wait for everything to stop."

LOOKS_RIGHT_RULE = "What is off by at most 3 mm looks right: this project's choice, no source."

NEVER_SPARE = "None of weapons, armour, batteries or stored energy. The rule is yours, no proof of strength."

_HOLDS = {
    "in the worst case": "holds in the worst case",
    "by root sum square": "unlikely to miss, but the worst case does",
    "nominally": "holds as drawn, may well miss",
    "not nominally": "MISSES its need as drawn",
    "never": "CANNOT hold, not with every dimension at its best",
}


def fit_so(fit: FitView) -> str:
    """How far down a need holds, with which choices it does not, what is not known, and what to tighten first."""
    return "; ".join(_fit_so(fit))


def _fit_so(fit: FitView) -> Iterator[str]:
    if fit.nominal_mm is None:
        yield "not fitted: " + ", ".join(fit.not_in) if fit.not_in else "a part of it is not fitted"
    elif fit.holds is not None:
        yield _HOLDS[fit.holds]
    if fit.fails_with:
        yield "MISSES with " + "; with ".join(said.choices(c) or "what is fitted" for c in fit.fails_with)
    if not fit.all_tried:
        yield "more combinations of choices than were tried"
    if fit.missing:
        yield "tolerance not known: " + ", ".join(fit.missing)
    if fit.chance_missed is not None and fit.holds != "in the worst case":
        yield f"missed {said.likely(fit.chance_missed)}"
    if fit.tighten_first is not None and fit.holds != "in the worst case":
        yield f"tighten {fit.tighten_first} first"


def is_missed(fit: FitView) -> bool:
    """Whether a need is missed as drawn, with what is fitted or with another choice."""
    return bool(fit.fails_with) or fit.holds in {"not nominally", "never"}


def is_risky(fit: FitView) -> bool:
    """Whether a need that holds as drawn may well be missed."""
    return fit.holds == "nominally" or (fit.chance_missed is not None and fit.chance_missed > 0.05)


def way_round_so(way: WrongWaysView) -> str:
    """How a thing can go in wrong, and whether that can be seen."""
    told = []
    if way.looks_right:
        told.append(f"a wrong way is off by only {said.millimetres(way.nearest_mm)} and looks right")
    if way.mirror_of:
        told.append(f"turned over it goes where {', '.join(way.mirror_of)} belongs")
    if way.orientations is not None and way.orientations > 1:
        told.append(f"{way.orientations} ways round")
    mark = "marked" if way.marked else "NOT MARKED: it can go in wrong"
    return "; ".join([*told, mark])


def can_be_turned(card: Card) -> Mapping[str, WrongWaysView]:
    """What goes in more than one way or looks as if it did: what only looks right, and mirror images, first."""
    found = {
        ref: way
        for ref, way in (card.wrong_ways or {}).items()
        if (way.orientations or 0) > 1 or way.looks_right or way.mirror_of
    }

    def rank(item: tuple[str, WrongWaysView]) -> bool:
        return not (item[1].can_go_wrong and (item[1].looks_right or item[1].mirror_of))

    return dict(sorted(found.items(), key=rank))


def turned_rows(card: Card) -> tuple[tuple[str, str], ...]:
    """Things that can be turned, each with what is said of it; the same thing of a module in several places once."""
    places: dict[tuple[str, str], list[str]] = {}
    for ref, way in can_be_turned(card).items():
        place, _, inner = ref.partition(".")
        places.setdefault((inner or place, way_round_so(way)), []).append(ref)
    return tuple((_and_so(refs), so) for (_, so), refs in places.items())


def _and_so(refs: list[str]) -> str:
    if len(refs) == 1:
        return refs[0]
    return f"{refs[0]}, and in {said.whole(len(refs) - 1, 'more place')}"


def outside_lines(card: Card) -> Iterator[tuple[str, str]]:
    """The outside, and whether class and event allow it; a name and what is said of it."""
    outside = card.outside
    if outside is None:
        return
    yield "outside", said.NOT_KNOWN if outside.size_mm is None else _sides(outside.size_mm)
    name = card.class_.name if card.class_ is not None else "its class"
    for whose, limit, fits in (
        (name, outside.class_mm, outside.fits_class),
        ("the event", outside.event_mm, outside.fits_event),
    ):
        if limit is not None:
            so = {True: "goes in", False: "TOO LARGE", None: said.NOT_KNOWN}[fits]
            yield f"within that of {whose}", f"{_sides(limit)}: {so}"


def _sides(sides: tuple[float, float, float | None]) -> str:
    return " x ".join(f"{side:g}" for side in sides if side is not None) + " mm"


def no_way_so(way: AccessView) -> str:
    """Why there is no way."""
    if way.blocked_by:
        return "no way, they wait for each other: " + " → ".join((*way.blocked_by, way.blocked_by[0]))
    return "too many combinations of ways to try" if way.over_budget else "no way"


def step_so(step: StepView) -> str:
    """`Undo deck-screws: 8 of ISO 4762 M3x8, 2.5 mm hex key`, `Take off top-deck`."""
    if step.do == "off":
        return f"Take off {step.ref}"
    tool = f", {step.tool}" if step.tool else ""
    return f"Undo {step.ref}: {step.screws} of {step.type}{tool}"


def ladder(ref: str, way: AccessView) -> tuple[str, ...]:
    """The steps of a way in, the first of them to make the robot safe, the last to take the thing off."""
    return (MAKE_SAFE, *map(step_so, way.steps), f"Take off {ref}")


def serviceable_so(view: ServiceableView) -> str:
    """`36 s → 28 s a bout for the same failures (15 bouts): more serviceable, most of it weapon.belt`."""
    before, after = said.duration(view.before_s), said.duration(view.after_s)
    word = "as serviceable"
    if before != after:
        word = "more serviceable" if view.after_s < view.before_s else "less serviceable"
    most = f", most of it {view.dominant}" if view.dominant else ""
    return f"{before} → {after} a bout for the same failures ({said.whole(view.bouts, 'bout')}): {word}{most}"


def empty_holes_so(card: Card) -> str:
    """`deck-screws 6, lid-screws 2`; empty where every hole has its screw."""
    return ", ".join(f"{ref} {holes}" for ref, holes in card.empty_holes.items())


def pace_said(card: Card) -> str:
    """What stands behind worked-out times."""
    pace = card.pace
    if pace is None:
        return ""
    if not pace.timed:
        return "times by the element table alone: no service of the family was timed"
    services = said.whole(pace.timed, "timed service")
    return f"times by the element table x {pace.factor:.2f}, the pace of {services} of the family"
