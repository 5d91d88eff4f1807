"""Figures in words and digits, the same for text and pages: rounded by their uncertainty, unit behind, ± for k = 2."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from lineage.evidence.sentences import plain_number, reading_number
from lineage.reports.views.figures import ValueU
from lineage.reports.views.lessons import HereView
from lineage.values.formatting import count_of, noun, plus_minus, rounded

NOT_KNOWN = "not known"


def grams(figure: ValueU | None) -> str:
    """`1352 ± 4 g`."""
    return NOT_KNOWN if figure is None else plus_minus(figure.value, figure.u, "g")


def signed_figure_g(figure: ValueU | None) -> str:
    """`+12.3 ± 0.4 g`."""
    return NOT_KNOWN if figure is None else plus_minus(figure.value, figure.u, "g", signed=True)


def grams_alone(value: float | None) -> str:
    """`12.3 g`."""
    return NOT_KNOWN if value is None else f"{_tenths(value)} g"


def signed_grams(value: float | None) -> str:
    """`+12.3 g`, `-0.4 g`, `0 g`."""
    if value is None:
        return NOT_KNOWN
    text = _tenths(value)
    return f"+{text} g" if value > 0 and text != "0" else f"{text} g"


def _tenths(value: float) -> str:
    text = f"{value:.1f}" if abs(value) >= 1 else f"{value:.2f}"
    return "0" if float(text) == 0 else text


def inertia(figure: ValueU | None) -> str:
    """`0.264 ± 0.014 g·m²`, of a moment of inertia in kg·m²."""
    if figure is None:
        return NOT_KNOWN
    thousand = plus_minus(figure.value * 1000, None if figure.u is None else figure.u * 1000, "g")
    return thousand.replace(" g", " g·m²", 1)


def millimetres(value: float | None) -> str:
    """`1.25 mm`."""
    return NOT_KNOWN if value is None else f"{_hundredths(value)} mm"


def signed_millimetres(value: float | None) -> str:
    """`+0.30 mm`."""
    if value is None:
        return NOT_KNOWN
    text = _hundredths(value)
    return f"+{text} mm" if value > 0 and float(text) != 0 else f"{text} mm"


def _hundredths(value: float) -> str:
    text = f"{value:.2f}"
    return "0.00" if float(text) == 0 else text


def millimetre_range(limits: tuple[float, float] | None) -> str:
    """`0.52 to 1.98 mm`."""
    return NOT_KNOWN if limits is None else f"{_hundredths(limits[0])} to {_hundredths(limits[1])} mm"


def figure_mm(figure: ValueU | None) -> str:
    """`1.23 ± 0.04 mm`."""
    return NOT_KNOWN if figure is None else plus_minus(figure.value, figure.u, "mm")


def bare_mm(value: float) -> str:
    """`1.25`, for a place that says the unit itself."""
    return _hundredths(value)


def square_cm(area_mm2: float) -> str:
    """`148 cm2`."""
    return f"{area_mm2 / 100:.0f} cm2"


def cut_length(length_mm: float | None) -> str:
    """`1250 mm`, nothing where it is not known."""
    return "" if length_mm is None else f"{length_mm:.0f} mm"


def money(cost: float, currency: str) -> str:
    """`12.50 EUR`."""
    return f"{cost:.2f} {currency}"


def seconds(figure: ValueU | None) -> str:
    """`95 ± 40 s`."""
    return NOT_KNOWN if figure is None else plus_minus(figure.value, figure.u, "s")


def duration(value: float | None) -> str:
    """`45 s`, `12 min`, `2 h 30 min`."""
    if value is None:
        return NOT_KNOWN
    if value < 120:
        return f"{value:.0f} s"
    minutes = round(value / 60)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min" if minutes % 60 else f"{minutes // 60} h"


def sum_of_durations(seconds: Sequence[float]) -> str:
    """`11 min + 10 min = 21 min`; one alone as it is, none as nothing."""
    if not seconds:
        return ""
    terms = " + ".join(duration(each) for each in seconds)
    return terms if len(seconds) == 1 else f"{terms} = {duration(sum(seconds))}"


def typed_time(seconds: float | None, missing: int) -> str:
    """`2 h 15 min`, `2 h, 1 not timed`: a sum of times typed, and how many have none."""
    if seconds is None:
        return "not timed"
    return f"{duration(seconds)}, {missing} not timed" if missing else duration(seconds)


def at_event(here: HereView | None) -> str | None:
    """`broken here: failed in 3 of 8 bouts of avocet`; None for what was not put to the test there."""
    if here is None or here.word == "not tried":
        return None
    return f"{here.word} here: failed in {here.failures} of {whole(here.bouts, 'bout')} of {', '.join(here.robots)}"


def percent(share: float | None) -> str:
    """`7 %`; what is nearly nothing or nearly all is said as that."""
    if share is None:
        return NOT_KNOWN
    value = 100 * share
    if 0 < value < 1:
        return "under 1 %"
    if 99 < value < 100:
        return "over 99 %"
    return f"{value:.0f} %"


def counts(side: Mapping[str, Any] | None) -> str:
    """`12 of 23` for failures in bouts and passed of tries, `21.4 (mean of 3)` for readings."""
    if side is None:
        return NOT_KNOWN
    if "exposure" in side:
        return f"{side['failures']} of {side['exposure']}"
    if "tries" in side:
        return f"{side['passed']} of {side['tries']}"
    mean = reading_number(side["value"])
    return mean if side["n"] == 1 else f"{mean} (mean of {side['n']})"


def times(ratio: float | None) -> str:
    """`0.12`; no upper limit is said as that."""
    return "no limit" if ratio is None else plain_number(ratio)


def likely(p: float | None) -> str:
    """`7 %`; no worked-out chance is ever none or all: `under 1 %`, `over 99 %`."""
    if p is None:
        return NOT_KNOWN
    return percent(min(max(p, 1e-9), 1 - 1e-9))


def chance(p: float | None) -> str:
    """`0.003`; a very small one is said as that."""
    if p is None:
        return NOT_KNOWN
    return "under 0.0001" if p < 1e-4 else plain_number(p)


def share_limits(low: float, high: float) -> str:
    """`7 % to 34 %`."""
    return f"{percent(low)} to {percent(high)}"


def recorded(on: str | None, build: str) -> str:
    """`recorded 2024-05-01`, or what else a state is."""
    if on is not None:
        return f"recorded {on}"
    if " with" in build:  # no label has a space: what would be, were the spec another
        return "what would be; nothing is written"
    return (
        "as it stood in a commit, not recorded" if build.startswith("git:") else "working files, not recorded"
    )


def need(limits: tuple[float | None, float | None]) -> str:
    """`at least 1 mm`, `at most 2 mm`, `0.5 to 1.5 mm`."""
    low, high = limits
    if low is not None and high is not None:
        return f"{low:g} to {high:g} mm"
    return f"at least {low:g} mm" if low is not None else f"at most {high:g} mm"


def whole(count: int | None, word: str, many: str | None = None) -> str:
    """`1 screw`, `8 screws`."""
    if count is None:
        return f"{many or word + 's'} {NOT_KNOWN}"
    return count_of(count, word, many)


def screws(count: int | None) -> str:
    """`screw` or `screws`, as it stands behind a count, or behind `no way`."""
    return "screws" if count is None else noun(count, "screw")


def choices(fitted: Mapping[str, str]) -> str:
    """`fork long, gears 4:1`."""
    return ", ".join(f"{option} {choice}" for option, choice in fitted.items())


def day(text: str | date | None) -> str:
    """`2024-05-01`, or `not recorded`."""
    return "not recorded" if text is None else str(text)


__all__ = [
    "NOT_KNOWN", "at_event", "bare_mm", "chance", "choices", "counts", "cut_length", "day", "duration",
    "figure_mm", "grams", "grams_alone", "inertia", "likely", "millimetre_range", "millimetres", "money",
    "need", "percent", "recorded", "rounded", "screws", "seconds", "share_limits", "signed_grams", "signed_millimetres",
    "square_cm", "sum_of_durations", "times", "typed_time", "whole",
]  # fmt: skip
