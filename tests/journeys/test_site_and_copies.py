"""All pages as one site, paper for the pits, and copies that a family can be had back from."""

import json
import re
import shutil
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import jsonschema
import pytest
import yaml

from tests.program import files_of, fine, lineage


def links(page):
    """(file, fragment) of every link of a page that stays in its folder."""
    for target in re.findall(r'href="([^"]*)"', page):
        if not re.match(r"(?:[a-z]+:|//)", target):
            file, _, fragment = unescape(target).partition("#")
            yield unquote(file), fragment


def test_every_link_of_the_demo_leads_somewhere(demo):
    folder = demo / "pages"
    pages = {path.name: path.read_text() for path in folder.glob("*.html")}
    names = {name: set(re.findall(r'\bid="([^"]+)"', page)) for name, page in pages.items()}
    followed = 0
    for name, page in pages.items():
        for file, fragment in links(page):
            target = file or name
            assert (folder / target).exists(), f"{name} → {file}"
            assert not fragment or target not in names or fragment in names[target], (
                f"{name} → {file}#{fragment}"
            )
            followed += 1
    assert followed > 1000


def test_the_first_page_leads_to_every_other(demo):
    folder = demo / "pages"
    pages = {path.name: path.read_text() for path in folder.glob("*.html")}
    reached, open_ = {"index.html"}, ["index.html"]
    while open_:
        for file, _ in links(pages[open_.pop()]):
            if file in pages and file not in reached:
                reached.add(file)
                open_.append(file)
    assert reached == set(pages)


def test_a_site_that_is_made_again_is_the_same_to_the_byte(demo, family):
    pages = family.root / "pages"
    shutil.copytree(demo / "pages", pages)
    first = files_of(pages)
    fine(family.root, "site", "pages")
    assert files_of(pages) == first
    assert family.status == ""


def test_paper_for_the_pits_has_a_sheet_for_each_robot(demo, tmp_path):
    page = tmp_path / "pits.html"
    fine(demo, "form", "2025-04-05-mudflat-cup", "--html", str(page))
    seen = unescape(re.sub(r"<[^>]+>", " ", page.read_text()))
    for robot in ("turnstone", "avocet", "whimbrel", "dunlin"):
        assert robot in seen
    assert "link out within 60 s from outside" in seen


def test_a_safety_copy_gives_the_family_back(family, tmp_path):
    stick = tmp_path / "stick"
    assert "mkdir" in lineage(family.root, "backup", str(stick)).err  # a stick that is not plugged in
    stick.mkdir()
    answer = fine(family.root, "backup", str(stick))
    (copy,) = [path for path in stick.iterdir() if path.is_file()]
    assert str(copy) in answer.out
    assert "is whole" in fine(family.root, "backup", "--check", str(copy)).out
    family.git("clone", "--quiet", str(copy), str(tmp_path / "restored"))
    asked = ("card", "dunlin@C", "--json")
    assert fine(tmp_path / "restored", *asked).json == fine(family.root, *asked).json
    assert family.git("rev-parse", "HEAD") == family.git("rev-parse", "HEAD", at=tmp_path / "restored")


def test_a_safety_copy_that_was_cut_short_is_told(family, tmp_path):
    fine(family.root, "backup", str(tmp_path))
    (copy,) = [path for path in tmp_path.iterdir() if path.is_file()]
    copy.write_bytes(copy.read_bytes()[:-2000])
    answer = lineage(family.root, "backup", "--check", str(copy))
    assert answer.status == 2
    assert "is whole" not in answer.out


KINDS = {
    "family": "family.yaml",
    "robot": "robots/*.yaml",
    "module": "modules/*.yaml",
    "event": "events/*.yaml",
    "lesson": "lessons/*.yaml",
    "bouts": "bouts/*.yaml",
    "results": "results/*.yaml",
    "build": "builds/*/*/build.yaml",
}


@pytest.mark.parametrize("kind", KINDS)
def test_the_schema_of_a_kind_of_file_accepts_what_the_sample_family_holds(demo, kind):
    schema = json.loads(fine(demo, "schema", kind).out)
    check = jsonschema.Draft202012Validator(schema)
    files = sorted(demo.glob(KINDS[kind]))
    assert files
    for file in files:
        assert not list(check.iter_errors(as_text(file))), file


def as_text(file: Path):
    """A file as JSON sees it: what looks like a date or a word of YAML 1.1 stays text; whole numbers are numbers."""

    class Plain(yaml.SafeLoader):
        yaml_implicit_resolvers = {}  # noqa: RUF012 - how PyYAML is told

    return numbers(yaml.load(file.read_text(), Plain))


def numbers(value):
    if isinstance(value, dict):
        return {key: numbers(item) for key, item in value.items()}
    if isinstance(value, list):
        return [numbers(item) for item in value]
    return int(value) if re.fullmatch(r"-?(0|[1-9]\d*)", value) else value
