"""Dimension chains: what a gap is nominally, at worst and probably, and which dimension drives it."""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from itertools import islice, product
from math import erfc, fsum, sqrt
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from lineage.figures.chain_terms import EXACT, Dimension, Limits, ToleranceFrom, dimension_of
from lineage.spec.assembly import Assembly
from lineage.spec.records import Design, Fit
from lineage.values.quantity import ChainTerm, Need
from lineage.values.uncertain import Uncertain

Range = tuple[float, float]
Holds = Literal["in the worst case", "by root sum square", "nominally", "not nominally", "never"]
WithChoices = Callable[[Mapping[str, str]], Assembly]

MOST_COMBINATIONS = 4096
_SAME_MM = 1e-9


class Term(Struct, frozen=True, kw_only=True):
    """One term of a chain as typed, with its nominal."""

    ref: str
    coefficient: float
    nominal_mm: float


class Contributor(Struct, frozen=True, kw_only=True):
    """One variable of a chain. One stock's thickness in several terms is one, with the coefficients added up.

    `ref` names all terms of the variable; `tolerance_mm` is T of the centred tolerance, None where not known, and 0
    for a plain quantity without ±; `share` is of the variance.
    """

    ref: str
    coefficient: float
    nominal_mm: float
    tolerance_mm: float | None
    source: ToleranceFrom | None
    share: float | None


class FitFigure(Struct, frozen=True, kw_only=True):
    """One fit worked out with the fitted choices.

    Nothing is worked out while a term is not in (`not_in`); worst case, root-sum-square, shares and chance are None
    while a term has no known tolerance (`no_tolerance`). `tighten` is the contributor with the largest share whose
    tolerance is typed or by process. `fails_with` are the choices in which the nominal misses the need; `all_tried`
    is False where there are more combinations than are tried.
    """

    need_mm: tuple[float | None, float | None]
    nominal_mm: float | None = None
    worst_mm: Range | None = None
    rss_mm: Range | None = None
    centred_mm: float | None = None
    chance_missed: float | None = None
    holds: Holds | None = None
    terms: tuple[Term, ...] = ()
    contributors: tuple[Contributor, ...] = ()
    tighten: str | None = None
    not_in: tuple[str, ...] = ()
    no_tolerance: tuple[str, ...] = ()
    fails_with: tuple[Mapping[str, str], ...] = ()
    all_tried: bool = True


def work_out_fits(assembly: Assembly, with_choices: WithChoices) -> Mapping[str, FitFigure]:
    """All fits of the design itself, with its fitted choices and with every other in which all terms are in.

    assembly: with the fitted choices. with_choices: the assembly with other choices of the same design.
    Result: by name of the fit, in the order of the spec.
    Source: as `work_out`.
    """
    figures = {}
    for name, fit in assembly.design.fits.items():
        fails, all_tried = _fails_with(fit, assembly, with_choices)
        figure = work_out(fit, assembly)
        figures[name] = replace(figure, fails_with=fails, all_tried=all_tried)
    return figures


def work_out(fit: Fit, assembly: Assembly) -> FitFigure:
    """One fit with the choices of an assembly.

    Gap g = Σ c·x over the terms. Worst case: Σ of the least (most) of c·(x + deviation) over the variables.
    Root-sum-square: centred nominal ± √Σ(c·T)². Chance missed: of a normal distribution about the centred nominal
    with σ = √Σ(c·T/3)². Share of a variable: (c·T)² ÷ Σ(c·T)².
    fit: need and chain; coefficients are signed. assembly: gives the dimensions, mm, and their tolerances.
    Result: mm; what lacks a dimension or a tolerance is None, and says which.
    Source: J. E. Shigley, Mechanical Engineering Design, section 1-14 and example 1-3 (worst case); root-sum-square
    as K. W. Chase, W. H. Greenwood, Design issues in mechanical tolerance analysis, 1988 (from memory); T = 3 σ is
    common practice.
    """
    found = [(term, dimension_of(term, n, assembly)) for n, term in enumerate(fit.chain)]
    need = need_limits_mm(fit.need)
    not_in = tuple(_as_typed(term) for term, dimension in found if dimension is None)
    if not_in:
        return FitFigure(need_mm=need, not_in=not_in)
    dimensions = [(term.coefficient, dimension) for term, dimension in found if dimension is not None]
    return _figure(need, dimensions)


