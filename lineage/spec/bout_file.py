"""bouts/EVENT.yaml → Bout, entry by entry, and which of them count."""

from collections.abc import Container, Iterable, Sequence
from collections.abc import Mapping as MappingOf
from typing import Any, get_args

from msgspec import structs

from lineage.problems import Place, Problem, in_order
from lineage.spec.design_file import SETTINGS
from lineage.spec.document import Mapping, Node
from lineage.spec.fields import BAD, Key, ListOf, Reading, Table, plain, required, wrong_shape
from lineage.spec.log import (
    INSTEAD_OF,
    INSTEAD_OF_OR_LAST,
    NO,
    NOTE,
    TRUTH,
    WITHDRAWN,
    Drafts,
    Log,
    corrected,
    each_once,
    read_drafts,
    read_log,
)
from lineage.spec.records import Bout, Damage, Outcome, Severity
from lineage.spec.scalars import (
    CHOSEN,
    COUNT,
    DESIGN_NAME,
    LABEL,
    REF_OR_TEXT,
    TEXT,
    TEXTS,
    TIME,
    Measured,
    Text,
    Word,
    by_text,
)
from lineage.values.parsing import parse_quantity

READINGS = by_text("a mapping of text to quantity", Measured("a quantity", parse_quantity, example="350 mAh"))
BOUT_NAME = Text("a number or text", plain="[0-9a-z-]{1,20}")

DAMAGE = Table(
    "damage",
    [
        required("at", REF_OR_TEXT, "what broke"),
        required("mode", TEXT, "how it broke"),
        Key("severity", Word(*get_args(Severity)), "cosmetic, weakened (the default) or disabling"),
        Key("cause", TEXT, "what did it"),
        Key("took", TIME, "how long the mending took"),
        Key("fix", TEXT, "what was done"),
        Key("used", by_text("a mapping of reference to count", COUNT), "spares that went in"),
        Key("mended", Word("yes", "no", "for now"), "whether it is whole again"),
        Key("cost_bout", TRUTH, "whether it cost the bout"),
        Key("note", TEXT, "anything else"),
    ],
    Damage,
)
_DAMAGES = ListOf(DAMAGE, or_one=True)


def _keys(*, draft: bool, withdrawal: bool) -> list[Key]:
    instead_of = INSTEAD_OF_OR_LAST if draft else INSTEAD_OF
    return [
        Key("robot", DESIGN_NAME, "whose bout", required=not withdrawal),
        Key("bout", BOUT_NAME, "which bout of that robot: a number or text"),
        Key("build", LABEL, "the label of the build"),
        Key("outcome", Word(*get_args(Outcome)), "how it ended"),
        Key("ran", TIME, "how long it ran"),
        Key("fought", TRUTH, "no: won or lost without a fight"),
        Key("how", TEXT, "knockout, decision, out of the ring …"),
        Key("score", TEXT, "as the judges gave it"),
        Key("against", TEXT, "kind of opponent"),
        Key("opponent", TEXT, "which opponent"),
        Key("because", TEXTS, "why it was won or lost"),
        Key("fitted", CHOSEN, "option → the choice that was in"),
        Key("settings", SETTINGS, "settings of that bout"),
        Key("read", READINGS, "charge put back, temperatures and the like"),
        Key("broke", _DAMAGES, "what broke"),
        Key("found", _DAMAGES, "what was found broken at strip-down"),
        Key("pit", TEXTS, "what was done or left in the pits"),
        NOTE,
        NO,
        Key("instead_of", instead_of.value, instead_of.about, required=withdrawal),
        WITHDRAWN,
    ]


BOUT = Table("bout", _keys(draft=False, withdrawal=False), Bout)
WITHDRAWAL = Table("withdrawal of a bout", _keys(draft=False, withdrawal=True), Bout)
DRAFT = Table("bout", _keys(draft=True, withdrawal=False), Bout)
DRAFT_WITHDRAWAL = Table("withdrawal of a bout", _keys(draft=True, withdrawal=True), Bout)


def _table_of(node: Mapping, *, draft: bool) -> Table:
    if any(key.text == "withdrawn" for key, _ in node.items):
        return DRAFT_WITHDRAWAL if draft else WITHDRAWAL
    return DRAFT if draft else BOUT


