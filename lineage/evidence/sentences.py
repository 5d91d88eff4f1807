"""A sentence to repeat for every verdict: counts, span, what else changed. It never claims more than the verdict."""

from collections.abc import Sequence
from math import exp, floor, log10
from typing import Literal

from lineage.evidence.exact import Comparison, Stratum
from lineage.evidence.readings import Difference, Side
from lineage.evidence.verdicts import (
    HELPED,
    LEANING_BETTER,
    LEANING_WORSE,
    MADE_IT_WORSE,
    NOT_KNOWN_WHICH_WAY_IS_BETTER,
    NOT_TRIED_YET,
    NOTHING_TO_COMPARE_WITH,
    TOO_FEW_TO_TELL,
    WORKED_OUT,
    Judged,
    Verdict,
)
from lineage.values.formatting import count_of, noun

Counting = Literal["bout", "build"]

_WORDS: dict[Verdict, str] = {
    HELPED: "helped",
    MADE_IT_WORSE: "made it worse",
    LEANING_BETTER: "leaning better, not settled",
    LEANING_WORSE: "leaning worse, not settled",
    TOO_FEW_TO_TELL: "too few to tell",
    NOT_TRIED_YET: "not tried yet",
    NOTHING_TO_COMPARE_WITH: "nothing to compare with",
    NOT_KNOWN_WHICH_WAY_IS_BETTER: "not known which way is better",
    WORKED_OUT: "worked out",
}
BAD_RUN = "a bad run tends to be followed by a better one whatever is done."


def sentence_for_counts(
    judged: Judged,
    *,
    counting: Counting = "bout",
    designs: Sequence[str] = (),
    others: Sequence[str] = (),
    circumstances: Sequence[str] = (),
    after_bad_run: Sequence[str] = (),
) -> str:
    """What the failures before and after say, to repeat as it stands.

    `designs` names the strata of the comparison in their order; `others` what else changed in the same step at the
    same things; `circumstances` what else was different between the bouts; `after_bad_run` the robots whose thing
    failed at the last event before the change.
    """
    verdict, comparison = judged.verdict, judged.comparison
    parts = [f"{_counts(verdict, comparison, counting)}: {_WORDS[verdict]}."]
    parts += _span(comparison)
    parts += _luck(judged)
    if judged.unmatched:
        parts.append(
            f"{_failures(judged.unmatched)} since then, at no known place or in a mode spelt much like its own, "
            "may be its own; a better verdict has to hold with them counted."
        )
    if judged.pull_apart:
        parts.append(
            f"The robots pull apart{_each(designs, comparison.strata)}: one answer for all of them is doubtful."
        )
    return " ".join([*parts, *_what_else(others), *circumstances, *_bad_run(after_bad_run, designs)])


def sentence_for_difference(
    before: Side | None,
    after: Side | None,
    found: Difference | None,
    verdict: Verdict,
    *,
    unit: str = "",
    as_ratio: bool = False,
    others: Sequence[str] = (),
) -> str:
    """What readings before and after say; `unit` goes with every number, `as_ratio` for a logarithm of a ratio."""
    return " ".join(
        [
            f"{_side(before, unit)} → {_side(after, unit)}: {_WORDS[verdict]}.",
            *_reach(found, unit, as_ratio=as_ratio),
            *_what_else(others),
        ]
    )


def sentence_for_gap(
    sides: tuple[Side | None, Side | None],
    met: Sequence[bool | None],
    worked_out: tuple[float | None, float | None],
    verdict: Verdict,
    *,
    others: Sequence[str] = (),
) -> str:
    """What is worked out and what was measured of a gap before and after, all mm, and whether its need is met."""
    before, after = ("not known" if gap is None else reading_number(gap) for gap in worked_out)
    parts = [f"worked out {before} → {after} mm"]
    told = {True: "within what is needed", False: "not within what is needed"}
    for when, side, is_met in zip(("before", "after"), sides, met, strict=True):
        if side is not None:
            within = f", {told[is_met]}" if is_met is not None else ""
            parts.append(f"measured {when} {_side(side, 'mm')}{within}")
    return " ".join([f"{'; '.join(parts)}: {_WORDS[verdict]}.", *_what_else(others)])


