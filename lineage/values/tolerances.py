"""Masses with how they are known, accuracies, tolerances alone, and dimensions with a ± or a grade."""

import re
from difflib import get_close_matches
from typing import Final, Literal, cast, get_args

from lineage.values.quantity import Accuracy, Dimension, HowKnown, Mass, Quantity, Tolerance
from lineage.values.scanning import (
    NUMBER,
    TAIL,
    UNIT,
    amount,
    last_digit,
    plain,
    quantity_between,
    spread,
    unit_between,
)
from lineage.values.slips import QuantityError, fault, not_positive, wanted_units
from lineage.values.units import UNITS

_HOW_KNOWN: Final = get_args(HowKnown)
_HOW = re.compile(r"\s+(?:(listed|weighed|modelled|guess)(?:\s+for\s+([0-9]+))?|for\s+([0-9]+))\s*\Z")
_HABITUAL_HOW: Final = {
    "measured": "weighed", "actual": "weighed", "real": "weighed", "estimate": "guess", "estimated": "guess",
    "guessed": "guess", "about": "guess", "approx": "guess", "cad": "modelled", "calculated": "modelled",
    "sliced": "modelled", "datasheet": "listed", "nominal": "listed", "catalogue": "listed",
}  # fmt: skip
_WORDED_MASS = re.compile(r"(.*?[A-Za-z0-9%])\s+([A-Za-z]+)(?:\s+for\b.*)?\s*", re.DOTALL)
_HOW_FIRST = re.compile(r"\s*(listed|weighed|modelled|guess)\s+(\S.*?)\s*", re.DOTALL)
_FOR_SOME = re.compile(r"\bfor\b(.*)\Z", re.DOTALL)


def parse_mass(text: str, *, positive: bool = False) -> Mass:
    """`92 g weighed`; `8.2 g weighed for 2` is of two together; listed where no word says how it is known."""
    text = plain(text)
    found = _HOW.search(text)
    end = len(text) if found is None else found.start()
    try:
        quantity = quantity_between(text, 0, end, ("mass",))
    except QuantityError as no_mass:
        raise _mass_slip(text) or no_mass from None
    if positive and quantity.value <= 0:
        raise not_positive(text)
    if found is None:
        return Mass(text=text.strip(), quantity=quantity)
    number = found[2] or found[3]
    pieces = 1 if number is None else _pieces(text, number, found.start(2 if found[2] else 3))
    how = cast("HowKnown", found[1] or "listed")
    return Mass(text=text.strip(), quantity=quantity, how=how, pieces=pieces)


def _pieces(text: str, number: str, at: int) -> int:
    if len(number) > 6 or number[0] == "0":
        what = f"`{number}` pieces"
        raise fault(
            text, at, at + len(number), what, "a whole number from 1 on", number.lstrip("0")[:3] or "1"
        )
    return int(number)


def _mass_slip(text: str) -> QuantityError | None:
    """A slip in the words behind a mass."""
    wanted = f"{', '.join(_HOW_KNOWN[:-1])} or {_HOW_KNOWN[-1]} behind the mass"
    first = _HOW_FIRST.fullmatch(text)
    if first is not None:
        instead = f"{first[2]} {first[1]}"
        return fault(text, 0, len(text), f"`{first[1]}` before the mass", wanted, instead)
    some = _FOR_SOME.search(text)
    if some is not None:
        number = re.search(r"[1-9][0-9]{0,5}", some[1])
        instead = f" {number[0] if number else 2}"
        return fault(
            text, *some.span(1), f"`for{some[1]}` of a mass", "`for` and a number of pieces", instead
        )
    worded = _WORDED_MASS.fullmatch(text)
    word = worded[2].lower() if worded is not None else ""
    if worded is None or worded[2] in _HOW_KNOWN or (worded[2] in UNITS and word not in _HABITUAL_HOW):
        return None
    near = get_close_matches(word, _HOW_KNOWN, n=1, cutoff=0.6)
    how = _HABITUAL_HOW.get(word) or (near[0] if near else None)
    if how is None:
        return None
    return fault(text, *worded.span(2), f"`{worded[2]}` does not say how a mass is known", wanted, how)


_PLUS_MINUS = re.compile(r"\s*(?:±|\+/?-)?\s*")


def parse_accuracy(text: str) -> Accuracy:
    """Accuracy of a scale: `0.1 g`, or `0.5 %` of the reading."""
    text = plain(text)
    sign = _PLUS_MINUS.match(text)
    assert sign is not None
    found = quantity_between(text, sign.end(), len(text), ("mass", "share"))
    number = re.match(rf"[+-]?{NUMBER}", text[sign.end() :])
    assert number is not None
    start, end = sign.end(), sign.end() + number.end()
    if not found.unit:
        raise fault(
            text, start, end, f"`{number[0]}` has no unit", wanted_units(("mass", "share")), f"{number[0]} g"
        )
    if found.value < 0:
        raise fault(
            text, start, end, f"`{number[0]}` of accuracy", "a width without a sign", number[0].lstrip("-")
        )
    if found.plus is not None:
        instead = f"{number[0]} {found.unit}"
        raise fault(
            text, start, len(text), "an accuracy with a tolerance", "a mass, or a share in %", instead
        )
    if found.dimension == "share":
        return Accuracy(text=text.strip(), share=found.value)
    return Accuracy(text=text.strip(), mass=found.value)


