"""`record` at the terminal: what changed is shown, the reason asked for, what was written said."""

import sys
from collections.abc import Mapping
from datetime import date as Date  # noqa: N812
from pathlib import Path
from typing import Any

import click
from msgspec.structs import replace

from lineage.cli.options import pairs
from lineage.cli.output import is_terminal, say
from lineage.problems import AskedWrongly
from lineage.reports.text.compare import group_text, hint_text
from lineage.reports.to_json import as_text
from lineage.tasks.record import Draft, Recorded, Request, draft, record
from lineage.tasks.workspace import Workspace, open_family


def run(folder: str, design: str, label: str, asked: Mapping[str, Any]) -> None:
    """Records a build."""
    workspace = open_family(folder)
    request = Request(
        design=design,
        label=label,
        why=asked["why"],
        notes=read_file(asked["notes_file"]) if asked["notes_file"] else None,
        notes_file=asked["notes_file"] or "",
        renamed=pairs(asked["renamed"], "--renamed"),
        described_better=tuple(asked["described_better"]),
        before=asked["before"],
        on=day(asked["on"]),
        again=asked["again"],
        dry_run=asked["dry_run"],
    )
    drafted = draft(workspace, request)
    if is_terminal() and not request.dry_run and not asked["as_json"]:
        drafted = _asked(workspace, drafted)
    elif not asked["as_json"]:
        _show(drafted)
    _tell(record(workspace, drafted), as_json=asked["as_json"])


def _show(drafted: Draft) -> None:
    """The changes in groups, and what may have been renamed."""
    for group in drafted.groups:
        say(f"{group_text(group.name, group.changes)}\n")
    for hint in drafted.hints:
        say(hint_text(hint))


def _asked(workspace: Workspace, drafted: Draft) -> Draft:
    """What may have been renamed is asked first, then the reason of each group that has none yet."""
    renamed = {
        hint.before: hint.after
        for hint in drafted.hints
        if click.confirm(f"Is {hint.before} now called {hint.after} ({hint.why})?", default=False, err=True)
    }
    if renamed:
        more = {**drafted.request.renamed, **renamed}
        drafted = draft(workspace, replace(drafted.request, renamed=more))
    explained = {ref for note in drafted.notes for ref in note.about}
    reasons = []
    for group in drafted.groups:
        say(group_text(group.name, group.changes))
        about = tuple(ref for ref in group.about if ref not in explained)
        why = click.prompt(f"Why ({group.name})", default="", show_default=False, err=True) if about else ""
        if why.strip():
            reasons.append((about, why.strip()))
    return draft(workspace, replace(drafted.request, reasons=tuple(reasons))) if reasons else drafted


def _tell(recorded: Recorded, *, as_json: bool) -> None:
    if as_json:
        click.echo(as_text(recorded))
        return
    verb = "recorded" if recorded.written else "would record"
    click.echo(f"{verb} {recorded.ref} in {recorded.folder} ({recorded.id[:12]})")
    if not recorded.written:
        for path in recorded.paths:
            click.echo(f"  {path}")
    elif recorded.commit is not None:
        click.echo(f"committed {recorded.commit[:12]}")
    for text in recorded.said:
        say(text)
    for offer in recorded.offers:
        say("\n  ".join((offer.text, *offer.lines)))


def read_file(name: str) -> bytes:
    """The bytes of a file that was named on the command line; `-` is standard input."""
    if name == "-":
        return sys.stdin.buffer.read()
    try:
        return Path(name).read_bytes()
    except OSError as error:
        raise AskedWrongly(f"{name} cannot be read: {error.strerror}", "a file", "") from error


def day(text: str | None) -> Date | None:
    """A day as typed."""
    if text is None:
        return None
    try:
        return Date.fromisoformat(text)
    except ValueError as error:
        raise AskedWrongly(f"{text!r} is no date", "YYYY-MM-DD", "such as 2026-05-01") from error