def sentence_for_trials(comparison: Comparison, verdict: Verdict, *, others: Sequence[str] = ()) -> str:
    """What trials before and after say: passed of tries, and between what factors the odds of passing lie."""
    before, after = comparison.before, comparison.after
    if verdict == NOT_TRIED_YET:
        said = f"Passed {before} {noun(before.of, 'try', 'tries')} before, none after it"
    elif verdict == NOTHING_TO_COMPARE_WITH:
        said = f"No tries before it, passed {after} after"
    else:
        said = f"Passed {before} → {after} {noun(after.of, 'try', 'tries')}"
    return " ".join([f"{said}: {_WORDS[verdict]}.", *_span(comparison, "passing"), *_what_else(others)])


def plain_number(number: float, digits: int = 2) -> str:
    """A number to so many digits, without an exponent; one that is not 1 is not rounded to 1."""
    if number in {0, 1}:
        return f"{number:.0f}"
    places = digits - 1 - floor(log10(abs(number)))
    text = f"{round(number, places):.{max(0, places)}f}"
    if float(text) == 1 and digits < 15:
        return plain_number(number, digits + 1)
    return text


def reading_number(number: float) -> str:
    """A reading to four digits at most, with none behind that say nothing."""
    text = plain_number(number, 4)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _counts(verdict: Verdict, comparison: Comparison, counting: Counting) -> str:
    happened = "Failed in" if counting == "bout" else "Trouble in"
    if verdict == NOT_TRIED_YET:
        return f"{happened} {comparison.before} {noun(comparison.before.of, counting)} before, none after it"
    if verdict == NOTHING_TO_COMPARE_WITH:
        return f"No {counting}s before it, {happened[0].lower()}{happened[1:]} {comparison.after} after"
    return f"{happened} {comparison.before} → {comparison.after} {noun(comparison.after.of, counting)}"


def _span(comparison: Comparison, of: str = "it") -> list[str]:
    if comparison.interval95 is None:
        return []
    low, high = comparison.interval95
    odds = f"The odds of {of} are"
    if low == 0 and high is None:
        return [f"Nothing can be said of the odds of {of}."]
    if high is None:
        return [f"{odds} at least {plain_number(low)} times what they were (95 %)."]
    if low == 0:
        return [f"{odds} at most {plain_number(high)} times what they were (95 %)."]
    return [f"{odds} {plain_number(low)} to {plain_number(high)} times what they were (95 %)."]


def _luck(judged: Judged) -> list[str]:
    comparison = judged.comparison
    if judged.luck is None or comparison.chance_as_few is None or judged.luck > 0.5:
        return []
    which = "few" if judged.luck == comparison.chance_as_few else "many"
    share = "under 0.01 %" if judged.luck < 1e-4 else f"{plain_number(100 * judged.luck)} %"
    return [f"The chance of as {which} had nothing changed: {share}."]


def _failures(number: int) -> str:
    return count_of(number, "failure")


def _each(designs: Sequence[str], strata: Sequence[Stratum]) -> str:
    if len(designs) != len(strata):
        return ""
    named = [
        f"{name} {stratum.before} → {stratum.after}" for name, stratum in zip(designs, strata, strict=True)
    ]
    return f" ({', '.join(named)})"


def _what_else(others: Sequence[str]) -> list[str]:
    if not others:
        return []
    return [f"In the same step there also changed: {', '.join(others)}; what each did cannot be told apart."]


def _bad_run(robots: Sequence[str], designs: Sequence[str]) -> list[str]:
    if not robots:
        return []
    whose = f" in {', '.join(robots)}" if len(designs) > 1 else ""
    return [f"It was made{whose} after a failure at the last event before it: {BAD_RUN}"]


def _side(side: Side | None, unit: str) -> str:
    if side is None:
        return "no reading"
    mean = f"{reading_number(side.value)} {unit}".rstrip()
    return mean if side.n == 1 else f"{mean} (mean of {side.n})"


def _reach(found: Difference | None, unit: str, *, as_ratio: bool) -> list[str]:
    if found is None:
        return ["Two readings on each side are wanted for a span."]
    low, high = found.interval95
    if as_ratio:
        return [f"That is {plain_number(exp(low))} to {plain_number(exp(high))} times as long (95 %)."]
    return [f"The change is {plain_number(low)} to {plain_number(high)} {unit}".rstrip() + " (95 %)."]