_TOLERANCE = re.compile(rf"\s*{TAIL}\s*")
_GENERAL = re.compile(r"\s*ISO\s+2768-1\s+([fmcv])\s*")
_LIKE_GENERAL = re.compile(
    r"\s*(?:ISO|DIN)?[\s-]*(?:ISO)?[\s-]*2768\s*(?:-\s*1)?\s*[-\s]?\s*([fmcv]?)[HKL]?\s*", re.IGNORECASE
)
_BOTH_UNIT, _SIDES_UNIT = 2, 5
_TOLERANCE_WANTED: Final = "`± 0.2 mm`, `+0.2/-0.1 mm` or `ISO 2768-1 m`"
_General = Literal["f", "m", "c", "v"]


def parse_tolerance(text: str) -> Tolerance:
    """`± 0.2 mm`, `+0.2/-0.1 mm` (lengths in mm, angles in degrees) or `ISO 2768-1 m`."""
    text = plain(text)
    found = _TOLERANCE.fullmatch(text)
    if found is None:
        general = _GENERAL.fullmatch(text)
        if general is None:
            raise _no_tolerance(text)
        return Tolerance(text=text.strip(), general=cast("_General", general[1]))
    group = _BOTH_UNIT if found[1] else _SIDES_UNIT
    if found[group] in (None, "%"):
        end = len(text.rstrip())
        at = end if found[group] is None else found.start(group)
        what = "a tolerance without a unit" if found[group] is None else "a tolerance in %, of nothing"
        raise fault(text, at, end, what, _TOLERANCE_WANTED, " mm")
    unit = unit_between(text, *found.span(group), ("length", "angle"))
    plus, minus = spread(text, found, 1, 0.0, unit)
    dimension: Literal["length", "angle"] = "angle" if unit.dimension == "angle" else "length"
    return Tolerance(text=text.strip(), plus=plus, minus=minus, dimension=dimension)


def _no_tolerance(text: str) -> QuantityError:
    like = _LIKE_GENERAL.fullmatch(text)
    if like is not None:
        instead = f"ISO 2768-1 {(like[1] or 'm').lower()}"
        return fault(
            text, 0, len(text), f"`{text.strip()}` names no class of ISO 2768-1", _TOLERANCE_WANTED, instead
        )
    try:
        alone = quantity_between(text, 0, len(text), ("length", "angle"))
    except QuantityError as slip:
        return QuantityError(slip.offset, slip.end, slip.what, _TOLERANCE_WANTED, slip.mend)
    if alone.plus is None and alone.value >= 0:
        return fault(
            text,
            0,
            len(text),
            "a quantity where a tolerance is wanted",
            _TOLERANCE_WANTED,
            f"± {text.strip().lstrip('+')}",
        )
    return fault(text, 0, len(text), "a quantity where a tolerance is wanted", _TOLERANCE_WANTED, "± 0.2 mm")


# --- dims of a part --------------------------------------------------------------------------------------

LARGEST_GRADED: Final = 50.0  # mm: the sizes that the tables of grades go up to
_GRADED = re.compile(rf"\s*({NUMBER})\s*((?:js|[Hhgfknp])(?:[5-9]|10|11))\s+({UNIT})\s*")
_LIKE_GRADED = re.compile(rf"\s*({NUMBER})\s*({UNIT})?\s*\b([A-Za-z]{{1,2}}[0-9]{{1,2}})\s*([A-Za-z]+)?\s*")
_GRADES_WANTED: Final = "H, h, g, f, js, k, n or p with 5 to 11, as in `22 H7 mm`"
_LENGTH_OR_ANGLE: Final[tuple[Dimension, ...]] = ("length", "angle")


def parse_dimension(text: str, *, positive: bool = False) -> Quantity:
    """A length or angle with its ±, or a length with an ISO 286 grade: `22 H7 mm`, `8 h6 mm`."""
    text = plain(text)
    graded = _GRADED.fullmatch(text)
    if graded is not None:
        return _graded(text, graded)
    try:
        dimension = quantity_between(text, 0, len(text), _LENGTH_OR_ANGLE)
    except QuantityError as no_quantity:
        raise _grade_slip(text) or no_quantity from None
    if positive and dimension.value <= 0:
        raise not_positive(text)
    return dimension


def _graded(text: str, found: re.Match[str]) -> Quantity:
    number = found[1]
    unit = unit_between(text, *found.span(3), ("length",))
    value = amount(text, found.start(1), number, unit)
    if not 0 < value <= LARGEST_GRADED:
        raise _no_grade_here(found, f"{number} {unit.symbol}")
    return Quantity(
        text=text.strip(),
        value=value,
        dimension="length",
        unit=unit.symbol,
        last_digit=last_digit(number, unit),
        grade=found[2],
    )


def _no_grade_here(found: re.Match[str], size: str) -> QuantityError:
    what = f"a grade for {size}"
    wanted = "grades for sizes above 0 and up to 50 mm; limits for others"
    return QuantityError(*found.span(2), what, wanted, f"write its limits, as in `{size} ± 0.1 mm`")


def _grade_slip(text: str) -> QuantityError | None:
    """A grade in another place, without a unit, or that is not in the tables."""
    found = _LIKE_GRADED.fullmatch(text)
    if found is None:
        return None
    number, grade = found[1], found[3]
    unit = next((symbol for symbol in (found[2], found[4]) if symbol in UNITS), "mm")
    if UNITS[unit].dimension != "length":
        return None
    graded = f"{number} {grade} {unit}"
    if _GRADED.fullmatch(graded) is None:
        mend = f"write its limits, as in `{number} {unit} ± 0.1 mm`"
        return QuantityError(
            *found.span(3), f"`{grade}` is no grade that is known here", _GRADES_WANTED, mend
        )
    return fault(
        text, 0, len(text), f"`{text.strip()}` is not how a grade is written", _GRADES_WANTED, graded
    )
