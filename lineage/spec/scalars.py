"""Readers of single values: texts, words, counts, numbers, names, dates, paths and quantities."""

import math
import re
from collections.abc import Callable
from typing import Any

from lineage.spec import names
from lineage.spec.document import Node, Scalar
from lineage.spec.fields import BAD, Free, ListOf, NameMap, Reading, Schema, Value, shortened, wrong_shape
from lineage.spec.names import BadName
from lineage.spec.records import Path
from lineage.values.parsing import (
    QuantityError,
    parse_accuracy,
    parse_dimension,
    parse_duration,
    parse_mass,
    parse_position,
    parse_price,
    parse_quantity,
    parse_section,
    parse_share,
    parse_size,
    parse_tolerance,
)
from lineage.values.quantity import Dimension, Quantity

MOST_COUNT = 1_000_000
LONGEST_QUANTITY = 200  # characters; the patterns of quantities are not made for more
_COUNT = re.compile(r"0|[1-9][0-9]*")
_NUMBER = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9]")


class Text:
    """Any text, whatever it looks like; not an empty one. What `plain` matches is written without quotes."""

    def __init__(self, what: str = "text", *, one_line: bool = False, plain: str = "") -> None:
        self.what, self.one_line, self.plain = what, one_line, re.compile(plain)

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The text as typed."""
        del path
        if type(node) is not Scalar:
            return wrong_shape(node, self.what, reading)
        if not node.text.strip():
            return reading.fault(node, "text", "the text is empty", self.what, "leave the key out")
        if self.one_line and "\n" in node.text.strip():
            return reading.fault(
                node, "text", "the text has several lines", "one line", "put the rest under `notes`"
            )
        return node.text

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """What looks like a number or a truth value is text too."""
        del shared
        return {"type": ["string", "number", "boolean"]}


class Word:
    """One of a few words."""

    def __init__(self, *words: str) -> None:
        self.words = words
        self.what = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The word."""
        del path
        if type(node) is not Scalar:
            return wrong_shape(node, self.what, reading)
        if node.text in self.words:
            return node.text
        near = reading.near(node.text.lower(), self.words)
        if near is None and set(self.words) >= {"yes", "no"}:
            near = {"true": "yes", "on": "yes", "y": "yes", "false": "no", "off": "no", "n": "no"}.get(
                node.text.lower()
            )
        mend = f"write `{near}`" if near else "use one of these words"
        return reading.fault(node, "word", f"`{shortened(node.text)}` is none of the words", self.what, mend)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """The words; yes and no may reach a checker as truth values."""
        del shared
        truths = [word == "yes" for word in self.words if word in {"yes", "no"}]
        return {"enum": [*self.words, *truths]}


class Count:
    """A whole number, from `least` on."""

    def __init__(self, least: int = 1) -> None:
        self.least = least
        self.what = f"a whole number from {least} on"

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The number."""
        del path
        if type(node) is not Scalar:
            return wrong_shape(node, self.what, reading)
        text = node.text
        if _COUNT.fullmatch(text) and len(text) <= 7 and self.least <= int(text) <= MOST_COUNT:
            return int(text)
        if _LEADING_ZERO.match(text):
            return leading_zero(node, reading)
        mend = f"write a number from {self.least} to {MOST_COUNT:,}, without unit or decimals"
        return reading.fault(node, "number", f"`{shortened(text)}` is no count", self.what, mend)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """An integer, quoted or not."""
        del shared
        return {
            "type": ["integer", "string"],
            "minimum": self.least,
            "maximum": MOST_COUNT,
            "pattern": "^[0-9]+$",
        }


class Number:
    """A plain number above zero, or from zero on."""

    def __init__(self, what: str = "a number", *, zero: bool = False) -> None:
        self.what, self.zero = what, zero

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The number."""
        del path
        if type(node) is not Scalar:
            return wrong_shape(node, self.what, reading)
        if not _NUMBER.fullmatch(node.text) or len(node.text) > 40:
            mend = (
                f"write `{node.text.replace(',', '.')}`"
                if _NUMBER.fullmatch(node.text.replace(",", "."))
                else ("write a number without unit")
            )
            return reading.fault(node, "number", f"`{shortened(node.text)}` is no number", self.what, mend)
        if _LEADING_ZERO.match(node.text):
            return leading_zero(node, reading)
        value = float(node.text)
        if not math.isfinite(value) or value < 0 or (value == 0 and not self.zero):
            what = f"`{shortened(node.text)}` is out of range"
            wanted = f"{self.what}, {'not below' if self.zero else 'above'} zero"
            return reading.fault(node, "number", what, wanted, "look at the sign and the size")
        return value

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A number, quoted or not."""
        del shared
        least = {"minimum": 0} if self.zero else {"exclusiveMinimum": 0}
        return {"type": ["number", "string"], **least, "pattern": f"^{_NUMBER.pattern}$"}


def leading_zero(node: Scalar, reading: Reading) -> Any:
    """Note a number with a zero that could mean base eight to some readers."""
    without = re.sub(r"^([-+]?)0+(?=[0-9])", r"\1", node.text)
    what = f"`{shortened(node.text)}` begins with a zero"
    return reading.fault(node, "leading-zero", what, "a number without it", f"write `{shortened(without)}`")


class Named:
    """A text that keeps a rule for names; `rule` raises BadName."""

    def __init__(self, what: str, rule: Callable[[str], Any], pattern: str, *, numbers: bool = False) -> None:
        self.what, self.rule, self.pattern, self.numbers = what, rule, pattern, numbers

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """What the rule makes of the text."""
        del path
        if type(node) is not Scalar:
            return wrong_shape(node, self.what, reading)
        try:
            return self.rule(node.text)
        except BadName as error:
            return reading.bad_name(node, error)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A text of that pattern; what looks like a number where names may."""
        del shared
        kinds = ["string", "number", "boolean"] if self.numbers else "string"
        return {"type": kinds, "pattern": f"^(?:{self.pattern})$"}


