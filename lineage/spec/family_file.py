"""family.yaml → Family. Also the table of stock, which a design uses for its own."""

from typing import Any, get_args

from lineage.spec.document import Node, Scalar
from lineage.spec.fields import Key, Reading, Schema, Table, Then, Value, read_table, required
from lineage.spec.records import (
    Cut,
    Family,
    Material,
    Path,
    Read,
    Role,
    Rules,
    Scale,
    Spread,
    Stock,
    Times,
    WeightClass,
)
from lineage.spec.scalars import (
    ACCURACY,
    AREAL,
    COUNT_OR_NONE,
    DENSITY,
    FLAT_SIZE,
    FREE,
    LENGTH,
    LENGTH_OR_NONE,
    LINEAR,
    MASS,
    PRICE,
    SECTION,
    SHARE,
    TEXT,
    TEXTS,
    TIME,
    TOLERANCE,
    Number,
    Word,
    by_family_name,
    by_text,
)

ROLES: tuple[str, ...] = get_args(Role)
ROLE = Word(*ROLES)
FILE_NAME = "family.yaml"


def by_role(title: str, value: Value) -> Table:
    """A mapping whose keys are roles."""
    return Table(
        title, [Key(role, value, f"things with the role {role}") for role in ROLES], dict, extra=False
    )


class Seconds:
    """A time, or a plain number of seconds; the record keeps seconds."""

    what = "a time, or a number of seconds"
    _number = Number("a number of seconds", zero=True)

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The seconds."""
        if isinstance(node, Scalar) and node.text.replace(".", "", 1).isdecimal():
            return self._number.read(node, path, reading)
        return Then(TIME, lambda time: time.value).read(node, path, reading)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A number, or a text with a unit."""
        return {"anyOf": [{"type": "number", "minimum": 0}, TIME.schema(shared)]}


SECONDS = Seconds()

CUT = Table(
    "cut",
    [
        Key("how", TEXT, "how plates are cut from it: laser, router, saw …"),
        Key("passes", TEXT, "in how many passes"),
        Key("note", TEXT, "what else to know when cutting"),
    ],
    Cut,
)

STOCK = Table(
    "stock",
    [
        required("material", TEXT, "a material of the built-in table or of the family"),
        Key("thickness", LENGTH, "of sheet, with what it varies by"),
        Key("section", SECTION, "of bar or tube: `6 mm round`, `20 x 10 mm bar`, `12 x 1 mm tube` …"),
        Key("density", DENSITY, "in place of the material's"),
        Key("areal", AREAL, "mass by area, in place of thickness and density"),
        Key("linear", LINEAR, "mass by length, in place of section and density"),
        Key("sheet", FLAT_SIZE, "length x width that it is bought in"),
        Key("bar", LENGTH, "length that it is bought in"),
        Key("kerf", LENGTH_OR_NONE, "half the width that the cut takes away"),
        Key("price", PRICE, "of one sheet or bar"),
        Key("cut", CUT, "how it is cut"),
    ],
    Stock,
)

CLASS = Table(
    "class",
    [
        required("limit", MASS, "the heaviest that a robot may be"),
        Key("size", FLAT_SIZE, "the largest that a robot may be"),
        Key("materials", by_role("materials by role", TEXTS), "role → materials that are allowed there"),
        Key("reserve", MASS, "mass to keep free below the limit"),
        Key("inspect", TEXTS, "what an inspector looks at"),
        Key("about", TEXT, "what else to know of the class"),
    ],
    WeightClass,
)

MATERIAL = Table(
    "material",
    [
        Key("density", DENSITY, "its density"),
        Key("like", TEXT, "the built-in material whose values and cautions it takes"),
        Key("cautions", TEXTS, "what to mind when working with it"),
        Key("about", TEXT, "what else to know of it"),
    ],
    Material,
)

SCALE = Table(
    "scale",
    [
        Key("resolution", MASS, "the least step that it shows"),
        Key("accuracy", ACCURACY, "as its maker says: a mass, or a share of the reading"),
    ],
    Scale,
)

SPREAD = Table(
    "spread",
    [
        Key("listed", SHARE, "of masses from a list; by default 5 %"),
        Key("modelled", SHARE, "of masses from a drawing program or slicer; by default 10 %"),
        Key("guess", SHARE, "of guessed masses; by default 25 %"),
    ],
    Spread,
    extra=False,
)

TIMES = Table(
    "times",
    [
        Key("tool", SECONDS, "to pick up a tool"),
        Key("screw", SECONDS, "to set a tool on one screw and take the screw away"),
        Key("turn", SECONDS, "for one turn of a screw"),
        Key("part", SECONDS, "to take a part off"),
        Key("plug", SECONDS, "to pull a plug"),
        Key("clip", SECONDS, "to open a clip"),
    ],
    Times,
    extra=False,
)

RULES = Table(
    "rules",
    [
        Key(
            "screws",
            by_role("screws by role", COUNT_OR_NONE),
            "role → fewest screws of a group that holds such a thing",
        )
    ],
    Rules,
)

FAMILY = Table(
    "family.yaml",
    [
        required("family", TEXT, "the title of the family", into="title"),
        required("classes", by_family_name("a mapping of class to its limit and rules", CLASS),
                 "the classes that the robots are built for"),
        Key("materials", by_family_name("a mapping of name to material", MATERIAL),
            "materials beside those of the built-in table"),
        Key("stock", by_family_name("a mapping of name to stock", STOCK), "sheet, bar and tube that all designs share"),
        Key("scales", by_family_name("a mapping of name to scale", SCALE), "scales that readings name"),
        Key("tolerances", by_text("a mapping of process to tolerance", TOLERANCE), "process → what its parts vary by"),
        Key("spread", SPREAD, "what masses that state none vary by"),
        Key("times", TIMES, "seconds for the elements of taking apart"),
        Key("rules", RULES, "the builder's own rules"),
        Key("turnaround", TIME, "usual time between bouts"),
        Key("notes", FREE, "free text"),
    ],
    Family,
)  # fmt: skip


def read_family(data: bytes, file: str = FILE_NAME) -> Read[Family]:
    """Read family.yaml."""
    return read_table(data, file, FAMILY)
