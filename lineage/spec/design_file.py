"""robots/NAME.yaml and modules/NAME.yaml → Design."""

import re
from collections.abc import Mapping as MappingOf
from typing import Any, Literal, get_args

from msgspec import structs

from lineage.spec import names
from lineage.spec.document import Mapping, Node, Sequence
from lineage.spec.family_file import ROLE, STOCK
from lineage.spec.fields import (
    BAD,
    ByShape,
    Key,
    ListOf,
    Misplaced,
    NameMap,
    Reading,
    Schema,
    Table,
    Then,
    read_value,
    required,
    shortened,
)
from lineage.spec.names import BadName
from lineage.spec.records import (
    Bay,
    Choice,
    Design,
    Drive,
    FastenerGroup,
    Fit,
    PackItem,
    Part,
    Path,
    Read,
    Rework,
    State,
    Stores,
    Turn,
    Use,
    Way,
)
from lineage.spec.scalars import (
    AREA,
    BUILD_REF,
    COUNT,
    COUNT_OR_NONE,
    DESIGN_NAME,
    DIMENSION,
    FAMILY_NAME,
    FITTED,
    FLAT_SIZE,
    FREE,
    LENGTH,
    LENGTH_OR_NONE,
    OUTLINE,
    PATHS,
    POSITION,
    PRICE,
    REFS,
    ROTATION,
    SETTING,
    SHARE,
    SIZE,
    TEXT,
    TEXTS,
    TIME,
    TYPED_MASS,
    YES_NO,
    Measured,
    Named,
    Number,
    Word,
    by_family_name,
    by_name,
    by_text,
    quantity,
)
from lineage.values.parsing import parse_chain_term, parse_need

# --- parts -----------------------------------------------------------------------------------------------

REWORK = ByShape(
    "what was done, or a mapping with `do` and `takes`",
    single=Then(TEXT, lambda text: Rework(do=text)),
    keys=Table(
        "rework",
        [required("do", TEXT, "what is done to a bought part"), Key("takes", TIME, "how long that takes")],
        Rework,
        extra=False,
    ),
)


def _made_of_one(keys: MappingOf[str, Node], node: Mapping, path: Path, reading: Reading) -> bool:
    """Whether a part is exactly one of: cut from sheet, cut from bar or tube, with a mass of its own."""
    fault = _made_of_fault(keys)
    if fault is None:
        return True
    key, what, mend = fault
    place = reading.document.place(keys[key]) if key else reading.places.get(path)
    wanted = "`stock` and `outline` or `area`; or `stock` and `length`; or `mass`"
    reading.fault_at(place or reading.document.place(node), "one-of", f"`{path[-1]}` {what}", wanted, mend)
    return False


def _made_of_fault(keys: MappingOf[str, Node]) -> tuple[str, str, str] | None:
    shapes = [key for key in ("outline", "area", "length") if key in keys]
    if "mass" in keys and "stock" in keys:
        mend = "delete one; a plate that was weighed is a result, not a key of its part"
        return "mass", "has a `stock` and a `mass` of its own", mend
    if "mass" in keys and shapes:
        return (
            shapes[0],
            f"has a `mass` of its own and a `{shapes[0]}`",
            "delete one, or move the length into `dims`",
        )
    if "stock" in keys and not shapes:
        return (
            "stock",
            "is cut from stock, but nothing says how large it is",
            "add `outline`, `area` or `length`",
        )
    if len(shapes) > 1:
        return shapes[1], f"has `{shapes[0]}` and `{shapes[1]}`", "delete one of the two"
    if shapes and "stock" not in keys:
        return shapes[0], f"has `{shapes[0]}`, but no `stock` that it is cut from", "add `stock: …`"
    if not shapes and "mass" not in keys:
        return "", "has no `stock` and no `mass`", "add `mass: …`; a guess will do: `mass: 30 g guess`"
    lonely = next((key for key in ("ignore", "drawing_unit") if key in keys and "outline" not in keys), None)
    return (lonely, f"has `{lonely}`, but no `outline`", f"delete `{lonely}`") if lonely else None


