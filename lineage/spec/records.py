"""Typed records of every file of a family: what people wrote, frozen, with the places where they wrote it.

Records hold meaning only; `places` of each file's record maps the path of a key (a tuple of keys and list
positions) to its place in the file, so that two specs can be compared by `==` on their contents.
"""

from collections.abc import Mapping
from datetime import date as Date  # noqa: N812 - `date` is a field of records
from typing import Any, Generic, Literal, TypeVar

from msgspec import Struct, field

from lineage.problems import Place, Problem
from lineage.values.quantity import (
    Accuracy,
    ChainTerm,
    Mass,
    Need,
    Position,
    Quantity,
    Section,
    Size,
    Tolerance,
)

T = TypeVar("T")
BUILD_FORMAT = 1  # of build.yaml
Path = tuple[str | int, ...]
Places = Mapping[Path, Place]
Extra = Mapping[str, Any]  # keys that start with `x-`: kept, shown, compared as text

Role = Literal[
    "chassis", "drive", "weapon", "lifter", "front", "armour", "power", "control", "wiring", "ballast",
    "fasteners", "other",
]  # fmt: skip
Stores = Literal["spin", "spring", "pressure", "charge", "magnet"]
Marked = Literal["yes", "no"]
State = Literal["idea", "building", "running", "retired", "stripped"]
Outcome = Literal["won", "lost", "drawn", "unfinished"]
Severity = Literal["cosmetic", "weakened", "disabling"]
Better = Literal["more", "less"]


class Read(Struct, Generic[T], frozen=True):
    """What was read: no record where there is an error."""

    record: T | None
    problems: tuple[Problem, ...] = ()


class BuildRef(Struct, frozen=True, order=True):
    """`DESIGN@LABEL`; the label `now` stands for the working files."""

    design: str
    label: str

    def __str__(self) -> str:
        return f"{self.design}@{self.label}"


# --- family.yaml -----------------------------------------------------------------------------------------


class Cut(Struct, frozen=True, kw_only=True):
    """How plates are cut from a stock."""

    how: str | None = None
    passes: str | None = None
    note: str | None = None
    extra: Extra = {}


class Stock(Struct, frozen=True, kw_only=True):
    """Sheet, bar, tube, areal or linear stock."""

    material: str
    thickness: Quantity | None = None
    section: Section | None = None
    density: Quantity | None = None
    areal: Quantity | None = None
    linear: Quantity | None = None
    sheet: Size | None = None
    bar: Quantity | None = None
    kerf: Quantity | None = None
    price: Quantity | None = None
    cut: Cut | None = None
    extra: Extra = {}


class WeightClass(Struct, frozen=True, kw_only=True):
    """A class of the family: its limit and rules. `reserve` is mass to keep free."""

    limit: Quantity
    size: Size | None = None
    materials: Mapping[str, tuple[str, ...]] = {}
    reserve: Quantity | None = None
    inspect: tuple[str, ...] = ()
    about: str | None = None
    extra: Extra = {}


class Material(Struct, frozen=True, kw_only=True):
    """A material that the family adds to the built-in table."""

    density: Quantity | None = None
    like: str | None = None
    cautions: tuple[str, ...] = ()
    about: str | None = None
    extra: Extra = {}


class Scale(Struct, frozen=True, kw_only=True):
    """A scale that readings name."""

    resolution: Quantity | None = None
    accuracy: Accuracy | None = None
    extra: Extra = {}


class Spread(Struct, frozen=True, kw_only=True):
    """Shares (k = 2) for masses that state none; None leaves the default."""

    listed: float | None = None
    modelled: float | None = None
    guess: float | None = None


class Times(Struct, frozen=True, kw_only=True):
    """Seconds of the elements of taking apart; None leaves the default."""

    tool: float | None = None
    screw: float | None = None
    turn: float | None = None
    part: float | None = None
    plug: float | None = None
    clip: float | None = None


