"""lessons/NAME.yaml → Lesson."""

from collections.abc import Mapping as MappingOf

from lineage.spec.document import Mapping, Node
from lineage.spec.fields import Key, ListOf, Reading, Table, read_value, required
from lineage.spec.records import Lesson, LessonSource, Path, Read
from lineage.spec.scalars import (
    BUILD_REF,
    DAY,
    DESIGN_NAME,
    EVENT,
    FREE,
    ONE_LINE,
    REFS,
    TEXT,
    TEXTS,
)


def _event_or_snag(keys: MappingOf[str, Node], node: Mapping, path: Path, reading: Reading) -> bool:
    """Whether a source is either bouts at an event or a snag."""
    del path
    of_event = [key for key in ("event", "robot", "bouts") if key in keys]
    of_snag = [key for key in ("snag", "on", "mode") if key in keys]
    wanted = "`{event, robot, bouts}` or `{snag: DESIGN, on, mode}`"
    if of_event and of_snag:
        what = f"`{of_event[0]}` and `{of_snag[0]}` do not go together"
        reading.fault(keys[of_snag[0]], "one-of", what, wanted, "make two sources of it")
    elif "event" not in keys and "snag" not in keys:
        reading.fault(
            node, "one-of", "a source without `event` and `snag`", wanted, "add `event: …` or `snag: …`"
        )
    else:
        return True
    return False


SOURCE = Table(
    "source of a lesson",
    [
        Key("event", EVENT, "the event at which it was learnt"),
        Key("robot", DESIGN_NAME, "whose bouts"),
        Key("bouts", TEXTS, "which bouts"),
        Key("snag", DESIGN_NAME, "the design that a snag happened to"),
        Key("on", DAY, "the day of the snag"),
        Key("mode", TEXT, "the mode of the snag"),
    ],
    LessonSource,
    check=_event_or_snag,
    extra=False,
)

FEATURES = Table(
    "features",
    [
        Key(name, TEXTS, f"things with this {name}")
        for name in ("material", "joined", "process", "role", "module", "tags", "type", "item")
    ],
    dict,
    extra=False,
)

LESSON = Table(
    "lesson",
    [
        required("lesson", ONE_LINE, "what was learnt, in one line"),
        Key("from", ListOf(SOURCE, or_one=True), "where it comes from"),
        Key("mode", TEXT, "the mode of failure that it is about"),
        Key("about", REFS, "what it is about, with the design: `drive-pod.gearbox`"),
        Key("where", FEATURES, "features to look for in siblings, all of those given"),
        Key("do", TEXT, "what to do instead"),
        Key("done_in", ListOf(BUILD_REF, or_one=True), "builds in which it was done"),
        Key("dropped", TEXT, "why it was given up"),
        Key("notes", FREE, "free text"),
    ],
    dict,
)


def read_lesson(data: bytes, file: str, name: str) -> Read[Lesson]:
    """Read a lesson; `name` is that of its file."""
    return read_value(data, file, LESSON, lambda fields, places: Lesson(name=name, places=places, **fields))
