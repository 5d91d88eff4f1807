"""`measure`, `bout` and `snag` at the terminal: what was typed → keys of entries, one line each."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import click

from lineage.cli.options import pairs
from lineage.cli.output import say
from lineage.cli.recording import day, read_file
from lineage.problems import AskedWrongly, BadInput, nearest
from lineage.reports.to_json import as_text
from lineage.spec.bout_file import read_bout_entries
from lineage.spec.result_file import read_result_entries
from lineage.tasks.logs import Asked, Log, Logged
from lineage.tasks.typed import damage_from, one_or_list, readings_from, snag_from, units_of
from lineage.tasks.workspace import open_family

KINDS = ("mass", "gap", "service", "bench", "trial")
OUTCOMES = ("won", "lost", "drawn", "unfinished")


def measure(folder: str, design: str, words: Sequence[str], asked: Mapping[str, Any]) -> None:
    """One result, or a list of them from a file."""
    log = _log(folder, asked)
    if asked["from_file"]:
        _from_file(log, asked, read_result_entries, lambda keys: log.result(design, keys))
        return
    if asked["withdraw"]:
        _tell([log.result(design, {"kind": "mass"})], asked)
        return
    kind, rest = _kind(words)
    readings = readings_from(rest)
    if kind == "trial" and asked["passed"] is None and readings:
        asked, readings = {**asked, "passed": " ".join(readings)}, []
    _refuse_mixed(readings)
    passed, tries = _passed(asked["passed"])
    of = asked["of"]
    keys = {
        "kind": kind,
        "of": one_or_list(of) if kind == "mass" else _one_of(kind, of),
        "role": asked["role"],
        "is": one_or_list(readings),
        "except": list(asked["except_"]) or None,
        "scale": asked["scale"],
        "fitted": pairs(asked["choices"], "--choice") or None,
        "count": asked["count"],
        "better": asked["better"],
        "passed": passed,
        "tries": tries,
        "who": asked["who"],
    }
    if kind != "trial" and keys["is"] is None:
        raise AskedWrongly(
            "there is no reading", "a number with its unit", f"lineage measure {design} {kind} 1352 g"
        )
    _tell([log.result(design, keys)], asked)


def bout(folder: str, robot: str, words: Sequence[str], asked: Mapping[str, Any]) -> None:
    """One bout, or a list of them from a file."""
    log = _log(folder, asked)
    if asked["from_file"]:
        _from_file(log, asked, read_bout_entries, lambda keys: log.bout(keys.get("robot", robot), keys))
        return
    if asked["withdraw"]:
        _tell([log.bout(robot, {})], asked)
        return
    _refuse_options(words)
    outcome, *time = words or ("",)
    if outcome not in OUTCOMES:
        near = nearest(outcome, OUTCOMES)
        offer = f"did you mean {near}?" if near else f"lineage bout {robot} won 2:10"
        what = f"{outcome!r} is no outcome" if outcome else "it is not said how the bout went"
        raise AskedWrongly(what, " or ".join(OUTCOMES), offer)
    keys = {
        "bout": asked["number"],
        "outcome": outcome,
        "ran": " ".join(time) or None,
        "fought": "no" if asked["not_fought"] else None,
        "how": asked["how"],
        "score": asked["score"],
        "against": asked["against"],
        "opponent": asked["opponent"],
        "because": list(asked["because"]),
        "fitted": pairs(asked["choices"], "--choice"),
        "settings": pairs(asked["settings"], "--setting"),
        "read": pairs(asked["read"], "--read"),
        "broke": [_damage(text, log) for text in asked["broke"]],
        "found": [_damage(text, log) for text in asked["found"]],
        "pit": list(asked["pit"]),
    }
    _tell([log.bout(robot, keys)], asked)


def snag(folder: str, design: str, words: Sequence[str], asked: Mapping[str, Any]) -> None:
    """One snag, or a list of them from a file."""
    log = _log(folder, asked)
    if asked["from_file"]:
        _from_file(log, asked, read_result_entries, lambda keys: log.result(design, keys))
        return
    if asked["withdraw"]:
        _tell([log.result(design, {"kind": "snag"})], asked)
        return
    _refuse_options(words)
    typed = snag_from(" ".join(words))
    if asked["during"] is None:
        raise AskedWrongly("it is not said when it happened", "--during STAGE", "such as --during assembling")
    keys = {
        "kind": "snag",
        "during": asked["during"],
        "at": typed.get("at"),
        "mode": typed["mode"],
        "took": asked["took"] or typed.get("took"),
        "fix": asked["fix"],
        "price": asked["price"],
        "who": asked["who"],
    }
    _tell([log.result(design, keys)], asked)


# --- what they share -------------------------------------------------------------------------------------


def _log(folder: str, asked: Mapping[str, Any]) -> Log:
    common = Asked(
        on=day(asked["on"]),
        build=asked["build"],
        event=asked["event"],
        note=asked["note"],
        instead_of=asked["instead_of"],
        withdraw=asked["withdraw"],
        again=asked["again"],
        dry_run=asked["dry_run"],
        commit=not asked["no_commit"],
    )
    return Log(open_family(folder), common)


def _from_file(
    log: Log,
    asked: Mapping[str, Any],
    read: Callable[[bytes, str], Any],
    append: Callable[[Mapping[str, Any]], Logged],
) -> None:
    """Every entry of a file is checked before the first is appended; one commit holds them all."""
    name = asked["from_file"]
    drafts = read(read_file(name), name)
    if any(problem.level == "error" for problem in drafts.problems):
        raise BadInput(drafts.problems)
    with log.together():
        logged = [append(keys) for keys in drafts.entries]
    _tell([*logged[:-1], log.committed(logged[-1])] if logged else [], asked)


def _tell(logged: Sequence[Logged], asked: Mapping[str, Any]) -> None:
    if asked["as_json"]:
        click.echo(as_text({"format": 1, "entries": list(logged)}))
        return
    said: dict[str, None] = {}
    for entry in logged:
        verb = "kept in" if entry.written else "would be kept in"
        click.echo(f"{verb} {entry.path} as {entry.id}")
        click.echo(f"  {entry.line}")
        said |= dict.fromkeys(entry.said)
    for text in said:
        say(text)


def _kind(words: Sequence[str]) -> tuple[str, Sequence[str]]:
    if not words or words[0] not in KINDS:
        found = words[0] if words else ""
        near = nearest(found, KINDS)
        offer = f"did you mean {near}?" if near else "such as: mass 1352 g"
        raise AskedWrongly(f"{found!r} is nothing to measure", ", ".join(KINDS), offer)
    _refuse_options(words)
    return words[0], words[1:]


def _refuse_options(words: Sequence[str]) -> None:
    """Unknown options are let through as words for the sake of `-0.2 mm`; here they are told."""
    for word in words:
        if word.startswith("-") and not word[1:2].isdigit() and not word[1:2] == ".":
            raise click.UsageError(f"No such option: {word}")


def _refuse_mixed(readings: Sequence[str]) -> None:
    """`3 lb 2 oz` is one mass to a person and two readings to a list: their mean would be neither."""
    units = units_of(readings)
    if len(units) > 1:
        raise AskedWrongly(
            f"readings in {' and '.join(units)}",
            "all readings in one unit",
            f"write one number with its unit; such as 3.125 lb for 3 lb 2 oz, or every reading in {units[0]}",
        )


def _one_of(kind: str, of: Sequence[str]) -> str:
    if len(of) != 1:
        raise AskedWrongly(f"a {kind} is of one thing, {len(of)} are given", "--of WHAT", "")
    return of[0]


def _passed(text: str | None) -> tuple[str | None, str | None]:
    if text is None:
        return None, None
    passed, slash, tries = text.partition("/")
    if not slash:
        raise AskedWrongly(f"--passed {text}", "passed of tries", "such as --passed 7/10")
    return passed.strip(), tries.strip()


def _damage(text: str, log: Log) -> Mapping[str, Any]:
    damage, said = damage_from(text)
    log.said += said
    return damage