class Rules(Struct, frozen=True, kw_only=True):
    """The builder's own rules: fewest screws of a group by the role of what it holds."""

    screws: Mapping[str, int] = {}
    extra: Extra = {}


class Family(Struct, frozen=True, kw_only=True):
    """family.yaml."""

    title: str
    classes: Mapping[str, WeightClass] = {}
    materials: Mapping[str, Material] = {}
    stock: Mapping[str, Stock] = {}
    scales: Mapping[str, Scale] = {}
    tolerances: Mapping[str, Tolerance] = {}
    spread: Spread = Spread()
    times: Times = Times()
    rules: Rules = Rules()
    turnaround: Quantity | None = None
    notes: Any = None
    extra: Extra = {}
    places: Places = field(default_factory=dict)


# --- robots/NAME.yaml, modules/NAME.yaml -----------------------------------------------------------------


class Rework(Struct, frozen=True, kw_only=True):
    """What is done to a bought part before it goes in, and how long that takes."""

    do: str
    takes: Quantity | None = None


class Part(Struct, frozen=True, kw_only=True):
    """A plate, a length of bar or tube, or a thing with a mass of its own: exactly one of the three."""

    stock: str | None = None
    outline: str | None = None
    area: Quantity | None = None
    length: Quantity | None = None
    mass: Mass | None = None
    ignore: tuple[str, ...] = ()
    drawing_unit: str | None = None
    role: Role | None = None
    count: int = 1
    size: Size | None = None
    dims: Mapping[str, Quantity] = {}
    process: str | None = None
    material: str | None = None
    joined: str | None = None
    behind: tuple[str, ...] = ()
    rework: tuple[Rework, ...] = ()
    item: str | None = None
    price: Quantity | None = None
    source: str | None = None
    cells: Literal["lithium"] | None = None
    stores: Stores | None = None
    centre: Position | None = None
    orientations: int | None = None
    marked: Marked | None = None
    spin: Quantity | None = None
    carry: int | None = None
    note: str | None = None
    files: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    extra: Extra = {}


class FastenerGroup(Struct, frozen=True, kw_only=True):
    """n identical screws that hold one thing to others."""

    type: str
    count: int
    holds: tuple[str, ...]
    into: tuple[str, ...] = ()
    holes: int | None = None
    grip: Quantity | None = None
    depth: Quantity | None = None
    plate: Quantity | None = None
    material: str | None = None
    mass: Mass | None = None
    washers: int = 0
    nuts: int = 0
    threadlock: str | None = None
    behind: tuple[str, ...] = ()
    extra: Extra = {}


class Turn(Struct, frozen=True):
    """One step of how a module is turned in its place: `x 90`, or `mirrored y` (degrees None)."""

    axis: Literal["x", "y", "z"]
    degrees: float | None


class Use(Struct, frozen=True, kw_only=True):
    """A place: where a design uses a module."""

    use: BuildRef
    centre: Position | None = None
    turned: tuple[Turn, ...] = ()
    behind: tuple[str, ...] = ()
    role: Role | None = None
    orientations: int | None = None
    marked: Marked | None = None
    fitted: Mapping[str, str] = {}
    extra: Extra = {}


class Choice(Struct, frozen=True, kw_only=True):
    """One of the alternatives of an option."""

    parts: Mapping[str, Part] = {}
    fasteners: Mapping[str, FastenerGroup] = {}
    modules: Mapping[str, Use] = {}
    settings: Mapping[str, str | Quantity] = {}
    about: str | None = None
    extra: Extra = {}


class Fit(Struct, frozen=True, kw_only=True):
    """A clearance or interference worked out from a chain of dimensions."""

    need: Need
    chain: tuple[ChainTerm, ...]
    about: str | None = None
    extra: Extra = {}


class Bay(Struct, frozen=True, kw_only=True):
    """A box that things have to go into."""

    inside: Size
    holds: tuple[str, ...]
    padding: Quantity | None = None
    opening: Size | None = None
    about: str | None = None
    extra: Extra = {}


