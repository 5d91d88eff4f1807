"""Pages in Debian's Chromium, through its driver: as files, without a window and without a network."""

import json
import os
import re
import shutil
from base64 import b64decode
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
DRIVER = shutil.which("chromedriver")
LACKING = [
    name
    for name, is_here in {
        "chromium": BROWSER,
        "chromedriver (chromium-driver in Debian)": DRIVER,
        "selenium (in the extra `test`)": find_spec("selenium"),
    }.items()
    if not is_here
]
WHY_NOT = f"to look at pages there is no {', no '.join(LACKING)} here"
TELEPHONE = 360  # px

LOOK = """
const clipped = box => {
  const holder = box.of.closest('.wide, pre');
  if (!holder) return box;
  const room = holder.getBoundingClientRect();
  return {...box, left: Math.max(box.left, room.left), right: Math.min(box.right, room.right)};
};
const texts = () => {
  const found = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = walker.nextNode());) {
    const of = node.parentElement;
    if (!node.data.trim() || of.closest('script, style, title, desc') || !of.checkVisibility()) continue;
    if (of.tagName === 'CAPTION' && getComputedStyle(of).position === 'absolute') continue;
    const range = document.createRange();
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
const cut = boxes => {  // a text that runs out of a box that hides what runs out
  const found = [];
  for (const box of boxes) for (let of = box.of; of && of !== document.body; of = of.parentElement) {
    const style = getComputedStyle(of);
    if (style.overflowX !== 'hidden' && style.overflowX !== 'clip' || style.textOverflow === 'ellipsis') continue;
    const room = of.getBoundingClientRect();
    if (box.left < room.left - 1 || box.right > room.right + 1) found.push(box.node.data.trim().slice(0, 60));
  }
  return found;
};
for (let deep = 0; deep < 4; deep++) document.querySelectorAll('details').forEach(fold => fold.open = true);
const boxes = texts();
return {
  sideways: document.documentElement.scrollWidth - document.documentElement.clientWidth,
  overlaps: overlaps(boxes),
  cut: cut(boxes),
  texts: boxes.length,
  hidden: [...document.querySelectorAll('.wide')].filter(e => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1)
    .map(e => e.getAttribute('aria-label')),
  low: [...document.querySelectorAll('summary, nav a, .listed a, label.tick, input[type=search]')]
    .filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 43.5).map(e => e.textContent.trim()),
  pictures: [...document.querySelectorAll('figure.picture svg')].filter(e => e.checkVisibility()).map(e => e.getBoundingClientRect().width),
  paper: getComputedStyle(document.querySelector('main')).backgroundColor,
  styled: getComputedStyle(document.querySelector('h1, h2')).fontWeight === '700',
};
"""


class Browser:
    """One browser without a window; `said` and `asked` are what pages told its console and asked of anywhere."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver
        self.said: list[str] = []
        self.asked: list[str] = []

    def open(self, page: Path, width: int = 1200, mode: str = "screen", *, scripts: bool = True) -> None:
        """Loads a page from its file at a width: on the screen, in the dark, or on paper."""
        self._tell("Emulation.setScriptExecutionDisabled", value=not scripts)
        is_small = width <= TELEPHONE
        self._tell("Emulation.setTouchEmulationEnabled", enabled=is_small)
        size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": is_small}
        self._tell("Emulation.setDeviceMetricsOverride", **size)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if mode == "dark" else "light"}
        medium = "print" if mode == "print" else "screen"
        self._tell("Emulation.setEmulatedMedia", media=medium, features=[scheme])
        address = page.absolute().as_uri()
        self.driver.get(address)
        self.said += [f"{page.name}: {line['message']}" for line in self.driver.get_log("browser")]
        self.asked += [f"{page.name}: {url}" for url in self._requests() if url != address]

    def run(self, script: str, *arguments: object) -> Any:
        """What a script comes to, run in the page as it stands."""
        return self.driver.execute_script(script, *arguments)

    def printed_pages(self, paper: tuple[float, float]) -> int:
        """How many pages of a paper, inches wide and high, the page takes."""
        size = {"paperWidth": paper[0], "paperHeight": paper[1], "preferCSSPageSize": True}
        printed = self.driver.execute_cdp_cmd("Page.printToPDF", size)["data"]
        return len(re.findall(rb"/Type\s*/Page\b", b64decode(printed)))

    def find(self, selector: str) -> Any:
        """An element of the page."""
        return self.driver.find_element("css selector", selector)

    def _tell(self, command: str, **values: object) -> None:
        self.driver.execute_cdp_cmd(command, values)

    def _requests(self) -> Iterator[str]:
        for line in self.driver.get_log("performance"):
            message = json.loads(line["message"])["message"]
            if message["method"] != "Network.requestWillBeSent":
                continue
            if not message["params"]["documentURL"].startswith("chrome:"):  # the browser's own first page
                yield message["params"]["request"]["url"]


@contextmanager
def browser(beside: Path) -> Iterator[Browser]:
    """A browser with a new profile; no name of any other machine is found by it."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = str(BROWSER)
    # As root, as in containers, the browser's own sandbox cannot be set up.
    root = ["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else []
    for word in (
        "--headless=new", *root, "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run",
        "--disable-background-networking", "--disable-component-update", f"--user-data-dir={beside / 'profile'}",
        "--host-resolver-rules=MAP * ~NOTFOUND",
    ):  # fmt: skip
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=DRIVER))
    try:
        yield Browser(driver)
    finally:
        driver.quit()


def look_at(
    pages: Path, beside: Path, jobs: Sequence[tuple[str, int, str]]
) -> tuple[dict[str, dict[str, Any]], list[str]]:
    """What was found about each page at a width in a mode, and what any of them said to the console or asked for."""
    found = {}
    with browser(beside) as looking:
        for name, width, mode in jobs:
            looking.open(pages / name, width, mode)
            found[f"{name} {width} {mode}"] = looking.run(LOOK)
    return found, [*looking.said, *looking.asked]


def faults(found: dict[str, dict[str, Any]]) -> list[str]:
    """What is wrong with any page, in words."""
    told = []
    for name, page in found.items():
        if page["sideways"] > 0:
            told.append(f"{name} scrolls sideways by {page['sideways']} px")
        told += [f"{name}: {over} lie on each other" for over in page["overlaps"]]
        told += [f"{name}: {text} is cut off" for text in page["cut"]]
        if not page["styled"] or not page["texts"]:
            told.append(f"{name} shows nothing, or has no style")
    return told
