"""What html-validate, a checker of the HTML standard, says of pages: the sample's, and those of a hostile family.

It is an npm package: `npm install --no-save html-validate@9` in the checkout, or its program named in $HTML_VALIDATE.
"""

import json
import os
import shutil
import subprocess
from collections.abc import Iterable
from pathlib import Path

import pytest

from lineage.tasks.site import write_site
from tests.hostile import hostile_family

NAMED = Path(os.environ.get("HTML_VALIDATE") or "node_modules/.bin/html-validate").absolute()
RULES = {"root": True, "extends": ["html-validate:standard"]}
ONE_OF_EACH = (
    "index.html", "family.html", "card-turnstone@B.html", "compare-turnstone@B_C.html", "compare-avocet_dunlin.html",
    "history-avocet.html", "lessons-2025-04-05-mudflat-cup.html", "form-2025-04-05-mudflat-cup.html", "spares-avocet.html",
    "todo-avocet.html", "guide.html", "guide-figures.html", "guide-first-family.html",
)  # fmt: skip

pytestmark = pytest.mark.skipif(
    not NAMED.is_file() or shutil.which("node") is None,
    reason="html-validate is not here: npm install --no-save html-validate@9, or name it in $HTML_VALIDATE",
)


def faults(pages: Iterable[Path], beside: Path) -> list[str]:
    """What is wrong with any page: where, by which rule."""
    rules = beside / "rules.json"
    rules.write_text(json.dumps(RULES), encoding="utf-8")
    command = [str(NAMED), "--config", str(rules), "--formatter", "json", *map(str, pages)]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert ran.returncode in {0, 1}, ran.stderr
    return [
        f"{Path(page['filePath']).name}:{fault['line']}:{fault['column']} {fault['ruleId']}: {fault['message']}"
        for page in json.loads(ran.stdout or "[]")
        for fault in page["messages"]
    ]


def test_a_page_of_each_kind_is_valid_html(demo: Path, tmp_path: Path) -> None:
    assert faults([demo / "pages" / name for name in ONE_OF_EACH], tmp_path) == []


def test_pages_of_a_hostile_family_are_valid_html(tmp_path: Path) -> None:
    write_site(hostile_family(tmp_path), tmp_path / "site")
    pages = sorted((tmp_path / "site").glob("*.html"))
    assert len(pages) > 15
    assert faults(pages, tmp_path) == []


def test_a_page_that_is_not_valid_would_be_found(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(
        '<!DOCTYPE html><html lang="en"><head><title>x</title></head><body><p><div></div></p></body></html>'
    )
    (fault, *_) = faults([page], tmp_path)
    assert fault.startswith("page.html:1:")
