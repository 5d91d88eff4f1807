"""Pages in a browser without a window: each in a frame, from files, and what was found about it."""

import json
import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import quote

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
WHY_NOT = "there is no chromium here to look at pages with"

LOOK = """<!DOCTYPE html><meta charset="utf-8"><body><script>
const JOBS = %s;
const clipped = box => {
  const holder = box.of.closest('.wide, pre');
  if (!holder) return box;
  const room = holder.getBoundingClientRect();
  return {...box, left: Math.max(box.left, room.left), right: Math.min(box.right, room.right)};
};
const texts = page => {
  const found = [], walker = page.createTreeWalker(page.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = walker.nextNode());) {
    const of = node.parentElement;
    if (!node.data.trim() || of.closest('script, style, title, desc') || !of.checkVisibility()) continue;
    if (of.tagName === 'CAPTION' && page.defaultView.getComputedStyle(of).position === 'absolute') continue;
    const range = page.createRange();
    range.selectNodeContents(node);
    for (const r of range.getClientRects()) if (r.width > 1 && r.height > 1) {
      const margin = r.height / 5;  // lines may touch
      found.push({left: r.left, right: r.right, top: r.top + margin, bottom: r.bottom - margin, of, node});
    }
  }
  return found.sort((a, b) => a.top - b.top);
};
const overlaps = boxes => {
  const found = [];
  boxes.forEach((one, at) => {
    for (let next = at + 1; next < boxes.length && boxes[next].top < one.bottom; next++) {
      if (boxes[next].node === one.node || [one, boxes[next]].some(b => b.of.closest('tbody th'))) continue;  // heads that stay
      const a = clipped(one), b = clipped(boxes[next]);
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (wide > 2 && high > 2) found.push(a.node.data.trim().slice(0, 40) + ' | ' + b.node.data.trim().slice(0, 40));
    }
  });
  return found;
};
(async () => {
  const found = {};
  for (const [address, width, mode] of JOBS) {
    const frame = document.createElement('iframe');
    frame.style = `width:${width}px;height:3000px;border:0`;
    frame.src = address;
    document.body.append(frame);
    await new Promise(done => frame.onload = done);
    const page = frame.contentDocument;
    for (const sheet of page.styleSheets) for (const rule of sheet.cssRules)
      if (rule instanceof frame.contentWindow.CSSMediaRule && rule.media.mediaText.includes(mode)) rule.media.mediaText = 'all';
    for (let deep = 0; deep < 4; deep++) page.querySelectorAll('details').forEach(fold => fold.open = true);
    const boxes = texts(page);
    const of = getComputedStyle.bind(frame.contentWindow);
    found[[decodeURIComponent(address), width, mode].join(' ')] = {
      sideways: page.documentElement.scrollWidth - page.documentElement.clientWidth,
      overlaps: overlaps(boxes),
      texts: boxes.length,
      low: [...page.querySelectorAll('summary, nav a, label.tick, input[type=search]')]
        .filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 43.5).map(e => e.textContent.trim()),
      asked: frame.contentWindow.performance.getEntriesByType('resource').map(e => e.name),
      paper: frame.contentWindow.getComputedStyle(page.querySelector('main')).backgroundColor,
      styled: frame.contentWindow.getComputedStyle(page.querySelector('h1, h2')).fontWeight === '700',
    };
    frame.remove();
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = JSON.stringify(found);
  document.body.append(out);
})();
</script></body>"""


def look_at(
    pages: Path, beside: Path, jobs: Sequence[tuple[str, int, str]]
) -> tuple[dict[str, Any], list[str]]:
    """What was found about each page at a width in a mode (screen, print, dark), and what the browser complained of."""
    copy = beside / "pages"
    shutil.copytree(pages, copy)
    looking = copy / "look.html"
    addressed = [[quote(name, safe="@"), width, mode] for name, width, mode in jobs]
    looking.write_text(LOOK % json.dumps(addressed), encoding="utf-8")
    ran = run_browser(beside, looking)
    answer = re.search(r'<pre id="found">(.*?)</pre>', ran.stdout, re.DOTALL)
    assert answer is not None, ran.stderr[-2000:]
    return json.loads(unescape(answer[1])), complaints(ran)


def complaints(ran: subprocess.CompletedProcess[str]) -> list[str]:
    """What pages said on the console."""
    return [line for line in ran.stderr.splitlines() if "CONSOLE" in line]


def run_browser(beside: Path, page: Path, *more: str) -> subprocess.CompletedProcess[str]:
    """The page as the browser has it in the end, on stdout; no name of any other machine is found."""
    assert BROWSER is not None
    # As root, as in containers, the browser's own sandbox cannot be set up.
    root = ["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else []
    command = [
        BROWSER, "--headless", *root, "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        f"--user-data-dir={beside / 'profile'}", "--host-resolver-rules=MAP * ~NOTFOUND", "--allow-file-access-from-files",
        "--enable-logging=stderr", "--virtual-time-budget=300000", *more, "--dump-dom", page.as_uri(),
    ]  # fmt: skip
    return subprocess.run(command, capture_output=True, text=True, timeout=170, check=True)