PART = Table(
    "part",
    [
        Key("stock", FAMILY_NAME, "the sheet, bar or tube that it is cut from"),
        Key("outline", OUTLINE, "the drawing of the plate"),
        Key("area", AREA, "of the plate, where there is no drawing"),
        Key("length", LENGTH, "of bar or tube"),
        Key("mass", TYPED_MASS, "of one piece; with listed, weighed, modelled or guess"),
        Key("ignore", TEXTS, "layers of the drawing to leave out"),
        Key("drawing_unit", Word("mm", "cm", "m", "in", "ft", "mil", "um"), "for a drawing that says none"),
        Key("role", ROLE, "what it is there for"),
        Key("count", COUNT, "how many pieces; by default 1"),
        Key("size", SIZE, "length x width x height"),
        Key("dims", by_name("a mapping of name to dimension", DIMENSION), "dimensions that fits use"),
        Key("process", TEXT, "how it is made, for its tolerance"),
        Key("material", TEXT, "what it is made of"),
        Key("joined", TEXT, "bolted, glued, pressed, plugged, taped …"),
        Key("behind", REFS, "what has to come off first"),
        Key("rework", ListOf(REWORK, or_one=True), "what is done to a bought part before it goes in"),
        Key("item", TEXT, "what a bought part is, the same words wherever it is used"),
        Key("price", PRICE, "of one piece"),
        Key("source", TEXT, "where it comes from"),
        Key("cells", Word("lithium"), "cells that want care"),
        Key("stores", Word(*get_args(Stores)), "energy that it stores"),
        Key("centre", POSITION, "of its mass: x forward, y left, z up"),
        Key("orientations", COUNT, "how many ways round it goes in"),
        Key("marked", YES_NO, "whether a wrong way can be seen"),
        Key("spin", ROTATION, "how fast it turns"),
        Key("carry", COUNT_OR_NONE, "spares that always travel"),
        Key("note", TEXT, "print settings and the like"),
        Key("files", PATHS, "files kept by content with each build"),
        Key("tags", TEXTS, "words to find it by"),
    ],
    Part,
    check=_made_of_one,
)

GROUP = Table(
    "fastener group",
    [
        required(
            "type", TEXT, "`ISO 4762 M3x10`, `M3x8 button`, `4-40 x 1/2 in cap`; or any text beside `mass`"
        ),
        required("count", COUNT, "how many screws"),
        required("holds", REFS, "what comes loose when they are out"),
        Key("into", REFS, "what they are screwed into"),
        Key("holes", COUNT, "how many holes there are to fill"),
        Key("grip", LENGTH_OR_NONE, "thickness under the head before thread begins"),
        Key("depth", LENGTH, "of thread that there is"),
        Key("plate", LENGTH, "thickness of a countersunk plate"),
        Key("material", TEXT, "of the screws"),
        Key("mass", TYPED_MASS, "of one screw alone"),
        Key("washers", COUNT_OR_NONE, "per screw"),
        Key("nuts", COUNT_OR_NONE, "per screw"),
        Key("threadlock", TEXT, "which"),
        Key("behind", REFS, "what has to come off before they can be reached"),
    ],
    FastenerGroup,
)

# --- modules in their places -----------------------------------------------------------------------------

_TURN = re.compile(r"\s*([xyz])\s+([-+]?[0-9]{1,4}(?:\.[0-9]{1,6})?)\s*(?:deg)?\s*")
_MIRRORED = re.compile(r"\s*mirrored\s+([xyz])\s*")


def turn(text: str) -> Turn:
    """`x 90` or `mirrored y`; raises BadName."""
    text = shortened(text)
    if found := _TURN.fullmatch(text):
        return Turn(found[1], float(found[2]))  # type: ignore[arg-type]
    if found := _MIRRORED.fullmatch(text):
        return Turn(found[1], None)  # type: ignore[arg-type]
    mend = "write the axis and the degrees, as in `z 180`"
    raise BadName("turn", f"`{text}` is no step of turning", "`x 90`, `mirrored y` or the like", mend)


