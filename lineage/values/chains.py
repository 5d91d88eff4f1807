"""What a fit has to be, and the terms of its chain of dimensions."""

import re
from typing import Final

from lineage.values.quantity import ChainTerm, Dimension, Need, Quantity
from lineage.values.scanning import DECIMAL, FRACTION, amount, plain, quantity_between
from lineage.values.slips import QuantityError, fault, sample, wanted_units
from lineage.values.units import BARE_COUNT

_Dimensions = tuple[Dimension, ...]
_LENGTH: Final[_Dimensions] = ("length",)

# --- needs -----------------------------------------------------------------------------------------------

_ONE_SIDE = re.compile(r"\s*at\s+(least|most)\s+")
_BETWEEN = re.compile(r"\s*between\s+(.*?)(\s+and\s+)", re.DOTALL)
_LIKE_LEAST = re.compile(
    r"\s*(?:>=?|≥|min(?:imum)?\.?|no(?:t)? less than|more than|over|at ?least|from)\s*(?=[-+.0-9])",
    re.IGNORECASE,
)
_LIKE_MOST = re.compile(
    r"\s*(?:<=?|≤|max(?:imum)?\.?|no(?:t)? more than|less than|under|at ?most|up to)\s*(?=[-+.0-9])",
    re.IGNORECASE,
)


def parse_need(text: str, *dimensions: Dimension) -> Need:
    """`at least QTY`, `at most QTY` or `between QTY and QTY`; of lengths where no dimension is named."""
    text = plain(text)
    wanted = dimensions or _LENGTH
    one = _ONE_SIDE.match(text)
    if one is not None:
        limit = _limit(text, one.end(), len(text), wanted)
        if one[1] == "least":
            return Need(text=text.strip(), low=limit)
        return Need(text=text.strip(), high=limit)
    both = _BETWEEN.match(text)
    if both is None:
        raise _no_need(text, wanted)
    return _between(text, both, wanted)


def _limit(text: str, start: int, end: int, dimensions: _Dimensions) -> Quantity:
    limit = quantity_between(text, start, end, dimensions)
    if limit.plus is not None:
        number = re.split(r"±|\+", limit.text.lstrip("+"))[0].strip()
        exact = number if number.endswith(limit.unit) or ":" in number else f"{number} {limit.unit}"
        raise fault(text, start, end, "a limit with a tolerance", "a limit alone", exact)
    return limit


def _between(text: str, found: re.Match[str], dimensions: _Dimensions) -> Need:
    try:
        low = _limit(text, found.start(1), found.end(1), dimensions)
    except QuantityError as slip:
        raise _unit_at_the_end(text, found, dimensions) or slip from None
    high = _limit(text, found.end(2), len(text), dimensions)
    if low.dimension != high.dimension:
        what = f"limits of {low.dimension} and of {high.dimension}"
        wanted = wanted_units((low.dimension,))
        raise fault(text, found.end(2), len(text), what, wanted, sample((low.dimension,)))
    if low.value > high.value:
        turned = f"{high.text} and {low.text}"
        raise fault(text, found.start(1), len(text), "limits turned round", "the lower limit first", turned)
    return Need(text=text.strip(), low=low, high=high)


def _unit_at_the_end(text: str, found: re.Match[str], dimensions: _Dimensions) -> QuantityError | None:
    """`between 1 and 2 mm`: the first limit lacks the unit of the second."""
    if re.fullmatch(f"[+-]?(?:{DECIMAL}|{FRACTION})", found[1]) is None:
        return None
    high = quantity_between(text, found.end(2), len(text), dimensions)
    what = f"`{found[1]}` has no unit"
    return fault(text, *found.span(1), what, wanted_units(dimensions), f"{found[1]} {high.unit}")


def _no_need(text: str, dimensions: _Dimensions) -> QuantityError:
    wanted = "at least QTY, at most QTY, or between QTY and QTY"
    what = f"`{text.strip()}` is no need" if text.strip() else "nothing is written"
    for pattern, words in ((_LIKE_LEAST, "at least "), (_LIKE_MOST, "at most ")):
        found = pattern.match(text)
        if found is not None:
            return fault(
                text, found.start(), found.end(), f"`{found[0].strip()}` before a limit", wanted, words
            )
    try:
        limit = quantity_between(text, 0, len(text), dimensions)
    except QuantityError:
        return fault(text, 0, len(text), what, wanted, f"at least {sample(dimensions, '1')}")
    if limit.plus is not None:
        return fault(text, 0, len(text), what, wanted, f"at least {sample(dimensions, '1')}")
    return fault(text, 0, len(text), what, wanted, f"at least {limit.text}", f"at most {limit.text}")