class Way(Struct, frozen=True, kw_only=True):
    """One way of taking a thing off."""

    behind: tuple[str, ...] = ()
    undo: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    about: str | None = None
    extra: Extra = {}


class Drive(Struct, frozen=True, kw_only=True):
    """What drives a robot: enough for top speed and push."""

    motors: int | None = None
    motor_kv: Quantity | None = None
    volts: Quantity | None = None
    current_limit: Quantity | None = None
    ratio: float | None = None
    wheel: Quantity | None = None
    driven: float | None = None
    grip: float | None = None
    extra: Extra = {}


class PackItem(Struct, frozen=True, kw_only=True):
    """Something that always travels."""

    item: str
    count: int = 1


class Design(Struct, frozen=True, kw_only=True):
    """A robot or a module as its spec says."""

    kind: Literal["robot", "module"]
    name: str
    title: str | None = None
    about: str | None = None
    notes: Any = None
    class_: str | None = None
    size: Size | None = None
    from_: BuildRef | None = None
    state: State | None = None
    next: tuple[str, ...] = ()
    packing: tuple[PackItem, ...] = ()
    stock: Mapping[str, Stock] = {}
    parts: Mapping[str, Part] = {}
    modules: Mapping[str, Use] = {}
    fasteners: Mapping[str, FastenerGroup] = {}
    options: Mapping[str, Mapping[str, Choice]] = {}
    fitted: Mapping[str, str] = {}
    fits: Mapping[str, Fit] = {}
    bays: Mapping[str, Bay] = {}
    access: Mapping[str, tuple[Way, ...]] = {}
    drive: Drive | None = None
    settings: Mapping[str, str | Quantity] = {}
    files: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    extra: Extra = {}
    places: Places = field(default_factory=dict)


# --- builds/DESIGN/LABEL/build.yaml ----------------------------------------------------------------------


class Expectation(Struct, frozen=True, kw_only=True):
    """What a change is expected to bring: `seconds REF`, `gap FIT`, `failures REF` or `reading NAME`."""

    figure: Literal["seconds", "gap", "failures", "reading"]
    about: str
    relation: Literal["at most", "at least", "less", "more", "none"]
    value: Quantity | None = None
    text: str


class ChangeNote(Struct, frozen=True, kw_only=True):
    """Why something was changed, as its builder wrote when recording."""

    about: tuple[str, ...]
    why: str | None = None
    aim: tuple[str, ...] = ()
    for_: tuple[str, ...] = ()
    expect: tuple[Expectation, ...] = ()
    described_better: bool = False


class BuildRecord(Struct, frozen=True, kw_only=True):
    """build.yaml of a recorded build."""

    format: int
    tables: int
    design: str
    label: str
    on: Date
    before: str | None
    id: str
    files: Mapping[str, str]
    uses: Mapping[str, str] = {}
    renames: Mapping[str, str] = {}
    notes: tuple[ChangeNote, ...] = ()
    places: Places = field(default_factory=dict)


# --- results/DESIGN.yaml ---------------------------------------------------------------------------------


class Entry(Struct, frozen=True, kw_only=True):
    """What every appended line has. `id`: first ten hex digits of the SHA-1 of the bytes of its line."""

    id: str
    place: Place
    no: int | None = None
    instead_of: str | None = None
    withdrawn: bool = False
    note: str | None = None
    extra: Extra = {}


class Result(Entry, frozen=True, kw_only=True):
    """What every entry of results/DESIGN.yaml has; a withdrawal has nothing else."""

    design: str
    on: Date | None = None
    build: str | None = None
    who: str | None = None
    event: str | None = None


class Weighing(Result, frozen=True, kw_only=True):
    """`kind: mass`: refs, a role, or (neither) the whole design."""

    is_: tuple[Quantity, ...]
    of: tuple[str, ...] = ()
    role: str | None = None
    except_: tuple[str, ...] = ()
    scale: str | None = None
    fitted: Mapping[str, str] = {}
    count: int | None = None