class Measured:
    """A text that a parser of quantities reads; its faults are placed at their own column inside the text."""

    def __init__(
        self, what: str, parser: Callable[..., Any], *given: Any, example: str, **options: Any
    ) -> None:
        self.what, self.parser, self.given, self.options = what, parser, given, options
        self.example = example

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """What the parser makes of the text."""
        del path
        if type(node) is not Scalar:
            return wrong_shape(node, f"{self.what}, as in `{self.example}`", reading)
        if len(node.text) > LONGEST_QUANTITY:
            what = f"`{shortened(node.text)}` has {len(node.text):,} characters"
            wanted = f"{self.what}, as in `{self.example}`"
            return reading.fault(node, "quantity", what, wanted, "write the number alone")
        try:
            return self.parser(node.text, *self.given, **self.options)
        except QuantityError as error:
            place = reading.document.within(node, error.offset, error.end)
            return reading.fault_at(place, "quantity", error.what, error.wanted, error.mend)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A text with an example; a bare number where the example is one."""
        del shared
        kinds = ["string", "number"] if self.example.replace(".", "").isdecimal() else "string"
        return {"type": kinds, "examples": [self.example]}


def not_below_zero(text: str, *dimensions: Dimension) -> Quantity:
    """A quantity of something that cannot be less than nothing."""
    return _not_negative(parse_quantity(text, *dimensions))


def duration_not_below_zero(text: str) -> Quantity:
    """A time that something took."""
    return _not_negative(parse_duration(text))


def _not_negative(found: Quantity) -> Quantity:
    if found.value < 0:
        wanted, mend = "nothing below zero", f"write `{found.text.strip().lstrip('-').strip()}`"
        raise QuantityError(0, len(found.text), f"`{found.text.strip()}` is less than nothing", wanted, mend)
    return found


def quantity_or_text(text: str) -> Quantity | str:
    """A quantity of any dimension where the text is one, else the text."""
    if len(text) > LONGEST_QUANTITY:
        return text
    try:
        return parse_quantity(text)
    except QuantityError:
        return text


class Setting:
    """A text or a quantity; what is in quotes is text."""

    what = "a text or a quantity"

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The quantity where a plain text is one."""
        text = TEXT.read(node, path, reading)
        return quantity_or_text(text) if isinstance(node, Scalar) and node.plain and text is not BAD else text

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """Any text or number."""
        return TEXT.schema(shared)


def path_in_family(text: str) -> str:
    """A path inside the family, with forward slashes; raises BadName."""
    steps = text.split("/")
    if "\\" in text or "" in steps or ".." in steps or "." in steps or ":" in text or ".git" in steps:
        mend = "write it from the folder of family.yaml on, with `/`, as in plates/side.dxf"
        raise BadName(
            "path", f"`{shortened(text)}` is no path inside the family", "a path inside the family", mend
        )
    return text


