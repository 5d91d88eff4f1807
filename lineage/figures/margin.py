"""How much of the limit is left: margin, chance of being over, room for each role, ballast, size and
materials.
"""

from collections.abc import Mapping, Sequence
from math import erfc, fsum, inf, sqrt

from msgspec import Struct

from lineage.figures.stocks import NOT_KNOWN, row_of
from lineage.figures.weight import Weight, material_of
from lineage.spec.assembly import Assembly
from lineage.spec.records import Event, WeightClass
from lineage.values.quantity import Size
from lineage.values.student import student_quantile
from lineage.values.uncertain import Uncertain, from_source

NO_REAL_ROLE = frozenset(("fasteners", "other"))
"""Lines of the weight that nobody designs to: fastener groups, and what has no role."""

_NORMAL_95 = 1.96


def limit_of(class_name: str | None, weight_class: WeightClass | None, event: Event | None) -> float | None:
    """The limit in g: an event's own for the class, else the class's; None without a class."""
    if event is not None and class_name is not None and class_name in event.limits:
        return event.limits[class_name].value
    return None if weight_class is None else weight_class.limit.value


# --- what no spec lists ----------------------------------------------------------------------------------


class UsualGap(Struct, frozen=True, kw_only=True):
    """Wire, tape and solder that no spec lists: g, its standard uncertainty, from how many builds."""

    value: float
    u: float | None
    builds: int


def gap_of(measured: Uncertain | None, weight: Weight) -> Uncertain | None:
    """Measured less predicted of one build, g; None where it was not weighed or an item lacks a mass."""
    if measured is None or not weight.is_complete:
        return None
    return measured.minus(weight.predicted)


def usual_gap(gaps: Sequence[Uncertain]) -> UsualGap | None:
    """What a build of a class usually weighs more than its spec says.

    Mean m of the gaps; from three builds u = s·√(1 + 1/n)·t(0.975, n − 1)/1.96; with one or two u is the
    largest |gap|, at least that gap's own standard uncertainty.
    gaps: measured less predicted, g, one for each weighed build of the class whose every item has a mass.
    Result: g; None without a gap; u None where one or two gaps are known and the largest's own u is not.
    Source: prediction interval of one further value, NIST/SEMATECH e-Handbook of Statistical Methods,
    7.2.2.1 and G. J. Hahn and W. Q. Meeker, Statistical Intervals, 1991, section 4.7 (from memory).
    """
    n = len(gaps)
    if not n:
        return None
    mean = fsum(gap.value for gap in gaps) / n
    if n > 2:
        scatter = sqrt(fsum((gap.value - mean) ** 2 for gap in gaps) / (n - 1))
        u: float | None = scatter * sqrt(1 + 1 / n) * student_quantile(0.975, n - 1) / _NORMAL_95
    else:
        largest = max(gaps, key=lambda gap: abs(gap.value))
        u = None if largest.u is None else max(abs(largest.value), largest.u)
    return UsualGap(value=mean, u=u, builds=n)


# --- margin ----------------------------------------------------------------------------------------------


class Margin(Struct, frozen=True, kw_only=True):
    """What is left of a limit, g, and the chance of being over it; both None where the mass is not known.

    `counted` says which mass was taken: measured, or predicted with the usual gap, or predicted alone.
    """

    limit_g: float
    counted: str
    margin: Uncertain | None
    chance_over: float | None


def margin_of(limit_g: float, weight: Weight, measured: Uncertain | None, gap: UsualGap | None) -> Margin:
    """What a build leaves of its limit.

    margin = limit − measured, else limit − (predicted + usual gap); chance over = ½·erfc(margin/(u·√2)).
    limit_g: g. weight: of the build. measured: its latest whole weighing. gap: of its class.
    Result: g and a chance; None while an item lacks a mass and nothing was weighed; without a usual gap the
    chance of an unweighed build is None.
    Source: normal distribution, Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.2 and 26.2.29.
    """
    if measured is not None:
        margin = _left(limit_g, measured)
        return Margin(limit_g=limit_g, counted="measured", margin=margin, chance_over=chance_over(margin))
    if not weight.is_complete:
        return Margin(limit_g=limit_g, counted="predicted", margin=None, chance_over=None)
    if gap is None:
        margin = _left(limit_g, weight.predicted)
        return Margin(limit_g=limit_g, counted="predicted", margin=margin, chance_over=None)
    usual = from_source(gap.value, ("usual gap",), gap.u)
    margin = _left(limit_g, weight.predicted.plus(usual))
    return Margin(
        limit_g=limit_g,
        counted="predicted with the usual gap",
        margin=margin,
        chance_over=chance_over(margin),
    )


