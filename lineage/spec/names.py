"""The grammar of names, labels, references, builds, events and dates.

Every function returns its text when it is right and raises BadName when it is not, with the cure; the command
line uses them for what is typed there, the readers for what is written in files.
"""

import re
from datetime import date as Date  # noqa: N812 - as in records

from lineage.problems import AskedWrongly
from lineage.spec.records import BuildRef

NAME = r"[a-z][a-z0-9-]{0,39}"
FAMILY_NAME = r"[a-z0-9][a-z0-9-]{0,39}"
REF = rf"{NAME}(?:\.{NAME})*"
LABEL = r"[A-Za-z0-9](?:[A-Za-z0-9.-]{0,18}[A-Za-z0-9])?"
BUILD_REF = rf"{NAME}@{LABEL}"
DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
EVENT = rf"{DATE}-{FAMILY_NAME}"
ENTRY_ID = r"[0-9a-f]{10}"
CONTENT_ID = r"[0-9a-f]{40}"

WORKING_FILES = "now"
TAKEN_LABELS = frozenset({"now", "git", "drawings"})
RESERVED = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$", "clock$"]
    + [f"{device}{digit}" for device in ("com", "lpt") for digit in "0123456789¹²³"]
)  # Microsoft, "Naming Files, Paths, and Namespaces": not to be used as names, with any extension either

_NAME, _FAMILY_NAME, _REF = re.compile(NAME), re.compile(FAMILY_NAME), re.compile(REF)
_LABEL, _EVENT, _DATE = re.compile(LABEL), re.compile(EVENT), re.compile(DATE)
_NAME_RULE = "lower-case letters, digits and hyphens, a letter first, at most 40 characters"
_FAMILY_NAME_RULE = "lower-case letters, digits and hyphens, at most 40 characters, a hyphen not first"
_LABEL_RULE = "letters, digits, dots and hyphens, a letter or digit first and last, at most 20 characters"


class BadName(AskedWrongly):
    """A name that breaks a rule; `code` is that of the problem it makes in a file."""

    def __init__(self, code: str, what: str, wanted: str, mend: str) -> None:
        self.code = code
        super().__init__(what, wanted, mend)


def name(text: str) -> str:
    """The name of a part, place, group, fit, bay, option, choice or dimension."""
    if _NAME.fullmatch(text):
        return text
    raise BadName("name", f"`{text}` is no name", _NAME_RULE, _name_mend(text, _NAME))


def family_name(text: str) -> str:
    """A name in family.yaml, or of stock: may begin with a digit."""
    if _FAMILY_NAME.fullmatch(text):
        return text
    raise BadName("name", f"`{text}` is no name", _FAMILY_NAME_RULE, _name_mend(text, _FAMILY_NAME))


def _name_mend(text: str, rule: re.Pattern[str]) -> str:
    proposed = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:40].strip("-")
    return f"write `{proposed}`" if rule.fullmatch(proposed) else "choose another name"


def design_name(text: str) -> str:
    """The name of a robot or module; names a file and a folder."""
    return _not_reserved(name(text))


def lesson_name(text: str) -> str:
    """The name of a lesson's file."""
    return _not_reserved(name(text))


def _not_reserved(text: str) -> str:
    if text.partition(".")[0].lower() in RESERVED:
        what = f"`{text}` is a name that some systems keep for themselves"
        raise BadName(
            "reserved-name", what, "a name that can be a file's everywhere", f"write `{text}-1` or the like"
        )
    return text


def build_label(text: str) -> str:
    """The label of a recorded build."""
    if not _LABEL.fullmatch(text):
        proposed = re.sub(r"[^A-Za-z0-9.]+", "-", text).strip("-.")[:20].strip("-.")
        mend = f"write `{proposed}`" if proposed else "choose a short label, such as A or 2.1"
        raise BadName("label", f"`{text}` is no build label", _LABEL_RULE, mend)
    if text.lower() in TAKEN_LABELS:
        what = f"the label `{text}` is taken: it means something else here"
        raise BadName("reserved-name", what, "another label", "choose a short label, such as A or 2.1")
    return _not_reserved(text)


def ref(text: str) -> str:
    """A reference that walks down with dots."""
    if _REF.fullmatch(text):
        return text
    parts = [re.sub(r"[^a-z0-9]+", "-", part.lower()).strip("-") for part in text.split(".")]
    proposed = ".".join(parts)
    mend = f"write `{proposed}`" if _REF.fullmatch(proposed) else "write the name of a part, place or group"
    raise BadName(
        "ref", f"`{text}` is no reference", "names joined by dots, as in `drive-left.gearbox`", mend
    )


def build_ref(text: str) -> BuildRef:
    """`DESIGN@LABEL`, or `DESIGN@now` for the working files."""
    design, at, label = text.partition("@")
    if not at:
        mend = f"write `{text}@A` for build A, or `{text}@now` for the working files"
        raise BadName("build-ref", f"`{text}` names no build", "DESIGN@LABEL", mend)
    if label == WORKING_FILES:
        return BuildRef(design_name(design), label)
    if label.startswith("git:"):
        mend = "record that state as a build and name its label"
        raise BadName(
            "build-ref", f"`{text}` names a state in git, which no file may lean on", "DESIGN@LABEL", mend
        )
    return BuildRef(design_name(design), build_label(label))


def day(text: str) -> Date:
    """A date, `2025-03-09`."""
    if _DATE.fullmatch(text):
        try:
            return Date.fromisoformat(text)
        except ValueError:
            raise BadName("date", f"there is no day {text}", "year-month-day", "look at a calendar") from None
    raise BadName("date", f"`{text}` is no date", "year-month-day, as in 2025-03-09", _date_mend(text))


def _date_mend(text: str) -> str:
    swapped = re.fullmatch(r"([0-9]{4})[-./ ]([0-9]{1,2})[-./ ]([0-9]{1,2})", text)
    if swapped:
        year, month, of_month = swapped.groups()
        return f"write `{year}-{int(month):02}-{int(of_month):02}`"
    return "write the year with four digits, then month and day with two each"


def event_name(text: str) -> str:
    """`YYYY-MM-DD-name`, the name of an event's file."""
    if _EVENT.fullmatch(text):
        day(text[:10])
        return text
    mend = "name the file by the first day of the event, as in 2025-03-09-spring-meet"
    raise BadName("event-name", f"`{text}` is no event's name", "YYYY-MM-DD-name", mend)


def day_of_event(event: str) -> Date:
    """The day that an event's name begins with."""
    return day(event_name(event)[:10])
