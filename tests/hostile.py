"""A family whose free text tries everything: markup, addresses that run, quotes, turned reading directions, no end.

Names of designs, parts and events have a grammar that lets none of it in; free text may be anything.
"""

import json
from pathlib import Path

from lineage.cli.main import run

SCRIPT = "<script>alert(1)</script>"
PICTURE = "\"'><img src=x onerror=alert(1)>"
ADDRESS = "javascript:alert(1)"
CLOSING = "</title></style></textarea></svg>]]>-->"
TURNED = "\u202egnp.eciohc\u2066\u200f"
TEMPLATE = "{{ 7*7 }}{% raw %}"
NASTY = f"{SCRIPT} {PICTURE} {ADDRESS} {CLOSING} {TURNED} {TEMPLATE} =1+1 &amp; &#x3c;"
ENDLESS = "w" * 10_000

EVENT = "2026-05-02-hostile-cup"


def quoted(text: str) -> str:
    """A text as YAML has it in double quotes; what would turn the reading direction as an escape."""
    return json.dumps(text)


def hostile_family(folder: Path) -> Path:
    """Makes it in an empty folder, with builds, results, bouts, an event and a lesson."""
    family = folder / "hostile"
    _run(folder, "start", "hostile", "--title", NASTY)
    nasty, endless = quoted(NASTY), quoted(ENDLESS)
    (family / "modules/pod.yaml").parent.mkdir(exist_ok=True)
    (family / "modules/pod.yaml").write_text(
        f"module: pod\ntitle: {nasty}\nparts:\n  gearbox: {{role: drive, mass: 20 g listed, item: {endless}, note: {nasty}}}\n"
    )
    _run(family, "record", "pod", "A", "--why", NASTY, "--on", "2026-04-01")
    robot = family / "robots/wren.yaml"
    robot.parent.mkdir(exist_ok=True)
    robot.write_text(_robot(nasty, endless, 90))
    _run(family, "record", "wren", "A", "--why", ENDLESS, "--on", "2026-04-02")
    robot.write_text(_robot(nasty, endless, 91))
    _run(family, "record", "wren", "B", "--why", NASTY, "--on", "2026-04-03")
    (family / f"events/{EVENT}.yaml").parent.mkdir(exist_ok=True)
    (family / f"events/{EVENT}.yaml").write_text(
        f"event: {nasty}\ninspect: [{nasty}, {endless}]\nentries:\n  wren: {{build: B, note: {nasty}, placed: {nasty}}}\n"
    )
    (family / "lessons/nasty.yaml").parent.mkdir(exist_ok=True)
    (family / "lessons/nasty.yaml").write_text(
        f"lesson: {nasty}\nmode: {nasty}\nabout: [pod.gearbox]\ndo: {endless}\nfrom: [{{event: {EVENT}, robot: wren}}]\n"
    )
    _bout(family, "won", "1:00", "--broke", f"pod-left.gearbox: {NASTY.replace(',', ' ')}", "--pit", NASTY)
    _bout(
        family,
        "lost",
        "2:00",
        "--broke",
        f"nowhere.at-all: {ENDLESS}",
        "--because",
        NASTY,
        "--because",
        ENDLESS,
    )
    _run(family, "snag", "wren", f"battery: {NASTY}", "--during", NASTY, "--fix", NASTY, "--on", "2026-04-04")
    trial = ("--of", NASTY, "--passed", "7/10", "--on", "2026-04-05")
    _run(family, "measure", "wren", "trial", *trial)
    return family


def _robot(nasty: str, endless: str, grams: int) -> str:
    return f"""robot: wren
title: {nasty}
about: {endless}
class: 3lb
next: [{nasty}, {endless}]
packing: [{nasty}]
cautions: [{nasty}]
parts:
  battery: {{role: power, mass: {grams} g listed, item: {nasty}, note: {nasty}, source: {nasty}, rework: [{nasty}], carry: 1}}
modules:
  pod-left: pod@A
settings: {{trim: {nasty}}}
"""


def _bout(family: Path, *words: str) -> None:
    _run(family, "bout", "wren", *words, "--event", EVENT)


def _run(folder: Path, *words: str) -> None:
    status = run(["-C", str(folder), *words])
    assert status == 0, words[:3]
