"""All pages of a family as one site."""

import re
import shutil
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote

import pytest

from lineage.cli.main import run
from lineage.problems import AskedWrongly
from lineage.reports.site import DeadLinkError, dead_links, ends_of
from lineage.tasks import site as site_task
from lineage.tasks.site import write_site
from tests.hostile import EVENT, NASTY, hostile_family
from tests.page_walk import Walk


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small family whose texts try everything, with its pages."""
    family = hostile_family(tmp_path_factory.mktemp("site"))
    write_site(family, family / "pages")
    return family


@pytest.fixture
def hostile(made: Path, tmp_path: Path) -> Path:
    """A copy that a journey may change."""
    shutil.copytree(made, tmp_path / "hostile", symlinks=True)
    return tmp_path / "hostile"


def pages_of(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.html")}


def dead_among(pages: dict[str, str]) -> list[str]:
    return dead_links({name: ends_of(page) for name, page in pages.items()})


# --- the sample family -----------------------------------------------------------------------------------


def test_the_sample_has_a_page_for_everything_and_an_index_that_leads_to_each(demo: Path) -> None:
    names = set(pages_of(demo / "pages"))
    assert {
        "index.html", "family.html", "guide.html", "guide-honesty.html", "history-avocet.html", "card-avocet@E.html",
        "compare-turnstone@B_C.html", "compare-avocet_dunlin.html", "todo-avocet.html", "spares-avocet.html",
        "lessons-2025-04-05-mudflat-cup.html", "form-2025-04-05-mudflat-cup.html",
    } <= names  # fmt: skip
    index = (demo / "pages/index.html").read_text(encoding="utf-8")
    assert names - {"index.html"} <= {unquote(link) for link in re.findall(r'href="([^"#]+)"', index)}


def test_no_link_of_the_sample_is_dead_and_none_leads_out(demo: Path) -> None:
    pages = pages_of(demo / "pages")
    assert len(pages) > 80
    assert dead_among(pages) == []
    assert not [name for name, page in pages.items() if re.search(r"https?://|file://", page)]
    assert not [name for name, page in pages.items() if str(demo) in page]


def test_every_page_of_the_sample_is_well_formed_and_small(demo: Path) -> None:
    for name, page in pages_of(demo / "pages").items():
        assert Walk(page).faults == [], name
        assert len(page.encode()) < 600_000, name


def test_the_only_script_is_the_search_and_its_policy_names_it(demo: Path) -> None:
    for name, page in pages_of(demo / "pages").items():
        scripts = Walk(page).tags["script"]
        assert scripts == (1 if name == "index.html" else 0), name
        policy = re.search(r'Policy" content="([^"]*)"', page)
        assert policy is not None
        assert policy[1].startswith("default-src 'none'; style-src 'sha256-")
        assert ("script-src 'sha256-" in policy[1]) is (name == "index.html")


def test_what_did_not_change_is_not_made_again(demo: Path, tmp_path: Path) -> None:
    shutil.copytree(demo, tmp_path / "waders", symlinks=True)
    family = tmp_path / "waders"
    first = write_site(family, family / "pages")
    assert first.written == ()
    done = subprocess.run(
        [sys.executable, "-m", "lineage", "site", "pages"],
        cwd=family,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == f"0 of {len(first.pages)} pages written to pages\n"
    assert done.stderr == ""  # no bar where nobody sits at a terminal


# --- only what changed -----------------------------------------------------------------------------------


def append(path: Path, text: str) -> None:
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")


def command(*words: str):
    def do(family: Path) -> None:
        assert run(["-C", str(family), *words]) == 0

    return do


def edited(name: str, before: str, after: str):
    def do(family: Path) -> None:
        path = family / name
        text = path.read_text(encoding="utf-8")
        assert before in text
        path.write_text(text.replace(before, after), encoding="utf-8")

    return do


EDITS = {
    "a bout": command("bout", "wren", "won", "1:10", "--event", EVENT),
    "a weighing": command("measure", "wren", "mass", "140 g", "--on", "2026-04-20"),
    "a bench reading of a module": command(
        "measure", "pod", "service", "--of", "gearbox", "40 s", "--on", "2026-04-20"
    ),
    "a spec": edited("robots/wren.yaml", "91 g", "95 g"),
    "a spec and a build": lambda f: (
        EDITS["a spec"](f),
        command("record", "wren", "C", "--on", "2026-04-21")(f),
    ),
    "a new robot": command("add", "robot", "teal"),
    "the family": edited("family.yaml", "limit: 3 lb", "limit: 2 lb"),
    "an event": edited(f"events/{EVENT}.yaml", "build: B", "build: A"),
    "a lesson": edited("lessons/nasty.yaml", "[pod.gearbox]", "[pod]"),
    "no event any more": lambda f: (f / f"events/{EVENT}.yaml").unlink(),
    "no module file any more": lambda f: (f / "modules/pod.yaml").unlink(),
}


ALL_AROUND = {"no event any more"}  # the last event stands around every page


@pytest.mark.parametrize("edit", EDITS)
def test_after_an_edit_the_site_is_what_it_would_be_if_made_anew(
    edit: str, hostile: Path, tmp_path: Path
) -> None:
    EDITS[edit](hostile)
    again = write_site(hostile, hostile / "pages")
    anew = write_site(hostile, tmp_path / "anew")
    assert pages_of(hostile / "pages") == pages_of(tmp_path / "anew")
    assert again.written
    if edit not in ALL_AROUND:
        assert len(again.written) < len(anew.written)


def test_an_edit_of_a_spec_leaves_recorded_builds_alone(hostile: Path) -> None:
    EDITS["a spec"](hostile)
    written = set(write_site(hostile, hostile / "pages").written)
    assert {"index.html", "history-wren.html"} <= written
    assert not [name for name in written if name.startswith(("card-", "compare-", "guide"))]


def test_a_page_that_was_changed_or_taken_away_is_put_back(hostile: Path) -> None:
    before = pages_of(hostile / "pages")
    (hostile / "pages/family.html").unlink()
    append(hostile / "pages/card-wren@A.html", "more")
    assert set(write_site(hostile, hostile / "pages").written) == {"family.html", "card-wren@A.html"}
    assert pages_of(hostile / "pages") == before


def test_a_file_that_cannot_be_read_costs_its_own_pages_alone_and_they_say_why(
    hostile: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    append(hostile / "robots/wren.yaml", "no such key: 1\n")
    assert run(["-C", str(hostile), "site", str(hostile / "pages")]) == 1
    said = capsys.readouterr()
    assert "todo-wren.html could not be made" in said.err
    assert "lineage check" in said.err
    page = Walk((hostile / "pages/todo-wren.html").read_text(encoding="utf-8")).text
    assert "This page cannot be made" in page
    assert "robots/wren.yaml:" in page
    assert dead_among(pages_of(hostile / "pages")) == []
    # mended, it comes back
    mended = (hostile / "robots/wren.yaml").read_text(encoding="utf-8").replace("no such key: 1\n", "")
    (hostile / "robots/wren.yaml").write_text(mended, encoding="utf-8")
    assert "todo-wren.html" in write_site(hostile, hostile / "pages").written


def test_a_dead_link_stops_the_writing(
    hostile: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(site_task, "address", lambda name: f"gone-{name}")
    with pytest.raises(DeadLinkError):
        write_site(hostile, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_the_family_itself_and_folders_of_others_are_refused(hostile: Path) -> None:
    for out in (hostile, hostile / "robots"):
        with pytest.raises(AskedWrongly):
            write_site(hostile, out)


# --- hostile text ----------------------------------------------------------------------------------------


def test_what_a_stranger_typed_stays_text_on_every_page(made: Path) -> None:
    pages = pages_of(made / "pages")
    seen = 0
    for name, page in pages.items():
        walk = Walk(page)
        assert walk.faults == [], name
        assert walk.tags["script"] == (1 if name == "index.html" else 0), name
        assert walk.tags["img"] == walk.tags["iframe"] == walk.tags["link"] == walk.tags["object"] == 0
        assert not [key for _, key, _ in walk.attributes if key.startswith("on")], name
        addresses = [
            value or "" for _, key, value in walk.attributes if key in {"href", "src", "action", "xlink:href"}
        ]
        assert all(re.fullmatch(r"(#[a-z0-9-]+|[\w.@%-]+\.html)", value) for value in addresses), name
        assert not re.search("[\u202a-\u202e\u2066-\u2069\u200e\u200f]", page), name
        seen += "<script>alert(1)</script>" in walk.text
    assert seen >= 12
    assert dead_among(pages) == []


def test_file_names_are_plain_whatever_was_typed(made: Path) -> None:
    assert all(
        re.fullmatch(r"[a-z0-9-]+(@[\w.-]+)?\.html", path.name) for path in (made / "pages").glob("*.html")
    )


def test_titles_say_what_was_typed_and_nothing_runs_out_of_them(made: Path) -> None:
    page = (made / "pages/family.html").read_text(encoding="utf-8")
    title = re.search(r"<title>(.*?)</title>", page)
    assert title is not None
    assert "&lt;script&gt;" in title[1]
    assert NASTY[:8] not in title[1]