def _figure(need: tuple[float | None, float | None], terms: Sequence[tuple[float, Dimension]]) -> FitFigure:
    nominal = fsum(c * d.nominal for c, d in terms)
    variables = _variables(terms)
    lacking = tuple(d.ref for c, d in variables if d.limits is None and c)
    if lacking:
        return FitFigure(
            need_mm=need,
            nominal_mm=nominal,
            holds=None if meets(nominal, need) else "not nominally",
            terms=_terms(terms),
            contributors=tuple(_contributor(c, d, None) for c, d in variables),
            no_tolerance=lacking,
        )
    return _toleranced(need, nominal, terms, [(c, d, d.limits or EXACT) for c, d in variables])


def _toleranced(
    need: tuple[float | None, float | None],
    nominal: float,
    terms: Sequence[tuple[float, Dimension]],
    variables: Sequence[tuple[float, Dimension, Limits]],
) -> FitFigure:
    centred = nominal + fsum(c * limits.shift for c, _, limits in variables)
    half = fsum(abs(c) * limits.half_width for c, _, limits in variables)
    variance = fsum((c * limits.half_width) ** 2 for c, _, limits in variables)
    worst = (centred - half, centred + half)
    rss = (centred - sqrt(variance), centred + sqrt(variance))
    contributors = tuple(
        _contributor(c, d, (c * limits.half_width) ** 2 / variance if variance else None)
        for c, d, limits in variables
    )
    return FitFigure(
        need_mm=need,
        nominal_mm=nominal,
        worst_mm=worst,
        rss_mm=rss,
        centred_mm=centred,
        chance_missed=_chance_missed(centred, sqrt(variance) / 3, need),
        holds=_holds(nominal, worst, rss, need),
        terms=_terms(terms),
        contributors=contributors,
        tighten=_to_tighten(contributors),
    )


def _variables(terms: Sequence[tuple[float, Dimension]]) -> list[tuple[float, Dimension]]:
    """Terms by variable, in the order met, with their coefficients added up and their names joined."""
    together: dict[Hashable, list[tuple[float, Dimension]]] = {}
    for coefficient, dimension in terms:
        together.setdefault(dimension.variable, []).append((coefficient, dimension))
    return [
        (
            fsum(coefficient for coefficient, _ in same),
            Dimension(
                ref=", ".join(dict.fromkeys(dimension.ref for _, dimension in same)),
                variable=variable,
                nominal=same[0][1].nominal,
                limits=same[0][1].limits,
            ),
        )
        for variable, same in together.items()
    ]


def _terms(terms: Sequence[tuple[float, Dimension]]) -> tuple[Term, ...]:
    return tuple(Term(ref=d.ref, coefficient=c, nominal_mm=d.nominal) for c, d in terms)


def _contributor(coefficient: float, dimension: Dimension, share: float | None) -> Contributor:
    limits = dimension.limits
    return Contributor(
        ref=dimension.ref,
        coefficient=coefficient,
        nominal_mm=dimension.nominal,
        tolerance_mm=None if limits is None else limits.half_width,
        source=None if limits is None else limits.source,
        share=share,
    )


def _to_tighten(contributors: Sequence[Contributor]) -> str | None:
    """The largest share that a builder can do something about; a stock's thickness is not."""
    open_ones = [c for c in contributors if c.share and c.source in {"typed", "process"}]
    return max(open_ones, key=lambda c: c.share or 0.0).ref if open_ones else None


def _chance_missed(centred: float, sigma: float, need: tuple[float | None, float | None]) -> float:
    if not sigma:
        return 0.0 if meets(centred, need) else 1.0
    low, high = need
    below = _chance_below((low - centred) / sigma) if low is not None else 0.0
    above = _chance_below((centred - high) / sigma) if high is not None else 0.0
    return below + above


def _chance_below(deviations: float) -> float:
    """Φ of standard deviations; by erfc, so that a far tail is small and not lost."""
    return erfc(-deviations / sqrt(2)) / 2


