"""events/EVENT.yaml → Event."""

from typing import Any

from lineage.spec.document import Node, Sequence
from lineage.spec.fields import (
    BAD,
    ByShape,
    Key,
    ListOf,
    NameMap,
    Reading,
    Schema,
    Table,
    read_value,
    required,
)
from lineage.spec.names import NAME, BadName, day_of_event, design_name
from lineage.spec.records import Event, EventEntry, Path, Read
from lineage.spec.scalars import (
    CHOSEN,
    DAY,
    FAMILY_NAME,
    FLAT_SIZE,
    FREE,
    LABEL,
    MASS,
    TEXT,
    TEXTS,
    TIME,
    by_family_name,
)
from lineage.values.formatting import count_of


class Days:
    """One day, or the first and the last."""

    what = "a date, or `[first, last]`"
    _days = ByShape(what, single=DAY, many=ListOf(DAY))

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The first and the last day."""
        days = self._days.read(node, path, reading)
        if days is BAD or not isinstance(node, Sequence):
            return days if days is BAD else (days, days)
        if len(days) != 2:
            return reading.fault(
                node,
                "days",
                count_of(len(days), "date"),
                "`[first, last]`",
                "write the first and the last day",
            )
        if days[1] < days[0]:
            what = f"the last day, {days[1]}, comes before the first, {days[0]}"
            return reading.fault(node.items[1], "days", what, "`[first, last]`", "put the two in order")
        return days

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A date or two."""
        day = DAY.schema(shared)
        return {"anyOf": [day, {"type": "array", "items": day, "minItems": 2, "maxItems": 2}]}


ENTRY = Table(
    "event entry",
    [
        Key("build", LABEL, "the label of the build that is entered"),
        Key("class", FAMILY_NAME, "the class that it is entered in"),
        Key("fitted", CHOSEN, "option → the choice that it comes with"),
        Key("placed", TEXT, "how it came out"),
        Key("note", TEXT, "anything else"),
    ],
    EventEntry,
)

EVENT = Table(
    "event",
    [
        required("event", TEXT, "the title of the event", into="title"),
        Key("on", Days(), "its date, or `[first, last]`; by default that of the file's name"),
        Key("limits", by_family_name("a mapping of class to mass", MASS), "limits of its own"),
        Key("size", FLAT_SIZE, "the largest that a robot may be"),
        Key("floor", TEXT, "what the floor is like"),
        Key("turnaround", TIME, "time between bouts"),
        Key("inspect", TEXTS, "what its inspectors look at"),
        Key(
            "entries", NameMap("a mapping of robot to entry", design_name, NAME, ENTRY), "the robots entered"
        ),
        Key("notes", FREE, "free text"),
    ],
    dict,
)


def read_event(data: bytes, file: str, name: str) -> Read[Event]:
    """Read an event; `name` is that of its file."""
    return read_value(
        data, file, _Named(name), lambda event, places: Event(name=name, places=places, **event)
    )


class _Named:
    """An event whose days are by default those of its file's name."""

    what = EVENT.what

    def __init__(self, name: str) -> None:
        self.name = name

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The fields of the event."""
        fields = EVENT.read(node, path, reading)
        try:
            by_name = day_of_event(self.name)
        except BadName as error:
            return reading.fault_at(
                reading.document.point(1, 1), error.code, error.what, error.wanted, error.mend
            )
        if fields is BAD:
            return BAD
        first, last = fields.pop("on", (by_name, by_name))
        return {**fields, "first_day": first, "last_day": last}

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """The table's."""
        return EVENT.schema(shared)
