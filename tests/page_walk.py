"""Reads a page as a browser would meet it: tags that close, names that are there once, links that lead somewhere."""

import re
from collections import Counter
from html.parser import HTMLParser

VOID = frozenset(("meta", "input", "wbr", "br", "link", "img", "hr"))
INLINE = frozenset(("span", "b", "strong", "i", "wbr", "a", "label"))


class Walk(HTMLParser):
    """One walk through a page; `faults` says what is not well-formed."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.faults: list[str] = []
        self.names: Counter[str] = Counter()
        self.wanted: list[str] = []
        self.attributes: list[tuple[str, str, str | None]] = []
        self.parts: list[str] = []
        self.tags: Counter[str] = Counter()
        self.feed(page)
        self.close()
        self.faults += [f"<{tag}> is not closed" for tag in self.open]
        self.faults += [f"{name} is there {n} times" for name, n in self.names.items() if n > 1]
        self.faults += [f"#{name} leads nowhere" for name in self.wanted if name not in self.names]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        keys = [key for key, _ in attrs]
        if len(keys) != len(set(keys)):
            self.faults.append(f"<{tag}> has an attribute twice")
        for key, value in attrs:
            self.attributes.append((tag, key, value))
            if key == "id":
                self.names[value or ""] += 1
            elif key == "href" and (value or "").startswith("#"):
                self.wanted.append((value or "")[1:])
            elif key in {"aria-labelledby", "for"}:
                self.wanted += (value or "").split()
            self.wanted += re.findall(r"url\(#([^)]*)\)", value or "")
        if tag not in INLINE:
            self.parts.append(" ")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        if tag not in INLINE:
            self.parts.append(" ")
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self.open[-1:]} at {self.getpos()}")
        elif self.open:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.parts.append(data)

    @property
    def text(self) -> str:
        """What is to be read, in one line."""
        return " ".join("".join(self.parts).split())


def numbers(text: str) -> set[str]:
    """Every number in a text, as it stands there."""
    return set(re.findall(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.]*\d)", text))