class GapReading(Result, frozen=True, kw_only=True):
    """`kind: gap`."""

    of: str
    is_: tuple[Quantity, ...]


class ServiceReading(Result, frozen=True, kw_only=True):
    """`kind: service`: time to take a thing off and put it back."""

    of: str
    is_: tuple[Quantity, ...]


class BenchReading(Result, frozen=True, kw_only=True):
    """`kind: bench`."""

    of: str
    is_: tuple[Quantity, ...]
    better: Better | None = None


class Trial(Result, frozen=True, kw_only=True):
    """`kind: trial`: k of n passed."""

    of: str
    passed: int
    tries: int
    better: Better | None = None


class Snag(Result, frozen=True, kw_only=True):
    """`kind: snag`: trouble away from a bout."""

    during: str
    mode: str
    at: str | None = None
    took: Quantity | None = None
    fix: str | None = None
    price: Quantity | None = None


# --- events/EVENT.yaml, bouts/EVENT.yaml -----------------------------------------------------------------


class EventEntry(Struct, frozen=True, kw_only=True):
    """A robot entered at an event."""

    build: str | None = None
    class_: str | None = None
    fitted: Mapping[str, str] = {}
    placed: str | None = None
    note: str | None = None
    extra: Extra = {}


class Event(Struct, frozen=True, kw_only=True):
    """events/EVENT.yaml; `name` is the file's."""

    name: str
    title: str
    first_day: Date
    last_day: Date
    limits: Mapping[str, Quantity] = {}
    size: Size | None = None
    floor: str | None = None
    turnaround: Quantity | None = None
    inspect: tuple[str, ...] = ()
    entries: Mapping[str, EventEntry] = {}
    notes: Any = None
    extra: Extra = {}
    places: Places = field(default_factory=dict)


class Damage(Struct, frozen=True, kw_only=True):
    """What broke, or was found broken."""

    at: str
    mode: str
    severity: Severity = "weakened"
    cause: str | None = None
    took: Quantity | None = None
    fix: str | None = None
    used: Mapping[str, int] = {}
    mended: Literal["yes", "no", "for now"] | None = None
    cost_bout: bool = False
    note: str | None = None
    extra: Extra = {}


class Bout(Entry, frozen=True, kw_only=True):
    """One bout of one robot; `event` is the file's name."""

    event: str
    robot: str | None = None
    bout: str | None = None
    build: str | None = None
    outcome: Outcome | None = None
    ran: Quantity | None = None
    fought: bool = True
    how: str | None = None
    score: str | None = None
    against: str | None = None
    opponent: str | None = None
    because: tuple[str, ...] = ()
    fitted: Mapping[str, str] = {}
    settings: Mapping[str, str | Quantity] = {}
    read: Mapping[str, Quantity] = {}
    broke: tuple[Damage, ...] = ()
    found: tuple[Damage, ...] = ()
    pit: tuple[str, ...] = ()


# --- lessons/NAME.yaml -----------------------------------------------------------------------------------


class LessonSource(Struct, frozen=True, kw_only=True):
    """Where a lesson comes from: bouts of a robot at an event, or a snag of a design."""

    event: str | None = None
    robot: str | None = None
    bouts: tuple[str, ...] = ()
    snag: str | None = None
    on: Date | None = None
    mode: str | None = None


class Lesson(Struct, frozen=True, kw_only=True):
    """lessons/NAME.yaml; `name` is the file's. `about` are refs with their designs (`drive-pod.gearbox`)."""

    name: str
    lesson: str
    from_: tuple[LessonSource, ...] = ()
    mode: str | None = None
    about: tuple[str, ...] = ()
    where: Mapping[str, tuple[str, ...]] = {}
    do: str | None = None
    done_in: tuple[BuildRef, ...] = ()
    dropped: str | None = None
    notes: Any = None
    extra: Extra = {}
    places: Places = field(default_factory=dict)
