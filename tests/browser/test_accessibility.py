"""What axe-core, a checker of the Web Content Accessibility Guidelines, says of pages, by day and in the dark.

It is an npm package: `npm install --no-save axe-core` in the checkout, or its axe.min.js named in $AXE_CORE.
"""

import os
from pathlib import Path

import pytest

from tests.browsing import LACKING, WHY_NOT, browser

NAMED = Path(os.environ.get("AXE_CORE") or "node_modules/axe-core/axe.min.js")
PAGES = (
    "index.html", "family.html", "card-turnstone@B.html", "compare-turnstone@B_C.html", "compare-avocet_dunlin.html",
    "history-avocet.html", "lessons-2025-04-05-mudflat-cup.html", "form-2025-04-05-mudflat-cup.html", "spares-avocet.html",
    "todo-avocet.html", "guide.html", "guide-figures.html", "guide-first-family.html",
)  # fmt: skip

pytestmark = [
    pytest.mark.skipif(bool(LACKING), reason=WHY_NOT),
    pytest.mark.skipif(
        not NAMED.is_file(),
        reason="axe-core is not here: npm install --no-save axe-core, or name it in $AXE_CORE",
    ),
]

ASK = """
const [choice, done] = [arguments[0], arguments[arguments.length - 1]];
document.querySelectorAll('details').forEach(fold => fold.open = true);
axe.run(choice).then(said => done([said.passes.length, said.violations.map(v => v.id + ' ' + v.nodes[0].html.slice(0, 200))]));
"""
EVERYTHING: dict[str, object] = {}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


def test_axe_finds_nothing_to_complain_of(demo: Path, tmp_path: Path) -> None:
    checker = NAMED.read_text(encoding="utf-8")
    found = {}
    with browser(tmp_path) as looking:
        for name in PAGES:
            for mode, choice, least in (("screen", EVERYTHING, 10), ("dark", COLOURS, 1)):
                looking.open(demo / "pages" / name, mode=mode)
                looking.run(checker)
                passed, wrong = looking.driver.execute_async_script(ASK, choice)
                assert passed >= least, name
                found[f"{name} {mode}"] = wrong
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def test_a_page_that_cannot_be_read_would_be_found(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(
        "<!DOCTYPE html><title>x</title><main><h1>x</h1><p style='color:#ccc;background:#fff'>pale</p><img src='data:,'></main>"
    )
    with browser(tmp_path) as looking:
        looking.open(page)
        looking.run(NAMED.read_text(encoding="utf-8"))
        _, wrong = looking.driver.execute_async_script(ASK, EVERYTHING)
    assert {"color-contrast", "image-alt"} <= {fault.partition(" ")[0] for fault in wrong}
