"""What is said where text is no quantity: the classic slips, each with its own cure."""

import re
from collections.abc import Callable
from difflib import get_close_matches
from typing import Final, NamedTuple
from unicodedata import decimal, normalize

from lineage.values.quantity import Dimension
from lineage.values.units import HABITS, UNITS, Unit, name_of, symbols_of, usual_unit


class QuantityError(ValueError):
    """Text that is not the quantity wanted; offsets count characters of the text that was given."""

    def __init__(self, offset: int, end: int, what: str, wanted: str, mend: str) -> None:
        self.offset, self.end = offset, end
        self.what, self.wanted, self.mend = what, wanted, mend
        super().__init__(f"{what}; {wanted}; {mend}")


def fault(text: str, offset: int, end: int, what: str, wanted: str, *instead: str) -> QuantityError:
    """A fault whose cure is to write one of `instead` between its offsets."""
    ways = (" ".join(f"{text[:offset]}{new}{text[end:]}".split()) for new in instead)
    return QuantityError(offset, end, what, wanted, "write " + " or ".join(f"`{way}`" for way in ways))


def wanted_units(dimensions: tuple[Dimension, ...]) -> str:
    """`a mass in g, kg, mg, oz or lb`, for messages."""
    if not dimensions:
        return "a number with its unit"
    return ", or ".join(_wanted_unit(dimension) for dimension in dimensions)


def _wanted_unit(dimension: Dimension) -> str:
    if dimension == "count":
        return "a number without a unit"
    if dimension == "money":
        return "a price with its currency code, as in `12.50 EUR`"
    *others, last = symbols_of(dimension)
    units = f"{', '.join(others)} or {last}" if others else last
    return f"{name_of(dimension)} in {units}"


def sample(dimensions: tuple[Dimension, ...], number: str = "12") -> str:
    """A quantity of the first dimension wanted, to show how one is written."""
    return f"{number} {usual_unit(dimensions[0]) if dimensions else 'mm'}".strip()


# --- slips in numbers ------------------------------------------------------------------------------------

_Match = re.Match[str]


class _Slip(NamedTuple):
    pattern: re.Pattern[str]
    what: str
    wanted: str
    instead: Callable[[_Match], tuple[str, ...]]


def _pointed(found: _Match) -> tuple[str, ...]:
    number = found[0]
    if "." in number and number.rfind(",") < number.rfind("."):
        return (number.replace(",", ""),)
    if number.count(",") > 1:
        return (number.replace(",", ""),)
    decimals = number.replace(".", "").replace(",", ".")
    if "." not in number and len(number.partition(",")[2]) == 3 and number[0] not in "0,":
        return number.replace(",", ""), decimals
    return (decimals,)


def _in_plain_digits(found: _Match) -> tuple[str, ...]:
    number = "".join(str(decimal(c, c)) for c in found[0])
    mixed = re.sub(r"([0-9])(?=[¼½¾⅐-⅞])", r"\1 ", number)
    return (normalize("NFKC", mixed).replace("\N{FRACTION SLASH}", "/"),)


def _worked_out(found: _Match) -> tuple[str, ...]:
    power = float(found[1][:12]) ** int(normalize("NFKC", found[2]))
    return (f"{power:.0f}" if power.is_integer() else f"{power:.6g}",)


def _carried_over(found: _Match) -> tuple[str, ...]:
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    minutes, seconds = divmod(3600 * hours + 60 * minutes + seconds, 60)
    return (f"{minutes}:{seconds:02d}",)


def _middle(found: _Match) -> tuple[str, ...]:
    low, high = sorted((float(found[1]), float(found[2])))
    unit = f" {found[3]}" if found[3] else ""
    return (f"{(low + high) / 2:.12g}{unit} ± {(high - low) / 2:.12g}{unit}",)


