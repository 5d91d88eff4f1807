"""A family whose names are as long as names may be and whose texts are wide: two columns a letter, marks that combine."""

from pathlib import Path

from tests.program import fine

LONG = "a-name-of-forty-letters-the-most-allowed"
OTHER = LONG.replace("a-name", "b-name")
WIDE = "電池と配線を留める長い結束バンド" * 3
MARKED = "e\u0301tai\u0302n du\u0308nn " * 8
ENDLESS = "wordwithoutend" * 9
EVENT = f"2026-05-02-{LONG}"


def wide_family(folder: Path) -> Path:
    """Makes it in an empty folder, with two builds, results, an event with bouts, and a lesson."""
    family = folder / "wide"
    fine(folder, "start", "wide", "--title", WIDE)
    _put(
        family,
        f"modules/{LONG}.yaml",
        f"module: {LONG}\nparts:\n  {OTHER}: {{role: drive, mass: 20 g listed, item: {WIDE}}}\n",
    )
    fine(family, "record", LONG, "A", "--why", WIDE, "--on", "2026-04-01")
    _put(family, f"robots/{OTHER}.yaml", _robot(90))
    fine(family, "record", OTHER, "A", "--why", WIDE, "--on", "2026-04-02")
    _put(
        family,
        f"robots/{OTHER}.yaml",
        _robot(91, f"  {LONG}-2: {{role: front, mass: 3 g}}\n".replace("-allowed-2", "-all-two")),
    )
    fine(family, "record", OTHER, "B", "--why", MARKED, "--on", "2026-04-03")
    _put(
        family,
        f"events/{EVENT}.yaml",
        f"event: {WIDE}\ninspect: [{WIDE}]\nentries:\n  {OTHER}: {{build: B, placed: {WIDE}}}\n",
    )
    lesson = f"lesson: {WIDE}\nmode: {WIDE}\nabout: [{LONG}.{OTHER}]\ndo: {MARKED}\nfrom: [{{event: {EVENT}, robot: {OTHER}}}]\n"
    _put(family, f"lessons/{LONG}.yaml", lesson)
    bout = ("bout", OTHER, "lost", "1:00", "--event", EVENT, "--because", WIDE, "--pit", MARKED)
    for mode in (WIDE, MARKED, ENDLESS):
        fine(family, *bout, "--broke", f"{LONG}.{OTHER}: {mode}")
    fine(family, "measure", OTHER, "mass", "140 g", "--on", "2026-04-20")
    fine(
        family,
        "snag",
        OTHER,
        f"battery: {WIDE}",
        "--during",
        "assembling",
        "--fix",
        MARKED,
        "--on",
        "2026-04-04",
    )
    return family


def _put(family: Path, path: str, text: str) -> None:
    (family / path).parent.mkdir(exist_ok=True)
    (family / path).write_text(text, encoding="utf-8")


def _robot(grams: int, more: str = "") -> str:
    return f"""robot: {OTHER}
title: {WIDE}
about: {MARKED}
class: 3lb
next: [{WIDE}, {ENDLESS}]
packing: [{WIDE}]
cautions: [{WIDE}]
parts:
  battery: {{role: power, mass: {grams} g listed, item: {WIDE}, note: {MARKED}, rework: [{WIDE}], carry: 1, behind: {LONG}}}
  {LONG.replace("a-name", "c-name")}: {{role: chassis, mass: 100 g}}
{more}modules:
  {LONG}: {LONG}@A
fasteners:
  {LONG.replace("a-name", "d-name")}: {{type: M3x8 button, count: 6, holds: {LONG}, into: {LONG.replace("a-name", "c-name")}}}
settings: {{trim: {WIDE}}}
"""