def read_bouts(data: bytes, file: str, event: str) -> Log[Bout]:
    """Read the bouts of an event, entry by entry."""

    def read_entry(node: Node, entry: str, place: Place, reading: Reading) -> Any:
        if not isinstance(node, Mapping):
            return wrong_shape(node, "an entry: `{robot: …, outcome: …}`", reading)
        return _table_of(node, draft=False).read(
            node, (), reading, {"id": entry, "place": place, "event": event}
        )

    return read_log(data, file, read_entry)


def read_bout_entries(data: bytes, file: str) -> Drafts:
    """Read a YAML list of bouts that are to be appended."""

    def check(node: Node, reading: Reading) -> Any:
        if not isinstance(node, Mapping):
            return wrong_shape(node, "an entry: `{robot: …, outcome: …}`", reading)
        unknown = {"id": "", "place": reading.document.place(node), "event": ""}
        return BAD if _table_of(node, draft=True).read(node, (), reading, unknown) is BAD else plain(node)

    return read_drafts(data, file, check)


# --- which bouts count -----------------------------------------------------------------------------------


def numbered(bouts: Iterable[Bout]) -> tuple[Bout, ...]:
    """Bouts with their numbers: one without takes the next of its robot, a correction that of its entry.

    A number that is typed anywhere is not given to another bout of that robot and event.
    """
    unique = each_once(bouts)
    typed = {(b.event, b.robot, b.bout) for b in unique if b.bout is not None}
    by_id = {b.id: b for b in unique}
    numbers: dict[str, str] = {}
    last: dict[tuple[str, str | None], int] = {}
    for bout in sorted((b for b in unique if not b.withdrawn), key=lambda b: b.instead_of in by_id):
        of_robot = (bout.event, bout.robot)
        number = bout.bout or numbers.get(_first_told(bout, by_id).id)
        if number is None:
            number = _next_number(of_robot, last.get(of_robot, 0), typed)
        numbers[bout.id] = number
        if number.isdecimal() and len(number) < 7:
            last[of_robot] = max(last.get(of_robot, 0), int(number))
    return tuple(structs.replace(b, bout=numbers[b.id]) if b.id in numbers else b for b in unique)


def _next_number(of_robot: tuple[str, str | None], last: int, typed: Container[object]) -> str:
    number = last + 1
    while (*of_robot, str(number)) in typed:
        number += 1
    return str(number)


def _first_told(bout: Bout, by_id: MappingOf[str, Bout]) -> Bout:
    """The entry at the root of a chain of corrections."""
    seen: set[str] = set()
    while (earlier := by_id.get(bout.instead_of or "")) is not None and bout.id not in seen:
        seen.add(bout.id)
        bout = earlier
    return bout


def counted_bouts(bouts: Iterable[Bout]) -> Log[Bout]:
    """The bouts that count: numbered, corrected, and of doubles that differ the one with the lowest id."""
    standing = corrected(numbered(bouts))
    groups: dict[tuple[str, str | None, str | None], list[Bout]] = {}
    for bout in standing.entries:
        groups.setdefault((bout.event, bout.robot, bout.bout), []).append(bout)
    counted = {min(group, key=lambda bout: bout.id).id for group in groups.values()}
    doubles = [problem for group in groups.values() if len(group) > 1 for problem in _doubles(group)]
    entries = tuple(bout for bout in standing.entries if bout.id in counted)
    return Log(entries, in_order([*standing.problems, *doubles]))


def _doubles(group: Sequence[Bout]) -> list[Problem]:
    first = min(group, key=lambda bout: bout.id)
    return [_double(bout, first, group) for bout in group]


def _double(bout: Bout, first: Bout, group: Sequence[Bout]) -> Problem:
    others = ", ".join(f"line {other.place.line} ({other.id})" for other in group if other is not bout)
    counts = "this one counts" if bout is first else f"{first.id} counts"
    return Problem(
        place=bout.place,
        code="differing-doubles",
        what=f"bout {bout.bout} of {bout.robot} is told differently in {others}; until that is settled {counts}",
        wanted="one entry a bout",
        mend=f"strike out the wrong one; this one has the id {bout.id}",
    )
