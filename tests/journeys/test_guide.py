"""Every command line of the guide does what the guide says, on a family that is new."""

import re
import shutil
from pathlib import Path

import pytest

from lineage.cli.main import COMMANDS, run
from lineage.tasks.guide import ABOUT, topic, topics
from tests.guide_lines import meant, put

ON_A_NEW_FAMILY = {"first-family"}
WITH_LINES = [name for name in ABOUT if any(one.words for one in meant(name))]


@pytest.mark.parametrize("name", WITH_LINES)
def test_its_command_lines_run_as_they_stand(
    name: str, demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "family"
    if name in ON_A_NEW_FAMILY:
        folder.mkdir()
    else:
        shutil.copytree(demo, folder, ignore=shutil.ignore_patterns("pages"))
    ran = 0
    for one in meant(name):
        if one.file:
            put(folder, one)
        elif one.words[0] == "cd":
            folder /= one.words[1]
        else:
            assert one.words[0] == "lineage"
            monkeypatch.chdir(folder)
            status = run(list(one.words[1:]))
            said = capsys.readouterr()
            assert status == 0, f"{one.text}\n{said.out}{said.err}"
            ran += 1
    assert ran >= 3


def test_the_first_family_comes_to_what_the_guide_tells_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, cards = tmp_path, []
    for one in meant("first-family"):
        if one.file:
            put(folder, one)
        elif one.words[0] == "cd":
            folder /= one.words[1]
        else:
            monkeypatch.chdir(folder)
            run(list(one.words[1:]))
            out = capsys.readouterr().out
            if one.words[1] == "card":
                cards.append(out)
    first, then = cards
    assert "predicted   611 ± 17 g" in first  # 2 x 148 + 96 + 92 + 2 x 61 + 5.2 g, each within 5 %
    assert re.search(r"^battery +6 .*off: top-deck", then, re.MULTILINE)
    assert re.search(r"^limit +1360\.8 g \(3lb\)", then, re.MULTILINE)
    assert (folder / "pages" / "index.html").is_file()


def test_every_topic_has_a_title_and_chapters_and_leads_only_to_topics() -> None:
    assert list(topics()) == list(ABOUT)
    for name in ABOUT:
        prose = topic(name)
        assert prose.title
        assert any(chapter.title for chapter in prose.chapters)
        for chapter in prose.chapters:
            for block in chapter.blocks:
                lines = [*block.lines, *(cell for row in block.rows for cell in row)]
                links = [span.to for line in lines for span in line if span.kind == "link"]
                assert all(to.partition("#")[0] in ABOUT for to in links), (name, links)


def test_every_command_that_the_guide_names_is_there() -> None:
    named = {one.words[1] for name in ABOUT for one in meant(name) if one.words[:1] == ("lineage",)}
    assert named <= set(COMMANDS)
    assert {
        "start",
        "add",
        "record",
        "bout",
        "measure",
        "snag",
        "compare",
        "lessons",
        "form",
        "site",
    } <= named


def test_the_topics_are_listed_and_a_wrong_one_is_offered_the_nearest(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["guide"]) == 0
    listed = capsys.readouterr().out
    assert all(name in listed for name in ABOUT)
    assert run(["guide", "comparisons"]) == 2
    assert "lineage guide comparison" in capsys.readouterr().err


@pytest.mark.parametrize("name", ABOUT)
def test_a_topic_is_read_at_a_terminal(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["guide", name]) == 0
    said = capsys.readouterr().out
    prose = topic(name)
    assert prose.title in said
    assert all(chapter.title in said for chapter in prose.chapters)
    assert "**" not in said