_NUMBER_SLIPS: Final = (
    _Slip(
        re.compile(r"(?<![0-9.,])(?=[0-9.]*,[0-9])[0-9]*(?:[.,][0-9]+)+"),
        "has a comma",
        "a decimal point, and nothing between thousands",
        _pointed,
    ),
    _Slip(
        re.compile(r"[0-9]+(?:_+[0-9]+)+"),
        "has an underscore",
        "digits and a decimal point",
        lambda found: (found[0].replace("_", ""),),
    ),
    _Slip(
        re.compile(r"[0-9]*(?:(?![0-9])\d|[¼½¾⅐-⅞])[\d¼½¾⅐-⅞]*"),
        "is written in other digits than 0 to 9",
        "the digits 0 to 9",
        _in_plain_digits,
    ),
    _Slip(
        re.compile(r"([0-9]+(?:\.[0-9]+)?)(?:\^|\*\*)?([¹²³]|(?<=[*^])[1-9](?![0-9]))"),
        "is a power",
        "the number that it stands for",
        _worked_out,
    ),
    _Slip(
        re.compile(r"[+-]?\.?\b(?:inf|infinity|nan)\b", re.IGNORECASE),
        "is no finite number",
        "a finite number; what is not known is left out",
        lambda _: ("12",),
    ),
    _Slip(
        re.compile(r"(?<![0-9.:])(?:([0-9]{1,3}):)?([0-9]{1,3}):([0-9]{1,3})(?![0-9:])"),
        "is not minutes and two digits of seconds up to 59",
        "minutes and seconds, as in `2:10`",
        _carried_over,
    ),
    _Slip(
        re.compile(r"(?<![0-9.:A-Za-z])(?<![eE][+-])0+([0-9]+)"),
        "has leading zeros",
        "a number without them",
        lambda found: (found[1].lstrip("0") or "0",),
    ),
    _Slip(
        re.compile(r"(?<![0-9.])[0-9]+(?:\.[0-9]*)?[eE][+-]?[0-9]{3,}"),
        "has an exponent beyond all sizes",
        "a number of everyday size",
        lambda _: ("12",),
    ),
    _Slip(
        re.compile(r"(?<![0-9.])([0-9]+)/0+(?![0-9.])"),
        "is a fraction of no parts",
        "a fraction such as `1/4`",
        lambda found: (found[1],),
    ),
    _Slip(
        re.compile(r"(?<![0-9.])[0-9]{1,3}(?:\s+[0-9]{3})+(?![0-9/])"),
        "has a space between thousands",
        "digits without a space",
        lambda found: ("".join(found[0].split()),),
    ),
    _Slip(
        re.compile(
            r"(?<![0-9.])([0-9]+(?:\.[0-9]+)?)\s*(?:-|–|\.\.+|…|\bto\b)\s*([0-9]+(?:\.[0-9]+)?)"
            r"(?![0-9.])\s*([A-Za-z%][A-Za-z0-9/%]*)?"
        ),
        "is a range",
        "its middle with ±",
        _middle,
    ),
)


def number_slip(text: str, start: int, end: int) -> QuantityError | None:
    """The first slip in a number between two offsets."""
    for slip in _NUMBER_SLIPS:
        found = slip.pattern.search(text, start, end)
        if found is not None:
            what = f"`{found[0].strip()}` {slip.what}"
            return fault(text, found.start(), found.end(), what, slip.wanted, *slip.instead(found))
    return None


def not_positive(text: str) -> QuantityError:
    """The fault of a quantity that may not be negative or nothing."""
    found = re.search(r"-?\s*[0-9.][0-9./ ]*", text)
    assert found is not None
    number = found[0].strip()
    larger = number.lstrip("- ") if re.search("[1-9]", number) else "12"
    start = found.start()
    what = f"`{number}` where a size cannot be that small"
    return fault(text, start, start + len(number), what, "more than 0", larger)


# --- slips in units --------------------------------------------------------------------------------------

_MEANT_AS: Final = {"g": "gf", "kg": "kgf", "oz": "ozf", "lb": "lbf", "m": "min"}


def unit_fault(
    text: str, start: int, end: int, unit: Unit | None, dimensions: tuple[Dimension, ...]
) -> QuantityError:
    """A unit that there is not, or that is of another dimension than is wanted."""
    name = text[start:end]
    if unit is None:
        first = name.split()[0]
        if first != name and first in UNITS and " ".join(name.split()) not in HABITS:
            return _behind(text, start + len(first), end)
    what = f"`{name}` is no unit" if unit is None else f"`{name}` is a unit of {unit.dimension}"
    meant = meant_unit(name, dimensions)
    if meant == "%" and unit is None and dimensions == ("share",):
        what = f"`{name}` where a share is wanted"
    gap = " " if start and not text[start - 1].isspace() else ""
    return fault(text, start, end, what, wanted_units(dimensions), f"{gap}{meant}")


def meant_unit(name: str, dimensions: tuple[Dimension, ...]) -> str:
    """The unit of the dimensions wanted that a name was probably meant to be."""
    known = symbols_of(*dimensions)
    name = " ".join(name.split())
    for candidate in (HABITS.get(name), HABITS.get(name.lower()), _MEANT_AS.get(name)):
        if candidate in known:
            return str(candidate)
    same = [symbol for symbol in known if symbol.lower() == name.lower()]
    near = same or get_close_matches(name, known, n=1, cutoff=0.6)
    if near:
        return near[0]
    return usual_unit(dimensions[0]) if dimensions else "mm"


# --- slips around number and unit ------------------------------------------------------------------------