# --- terms of a chain ------------------------------------------------------------------------------------

_COEFFICIENT = rf"(?:{DECIMAL}|{FRACTION})"
_NAME = r"[a-z][a-z0-9-]{0,39}"
_REF_TERM = re.compile(rf"\s*([+-]?)(?:({_COEFFICIENT})\s*\*\s*)?({_NAME}(?:\.{_NAME})*)\.({_NAME})\s*")
_SIGN = re.compile(r"\s*([+-]?)(?=[0-9.])")
_TERM_WANTED: Final = "`[+|-][NUMBER *] ref.dim`, or `[+|-]QTY`, without a space after the sign"


def parse_chain_term(text: str, *dimensions: Dimension) -> ChainTerm:
    """`-2 * side.height`, or a plain quantity, whose sign is its coefficient: `-1.2 mm ± 0.1 mm` is -1 times 1.2 mm."""
    text = plain(text)
    found = _REF_TERM.fullmatch(text)
    if found is None:
        return _literal(text, dimensions or _LENGTH)
    coefficient = amount(text, found.start(2), found[2], BARE_COUNT) if found[2] else 1.0
    if coefficient == 0:
        raise fault(text, *found.span(2), "a term counted no times", _TERM_WANTED, "1")
    signed = -coefficient if found[1] == "-" else coefficient
    return ChainTerm(text=text.strip(), coefficient=signed, ref=found[3], dim=found[4])


def _literal(text: str, dimensions: _Dimensions) -> ChainTerm:
    sign = _SIGN.match(text)
    if sign is None:
        raise _no_term(text, dimensions)
    try:
        literal = quantity_between(text, sign.end(), len(text), dimensions)
    except QuantityError as slip:
        raise _ref_slip(text) or slip from None
    return ChainTerm(text=text.strip(), coefficient=-1.0 if sign[1] == "-" else 1.0, literal=literal)


_SPACED_SIGN = re.compile(r"\s*([+-])(\s+)(?=\S)")
_LOOSE_REF = r"[A-Za-z][A-Za-z0-9_-]*(?:\.[A-Za-z][A-Za-z0-9_-]*)*"
_COUNTED = re.compile(rf"\s*([+-]?)({_COEFFICIENT})\s*[x×*·]?\s*({_LOOSE_REF})\s*")
_COUNTED_BEHIND = re.compile(rf"\s*([+-]?)({_LOOSE_REF})\s*[x×*·]\s*({_COEFFICIENT})\s*")
_SIGNED = re.compile(rf"\s*([+-]?)({_LOOSE_REF})\s*")


def _no_term(text: str, dimensions: _Dimensions) -> QuantityError:
    spaced = _SPACED_SIGN.match(text)
    if spaced is not None:
        what = f"a space after `{spaced[1]}`, which makes a list of it"
        return fault(text, *spaced.span(2), what, _TERM_WANTED, "")
    what = f"`{text.strip()}` is no term of a chain" if text.strip() else "nothing is written"
    return _ref_slip(text) or fault(
        text, 0, len(text), what, _TERM_WANTED, "side.height", sample(dimensions, "-1")
    )


def _ref_slip(text: str) -> QuantityError | None:
    """A reference in capitals, without a dimension, or with its number in another place."""
    counted = _COUNTED.fullmatch(text)
    behind = _COUNTED_BEHIND.fullmatch(text)
    signed = _SIGNED.fullmatch(text)
    if counted is not None and "." in counted[3]:
        instead = f"{counted[1]}{counted[2]} * {_as_ref(counted[3])}"
    elif behind is not None:
        instead = f"{behind[1]}{behind[3]} * {_as_ref(behind[2])}"
    elif signed is not None:
        instead = f"{signed[1]}{_as_ref(signed[2])}"
    else:
        return None
    return fault(text, 0, len(text), f"`{text.strip()}` is no term of a chain", _TERM_WANTED, instead)


def _as_ref(name: str) -> str:
    ref = name.lower().replace("_", "-")
    return ref if "." in ref else f"{ref}.height"