TURN = Named("a step, as in `x 90`", turn, rf"{_TURN.pattern}|{_MIRRORED.pattern}")

USE = ByShape(
    "DESIGN@LABEL, or a mapping with `use`",
    single=Then(BUILD_REF, lambda build: Use(use=build)),
    keys=Table(
        "place",
        [
            required("use", BUILD_REF, "the build of the module"),
            Key("centre", POSITION, "where the module's origin lies"),
            Key("turned", ListOf(TURN, or_one=True), "how it is turned in its place, step by step"),
            Key("behind", REFS, "what has to come off first"),
            Key("role", ROLE, "what it is there for"),
            Key("orientations", COUNT, "how many ways round it goes in"),
            Key("marked", YES_NO, "whether a wrong way can be seen"),
            Key("fitted", FITTED, "choices of the module in this place"),
        ],
        Use,
    ),
)

# --- fits, bays, ways in ---------------------------------------------------------------------------------

NEED = Measured("a need, as in `at least 1 mm`", parse_need, "length", "angle", example="at least 1 mm")
_TERM = Measured(
    "a term, as in `-battery.height`", parse_chain_term, "length", "angle", example="-battery.height"
)


class _ChainTermReader:
    """One term of a chain; `- b` in a list of lines is another list."""

    what = _TERM.what

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The term."""
        if isinstance(node, Sequence):
            mend = "leave out the space behind the sign, as in `- -battery.height`"
            return reading.fault(node, "dash", "`- -` and a space begin a list in the list", self.what, mend)
        return _TERM.read(node, path, reading)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A text."""
        return _TERM.schema(shared)


FIT = Table(
    "fit",
    [
        required("need", NEED, "`at least QTY`, `at most QTY` or `between QTY and QTY`"),
        required("chain", ListOf(_ChainTermReader()), "the dimensions that make the gap, with their signs"),
        Key("about", TEXT, "what it is for"),
    ],
    Fit,
)

BAY = Table(
    "bay",
    [
        required("inside", SIZE, "length x width x height inside"),
        required("holds", REFS, "what has to go in"),
        Key("padding", LENGTH_OR_NONE, "between things, and to each wall"),
        Key("opening", FLAT_SIZE, "length x width that things go in through"),
        Key("about", TEXT, "what it is for"),
    ],
    Bay,
)

WAY = Table(
    "way in",
    [
        Key("behind", REFS, "what comes off"),
        Key("undo", REFS, "groups or things that are undone"),
        Key("tools", TEXTS, "what it takes"),
        Key("about", TEXT, "how it goes"),
    ],
    Way,
)

DRIVE = Table(
    "drive",
    [
        Key("motors", COUNT, "how many"),
        Key(
            "motor_kv", quantity("a motor constant", "motor constant", example="1100 rpm/V"), "speed per volt"
        ),
        Key("volts", quantity("a voltage", "voltage", example="11.1 V"), "of the battery"),
        Key("current_limit", quantity("a current", "current", example="20 A"), "of one motor"),
        Key("ratio", Number("a ratio"), "turns of the motor to one of the wheel"),
        Key("wheel", LENGTH, "diameter"),
        Key("driven", SHARE, "share of the weight on driven wheels"),
        Key("grip", Number("a coefficient"), "of friction on the floor"),
    ],
    Drive,
)

# --- options and the whole -------------------------------------------------------------------------------

SETTINGS = by_text("a mapping of text to setting", SETTING)
PARTS = by_name("a mapping of name to part", PART)
GROUPS = by_name("a mapping of name to fastener group", GROUP)
USES = by_name("a mapping of place to DESIGN@LABEL", USE)

CHOICE = Table(
    "choice",
    [
        Key("parts", PARTS, "parts that come with it"),
        Key("fasteners", GROUPS, "screws that come with it"),
        Key("modules", USES, "modules that come with it"),
        Key("settings", SETTINGS, "settings that go with it"),
        Key("about", TEXT, "what it is for"),
    ],
    Choice,
)