def _holds(nominal: float, worst: Range, rss: Range, need: tuple[float | None, float | None]) -> Holds:
    """How far down a need holds: a miss that only the worst case brings is another thing than one sure to come."""
    low, high = need
    if (low is not None and worst[1] < low - _SAME_MM) or (high is not None and worst[0] > high + _SAME_MM):
        return "never"
    if not meets(nominal, need):
        return "not nominally"
    if meets(worst[0], need) and meets(worst[1], need):
        return "in the worst case"
    return "by root sum square" if meets(rss[0], need) and meets(rss[1], need) else "nominally"


def meets(gap_mm: float, need: tuple[float | None, float | None]) -> bool:
    """Whether a gap is within what is needed, both mm; the limits themselves are within."""
    low, high = need
    return (low is None or gap_mm >= low - _SAME_MM) and (high is None or gap_mm <= high + _SAME_MM)


def need_limits_mm(need: Need) -> tuple[float | None, float | None]:
    """The least and the most that a fit may be, mm; None for an open side."""
    return (need.low.value if need.low else None, need.high.value if need.high else None)


def _as_typed(term: ChainTerm) -> str:
    return f"{term.ref}.{term.dim}" if term.dim else term.text


# --- choices ---------------------------------------------------------------------------------------------


def _fails_with(
    fit: Fit, assembly: Assembly, with_choices: WithChoices
) -> tuple[tuple[Mapping[str, str], ...], bool]:
    """Choices that hold all terms and whose nominal misses the need; whether all were tried."""
    choices = _choices_that_matter(fit, assembly.design)
    if not choices:
        return (), True
    combinations = (dict(zip(choices, names, strict=True)) for names in product(*choices.values()))
    fails = []
    for combination in islice(combinations, MOST_COMBINATIONS):
        figure = work_out(fit, with_choices({**assembly.fitted[""], **combination}))
        if figure.nominal_mm is not None and not meets(figure.nominal_mm, figure.need_mm):
            fails.append(combination)
    return tuple(fails), next(combinations, None) is None


def _choices_that_matter(fit: Fit, design: Design) -> dict[str, list[str]]:
    """For each option that holds a term, or is named by one, the choices in which such terms are in."""
    first = {term.ref.partition(".")[0] for term in fit.chain if term.ref}
    matter = {}
    for option, choices in design.options.items():
        held = {name: first & set(_names_in(option, design, name)) for name in choices}
        wanted = set().union(*held.values())
        if wanted:
            matter[option] = [name for name, names in held.items() if names == wanted]
    return matter


def _names_in(option: str, design: Design, choice: str) -> Iterator[str]:
    """Names of what one choice holds, and that of its option."""
    holder = design.options[option][choice]
    yield option
    yield from holder.parts
    yield from holder.modules


# --- measured --------------------------------------------------------------------------------------------


class MeasuredGap(Struct, frozen=True, kw_only=True):
    """A measured gap against its chain. `normalised_error` is None while a tolerance or the reading's u is not
    known."""

    measured: Uncertain
    residual_mm: float | None
    normalised_error: float | None
    meets_need: bool


def against_reading(figure: FitFigure, measured: Uncertain) -> MeasuredGap:
    """A measured gap against the chain that should have said it.

    residual = measured − centred nominal; normalised error = residual ÷ √(U_measured² + U_chain²), U = 2·u with
    u = √Σ(c·T/3)² of the chain.
    figure: of the build that was measured. measured: mm.
    Result: mm; None for what the chain cannot say; `meets_need` is that of the reading itself.
    Source: ISO/IEC 17043:2010, B.4.1.1, E_n.
    """
    expected = figure.centred_mm if figure.centred_mm is not None else figure.nominal_mm
    residual = None if expected is None else measured.value - expected
    return MeasuredGap(
        measured=measured,
        residual_mm=residual,
        normalised_error=_normalised(residual, measured.u, figure),
        meets_need=meets(measured.value, figure.need_mm),
    )


def _normalised(residual: float | None, u_measured: float | None, figure: FitFigure) -> float | None:
    if residual is None or u_measured is None or figure.rss_mm is None:
        return None
    u_chain = (figure.rss_mm[1] - figure.rss_mm[0]) / 2 / 3
    expanded = 2 * sqrt(u_measured**2 + u_chain**2)
    return residual / expanded if expanded else None