_LOOSE_NUMBER = (
    r"[+-]?(?:[0-9]+ +[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
)
_START = re.compile(rf"\s*({_LOOSE_NUMBER})\s*([^\s\d+±.,/-][^\s+±]*)?\s*")
_TURNED = re.compile(rf"\s*([^\d\s+±.-]+)\s*({_LOOSE_NUMBER})\s*")
_TWO_SIDES = re.compile(r"([+-])\s*([0-9.]+)\s*[^\s\d+/-]*\s*/?\s*([+-])\s*([0-9.]+)")
_NEGATIVE_WIDTH = re.compile(r"(?:±|\+/?-)\s*([+-]+)\s*(?=[0-9.])")


def rest_slip(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> QuantityError | None:
    """What is wrong around a number and its unit."""
    if not text[start:end].strip():
        return QuantityError(
            start, end, "nothing is written", wanted_units(dimensions), _write(text, start, end, dimensions)
        )
    for slip in (_tail_slip, _turned_slip, _before_slip, _rest_of):
        found = slip(text, start, end, dimensions)
        if found is not None:
            return found
    return None


def _write(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> str:
    return fault(text, start, end, "", "", f" {sample(dimensions)} ").mend


def _tail_slip(text: str, start: int, end: int, _: tuple[Dimension, ...]) -> QuantityError | None:
    """A ± that is none: negative, turned round, or both on one side."""
    found = _NEGATIVE_WIDTH.search(text, start, end)
    if found is not None:
        return fault(text, found.start(1), found.end(1), "a sign behind ±", "a width without a sign", "")
    found = _TWO_SIDES.search(text, start, end)
    if found is None:
        return None
    signs, one, other = found[1] + found[3], found[2], found[4]
    wanted = "+A/-B, or ± and a number"
    if signs == "+-":
        return fault(text, *found.span(), f"`{found[0]}` is no tolerance", wanted, f"+{one}/-{other}")
    if signs == "-+":
        return fault(
            text, *found.span(), f"`{found[0]}` has its sides turned round", wanted, f"+{other}/-{one}"
        )
    return _both_on_one_side(text, start, found)


def _both_on_one_side(text: str, start: int, found: _Match) -> QuantityError:
    """`22 mm +0.2/+0.1`, which is 22.15 mm ± 0.05."""
    what = f"`{found[0]}` has both limits on one side"
    wanted = "a number between its limits, with ±"
    nominal = _START.match(text, start, found.start())
    plain = re.compile(r"[0-9]+(?:\.[0-9]+)?")
    if nominal is None or not (
        plain.fullmatch(found[2]) and plain.fullmatch(found[4]) and "/" not in nominal[1]
    ):
        return QuantityError(*found.span(), what, wanted, "write `22 mm ± 0.1 mm`")
    one, other = sorted(float(f"{found[1]}{found[group]}") for group in (2, 4))
    middle = float(nominal[1]) + (one + other) / 2
    centred = f"{middle:.9g} {nominal[2] or ''} ± {(other - one) / 2:.9g} ".replace("  ", " ")
    mend = fault(text, nominal.start(1), found.end(), what, wanted, centred).mend
    return QuantityError(*found.span(), what, wanted, mend)


def _turned_slip(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> QuantityError | None:
    """`EUR 12.50`, `$5`: the unit before the number."""
    found = _TURNED.fullmatch(text, start, end)
    if found is None:
        return None
    name = found[1].strip()
    unit = name if name in UNITS else HABITS.get(name)
    if unit is None or unit not in symbols_of(*dimensions):
        return None
    what = f"`{name}` before its number"
    return fault(text, start, end, what, wanted_units(dimensions), f"{found[2]} {unit}")


def _before_slip(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> QuantityError | None:
    """`ca. 92 g`: something before the number."""
    first = re.compile(r"[+-]?\.?[0-9]").search(text, start, end)
    if first is None or not text[start : first.start()].strip():
        return None
    before = text[start : first.start()].strip()
    at = text.index(before, start)
    if before in {"±", "+/-", "+-"}:
        wanted = f"{wanted_units(dimensions)}, before its ±"
        return fault(text, at, at, "a ± without its number", wanted, f"{sample(dimensions)} ")
    return fault(text, at, at + len(before), f"`{before}` before the number", wanted_units(dimensions), "")


def _rest_of(text: str, start: int, end: int, dimensions: tuple[Dimension, ...]) -> QuantityError | None:
    """What stands behind a number with its unit."""
    found = _START.match(text, start, end)
    if found is None:
        return None
    if found[2] is None and found.end() < end:
        at = found.end(1)
        symbol = meant_unit(text[at:end].strip(), dimensions)
        return fault(
            text, at, end, f"`{text[at:end].strip()}` is no unit", wanted_units(dimensions), f" {symbol}"
        )
    return _behind(text, found.end(), end) if found.end() < end else None


def _behind(text: str, start: int, end: int) -> QuantityError:
    rest = text[start:end].strip()
    at = text.index(rest, start)
    return fault(text, at, end, f"`{rest}` behind the quantity", "nothing, or ± and a number", "")