def _left(limit_g: float, mass: Uncertain) -> Uncertain:
    return Uncertain(limit_g).minus(mass)


def chance_over(margin: Uncertain) -> float | None:
    """The chance that a margin is in truth below 0.

    ½·erfc(margin/(u·√2)); without uncertainty 1 below 0 and 0 from there on.
    margin: g. Result: 0 to 1; None where u is not known.
    Source: normal distribution, Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.2 and 26.2.29.
    """
    u = margin.u
    if u is None:
        return None
    if u == 0:
        return 1.0 if margin.value < 0 else 0.0
    return erfc(margin.value / (u * sqrt(2))) / 2


class Room(Struct, frozen=True, kw_only=True):
    """What a role weighs now and what it may weigh, g."""

    now_g: float
    may_be_g: float | None


def role_may_be(
    by_role: Mapping[str, float], margin: Uncertain | None, reserve_g: float = 0.0
) -> dict[str, Room] | None:
    """What each role may weigh, were all the room there is left to it.

    may be = now + margin − reserve − 2·u(margin).
    by_role: g now. margin: g. reserve_g: mass that the class keeps free.
    Result: g by role, without fastener groups and what has no role; None while the margin is not known, and
    what a role may be None where its u is not.
    Source: JCGM 100:2008 (GUM), 6.2.1, k = 2; the rule is this project's.
    """
    if margin is None:
        return None
    u = margin.u
    room = None if u is None else margin.value - reserve_g - 2 * u
    return {
        role: Room(now_g=now, may_be_g=None if room is None else now + room)
        for role, now in by_role.items()
        if role not in NO_REAL_ROLE
    }


def ballast(margin: Uncertain | None, chance: float) -> float | None:
    """Ballast that uses the class to the full at a chosen chance of being over.

    b = margin − z·u with P(Z > z) = chance.
    margin: g. chance: of being over that is taken, above 0 and below 1.
    Result: g, negative where so much has to go; None where the margin or its u is not known. ValueError for
    another chance.
    Source: normal distribution, Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.
    """
    if not 0 < chance < 1:
        raise ValueError("a chance above 0 and below 1 is wanted")
    if margin is None or margin.u is None:
        return None
    return margin.value + student_quantile(chance, inf) * margin.u


# --- size and materials ----------------------------------------------------------------------------------


def size_fits(size: Size | None, limit: Size | None) -> bool | None:
    """Whether a robot's outside goes into a size, turned by a right angle on the floor if need be.

    Nominal sizes are compared; a height that the limit leaves free is not looked at.
    size: of the robot. limit: an event's own, else the class's.
    Result: None where either is not typed, or a limited height is not.
    Source: plain geometry.
    """
    if size is None or limit is None:
        return None
    if limit.height is not None:
        if size.height is None:
            return None
        if size.height.value > limit.height.value:
            return False
    floor = sorted((size.length.value, size.width.value))
    room = sorted((limit.length.value, limit.width.value))
    return floor[0] <= room[0] and floor[1] <= room[1]


def materials_against(assembly: Assembly, rules: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """References of things whose material is not among those that their role may be of.

    A family's material that is `like` a built-in one is taken for that too; what has no known material is
    passed.
    assembly: whose parts and fastener groups. rules: materials by role, of the class.
    Result: in the order of the specs.
    Source: the class's own rules, nothing else.
    """
    against = []
    for thing in assembly.things.values():
        allowed = rules.get(thing.role)
        if allowed is None or thing.kind == "place":
            continue
        material = material_of(thing)
        row = row_of(material, thing.spec.family.materials)
        rows = {found.name for name in allowed if (found := row_of(name, thing.spec.family.materials))}
        if material in (NOT_KNOWN, *allowed) or (row is not None and row.name in rows):
            continue
        against.append(thing.ref)
    return tuple(against)
