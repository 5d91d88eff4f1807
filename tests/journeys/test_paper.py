"""Paper for the pits, and a site that is opened, from the command line."""

import re
import webbrowser
from pathlib import Path

import pytest

from lineage.cli.main import run

EVENT = "2025-04-05-mudflat-cup"


def test_paper_is_written_for_those_that_are_entered_or_named(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    paper = tmp_path / "pits.html"
    assert run(["-C", str(demo), "form", EVENT, "--html", str(paper)]) == 0
    assert capsys.readouterr().out == ""
    robots = re.findall(
        r'<section class="pit" id="sheet-\d"><h2>(.*?)</h2>', paper.read_text(encoding="utf-8")
    )
    assert robots == ["turnstone", "avocet", "whimbrel", "dunlin"]
    assert run(["-C", str(demo), "form", EVENT, "dunlin", "--bouts", "2", "--html", "-"]) == 0
    page = capsys.readouterr().out
    assert page.count('class="bout"') == 2
    assert page.count('class="pit"') == 1


def test_paper_without_a_file_is_asked_wrongly(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["-C", str(demo), "form", EVENT]) == 2
    assert "--html FILE" in capsys.readouterr().err


def test_the_first_page_is_opened_only_when_asked(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr(webbrowser, "open", opened.append)
    assert run(["-C", str(demo), "site", str(tmp_path / "out")]) == 0
    assert opened == []
    assert run(["-C", str(demo), "site", str(tmp_path / "out"), "--open"]) == 0
    assert opened == [(tmp_path / "out/index.html").as_uri()]