_PACK = Then(
    ListOf(
        ByShape(
            "a text, or item and count",
            single=Then(TEXT, lambda text: (PackItem(item=text),)),
            keys=Then(
                by_text("a mapping of item to count", COUNT),
                lambda counts: tuple(PackItem(item=item, count=count) for item, count in counts.items()),
            ),
        )
    ),
    lambda lists: tuple(item for items in lists for item in items),
)

CHOICES = by_name("a mapping of choice to its contents", CHOICE)
ACCESS = NameMap("a mapping of reference to ways in", names.ref, names.REF, ListOf(WAY))

_SHARED_KEYS = [
    Key("title", TEXT, "what people call it"),
    Key("about", TEXT, "what it is"),
    Key("notes", FREE, "free text"),
    Key("from", BUILD_REF, "the build that it grew out of"),
    Key("state", Word(*get_args(State)), "how far it is"),
    Key("next", TEXTS, "what is meant to be done next"),
    Key("packing", _PACK, "what always travels"),
    Key("stock", by_family_name("a mapping of name to stock", STOCK), "sheet, bar and tube of its own"),
    Key("parts", PARTS, "plates, bars, and things with a mass of their own"),
    Key("modules", USES, "place → the build of the module that stands there"),
    Key("fasteners", GROUPS, "groups of screws"),
    Key("options", by_name("a mapping of option to its choices", CHOICES), "what can be swapped without rebuilding"),
    Key("fitted", FITTED, "option → the choice that is in"),
    Key("fits", by_name("a mapping of name to fit", FIT), "gaps worked out from chains of dimensions"),
    Key("bays", by_name("a mapping of name to bay", BAY), "boxes that things have to go into"),
    Key("access", ACCESS, "ways of taking a thing off"),
    Key("drive", DRIVE, "what drives it"),
    Key("settings", SETTINGS, "settings of radio, controllers and the like"),
    Key("files", PATHS, "files kept by content with each build"),
    Key("cautions", TEXTS, "cautions beside those that its contents bring"),
]  # fmt: skip

_ONLY_ROBOTS = Misplaced(
    "a module has no class and no size of its own", "a key of modules", "delete it", code="only-robots"
)

ROBOT = Table(
    "robot",
    [
        required("robot", DESIGN_NAME, "its name, equal to the file's", into="name"),
        Key("class", FAMILY_NAME, "a class of family.yaml"),
        Key("size", SIZE, "its outside"),
        *_SHARED_KEYS,
    ],
    lambda **fields: Design(kind="robot", **fields),
    elsewhere={
        "module": Misplaced("a robot's file begins with `robot`", "`robot: NAME`",
                            "write `robot`, or move the file to modules/", instead="robot"),
    },
)  # fmt: skip

MODULE = Table(
    "module",
    [required("module", DESIGN_NAME, "its name, equal to the file's", into="name"), *_SHARED_KEYS],
    lambda **fields: Design(kind="module", **fields),
    elsewhere={
        "robot": Misplaced("a module's file begins with `module`", "`module: NAME`",
                           "write `module`, or move the file to robots/", instead="module"),
        "class": _ONLY_ROBOTS,
        "size": _ONLY_ROBOTS,
    },
)  # fmt: skip


def read_design(data: bytes, file: str, kind: Literal["robot", "module"], name: str) -> Read[Design]:
    """Read the spec of a robot or module; `name` is what its file or its build says that it is called."""
    return read_value(
        data, file, _NamedAlike(kind, name), lambda design, places: structs.replace(design, places=places)
    )


class _NamedAlike:
    """A design whose name is that of its file."""

    def __init__(self, kind: Literal["robot", "module"], name: str) -> None:
        self.kind, self.name = kind, name
        self.table = ROBOT if kind == "robot" else MODULE
        self.what = self.table.what

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The design."""
        design = self.table.read(node, path, reading)
        if design is BAD or design.name == self.name:
            return design
        what = f"the file is called {self.name}, and says `{self.kind}: {design.name}`"
        place = reading.places[(self.kind,)]
        return reading.fault_at(
            place, "file-name", what, "one name", f"write `{self.kind}: {self.name}`, or rename the file"
        )

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """The table's."""
        return self.table.schema(shared)
