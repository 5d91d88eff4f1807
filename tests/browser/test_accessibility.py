"""What axe-core, a checker of the Web Content Accessibility Guidelines, says of pages, by day and in the dark.

It is an npm package: `npm install --no-save axe-core` in the checkout, or its axe.min.js named in $AXE_CORE.
"""

import json
import os
import re
import shutil
from html import unescape
from pathlib import Path
from urllib.parse import quote

import pytest

from tests.browsing import BROWSER, WHY_NOT, run_browser

NAMED = Path(os.environ.get("AXE_CORE") or "node_modules/axe-core/axe.min.js")
PAGES = (
    "index.html", "family.html", "card-turnstone@B.html", "compare-turnstone@B_C.html", "compare-avocet_dunlin.html",
    "history-avocet.html", "lessons-2025-04-05-mudflat-cup.html", "form-2025-04-05-mudflat-cup.html", "spares-avocet.html",
    "todo-avocet.html", "guide.html", "guide-figures.html", "guide-first-family.html",
)  # fmt: skip

pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason=WHY_NOT),
    pytest.mark.skipif(
        not NAMED.is_file(),
        reason="axe-core is not here: npm install --no-save axe-core, or name it in $AXE_CORE",
    ),
]

LOOK = """<!DOCTYPE html><meta charset="utf-8"><body><script>
(async () => {
  const found = {};
  for (const name of %s) for (const mode of ['screen', 'dark']) {
    const frame = document.createElement('iframe');
    frame.style = 'width:1200px;height:3000px;border:0';
    frame.src = name;
    document.body.append(frame);
    await new Promise(done => frame.onload = done);
    for (const sheet of frame.contentDocument.styleSheets) for (const rule of sheet.cssRules)
      if (rule instanceof frame.contentWindow.CSSMediaRule && rule.media.mediaText.includes(mode)) rule.media.mediaText = 'all';
    frame.contentDocument.querySelectorAll('details').forEach(fold => fold.open = true);
    const said = await frame.contentWindow.axe.run();
    found[decodeURIComponent(name) + ' ' + mode] = [said.passes.length, said.violations.map(v => v.id + ' ' + v.nodes[0].html.slice(0, 200))];
    frame.remove();
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = JSON.stringify(found);
  document.body.append(out);
})();
</script></body>"""


def test_axe_finds_nothing_to_complain_of(demo: Path, tmp_path: Path) -> None:
    pages = tmp_path / "pages"
    shutil.copytree(demo / "pages", pages)
    checker = f"<script>{NAMED.read_text(encoding='utf-8')}</script></body>"
    for name in PAGES:
        page = (pages / name).read_text(encoding="utf-8")
        free = re.sub(
            r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", page
        )  # which lets no checker in
        (pages / name).write_text(free.replace("</body>", checker), encoding="utf-8")
    (pages / "look.html").write_text(
        LOOK % json.dumps([quote(name, safe="@") for name in PAGES]), encoding="utf-8"
    )
    ran = run_browser(tmp_path, pages / "look.html")
    answer = re.search(r'<pre id="found">(.*?)</pre>', ran.stdout, re.DOTALL)
    assert answer is not None, ran.stderr[-2000:]
    found = json.loads(unescape(answer[1]))
    assert len(found) == 2 * len(PAGES)
    assert all(passed > 10 for passed, _ in found.values())
    assert {name: wrong for name, (_, wrong) in found.items() if wrong} == {}