def outline_path(text: str) -> str:
    """The path of a drawing; raises BadName."""
    path_in_family(text)
    if not text.startswith("plates/") or not text.lower().endswith(".dxf"):
        what = f"`{shortened(text)}` is no drawing of a plate"
        raise BadName("path", what, "plates/NAME.dxf", "save the drawing as DXF in the folder `plates`")
    return text


def quantity(what: str, *dimensions: Dimension, example: str) -> Measured:
    """A quantity above zero with a unit of these dimensions."""
    return Measured(what, parse_quantity, *dimensions, example=example, positive=True)


TEXT = Text()
ONE_LINE = Text("one line of text", one_line=True)
TEXTS = ListOf(TEXT, or_one=True)
REF_OR_TEXT = Text("a reference, or text", plain=names.REF)
REFS_OR_TEXTS = ListOf(REF_OR_TEXT, or_one=True)
FREE = Free()
YES_NO = Word("yes", "no")
COUNT = Count()
COUNT_OR_NONE = Count(least=0)
NAME = Named("a name", names.name, names.NAME)
FAMILY_NAME = Named("a name", names.family_name, names.FAMILY_NAME, numbers=True)
DESIGN_NAME = Named("the name of a design", names.design_name, names.NAME)
LABEL = Named("a build label", names.build_label, names.LABEL, numbers=True)
REF = Named("a reference, as in `drive-left.gearbox`", names.ref, names.REF)
REFS = ListOf(REF, or_one=True)
BUILD_REF = Named("a build, as in `drive-pod@B`", names.build_ref, names.BUILD_REF)
DAY = Named("a date, as in 2025-03-09", names.day, names.DATE)
EVENT = Named("an event, as in 2025-03-09-spring-meet", names.event_name, names.EVENT)
PATH = Named("a path inside the family", path_in_family, r"[^\\:]+")
PATHS = ListOf(PATH, or_one=True)
OUTLINE = Named("the path of a drawing, as in plates/side.dxf", outline_path, r"plates/[^\\:]+\.[dD][xX][fF]")

MASS = quantity("a mass", "mass", example="92 g ± 1 g")
LENGTH = quantity("a length", "length", example="6.35 mm ± 0.25 mm")
AREA = quantity("an area", "area", example="148 cm2")
DENSITY = quantity("a density", "density", example="1196 kg/m3")
AREAL = quantity("a mass by area", "areal", example="780 g/m2")
LINEAR = quantity("a mass by length", "linear", example="28 g/m")
LENGTH_OR_NONE = Measured("a length", not_below_zero, "length", example="0.5 mm")
TIME = Measured("a time", duration_not_below_zero, example="2:10")
ROTATION = quantity("a speed of rotation", "rotation", example="9000 rpm")
PRICE = Measured("a price", parse_price, example="12.50 EUR")
SHARE = Measured("a share", parse_share, example="5 %")
TYPED_MASS = Measured("a mass", parse_mass, example="92 g weighed", positive=True)
SIZE = Measured("a size", parse_size, example="68 x 35 x 17 mm", positive=True)
FLAT_SIZE = Measured("a size, the height free", parse_size, (2, 3), example="600 x 400 mm", positive=True)
POSITION = Measured("a position", parse_position, example="10 x -20 x 5 mm")
SECTION = Measured("a section", parse_section, example="6 mm round", positive=True)
TOLERANCE = Measured("a tolerance", parse_tolerance, example="± 0.2 mm")
ACCURACY = Measured("an accuracy", parse_accuracy, example="± 0.5 g")
SETTING = Setting()
DIMENSION = Measured("a dimension", parse_dimension, example="22 mm ± 0.2 mm")


def by_name(what: str, value: Value) -> NameMap:
    """Names of a design → values."""
    return NameMap(what, names.name, names.NAME, value)


def by_family_name(what: str, value: Value) -> NameMap:
    """Names of the family or of stock → values."""
    return NameMap(what, names.family_name, names.FAMILY_NAME, value)


def by_text(what: str, value: Value) -> NameMap:
    """Free texts → values."""
    return NameMap(what, None, "", value)


CHOSEN = by_text("a mapping of option to choice", REF_OR_TEXT)
FITTED = by_name("a mapping of option to choice", NAME)
