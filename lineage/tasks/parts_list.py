"""A parts list as a spec: names, counts and masses are enough to begin."""

import csv
import re
from collections.abc import Callable, Iterator, Mapping
from io import StringIO
from typing import get_args

from msgspec import Struct

from lineage.problems import BadInput, Place, Problem, nearest
from lineage.spec.lines import plain_or_quoted
from lineage.spec.records import Role
from lineage.values.parsing import QuantityError, parse_count, parse_mass

HEADS = {
    "name": ("name", "part", "parts", "description", "what"),
    "count": ("count", "qty", "quantity", "pieces", "pcs", "number", "no", "n"),
    "mass": ("mass", "weight"),
    "role": ("role", "group"),
    "item": ("item", "article", "bought as"),
    "note": ("note", "notes", "remark", "remarks"),
}
ROLES: tuple[str, ...] = get_args(Role)
_UNIT_IN_HEAD = re.compile(r"^(.*?)\s*(?:[(\[/]\s*|\bin\s+|\s)(g|kg|mg|oz|lb)\s*[)\]]?$", re.IGNORECASE)
_LONGEST = 36


class Column(Struct, frozen=True):
    """Where a column stands, and the unit that its head names."""

    at: int
    unit: str = ""


def design_from_parts(kind: str, name: str, data: bytes, file: str) -> str:
    """The text of a spec from a parts list with a line of heads. Raises BadInput with all that is wrong in it."""
    parts = _PartsList(data, file)
    lines = list(parts.lines())
    if parts.problems:
        raise BadInput(parts.problems)
    return "\n".join((f"{kind}: {name}", "state: building", "parts:", *lines)) + "\n"


class _PartsList:
    def __init__(self, data: bytes, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.used: set[str] = set()
        self.rows = self._rows(data.decode("utf-8-sig", errors="replace"))
        self.columns = self._columns(self.rows[0][1])

    def _rows(self, text: str) -> list[tuple[int, list[str]]]:
        first = next(iter(text.splitlines()), "")
        reader = csv.reader(StringIO(text), delimiter=max(",;\t", key=first.count))
        rows = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
        if len(rows) < 2:
            self._refuse(1, 1, "there are no parts in this list", "a line of heads, then a line a part")
            raise BadInput(self.problems)
        return rows

    def _columns(self, heads: list[str]) -> Mapping[str, Column]:
        found: dict[str, Column] = {}
        for at, head in enumerate(heads):
            unit = _UNIT_IN_HEAD.match(head.strip())
            word = (unit[1] if unit else head).strip().casefold()
            for key, words in HEADS.items():
                if word in words and key not in found:
                    found[key] = Column(at, unit[2].casefold() if unit else "")
        for key in ("name", "mass"):
            if key not in found:
                known = ", ".join(HEADS[key])
                self._refuse(
                    1, 1, f"no column is headed {key}", f"one of: {known}", "name it in the first line"
                )
        if self.problems:
            raise BadInput(self.problems)
        return found

    def lines(self) -> Iterator[str]:
        """A line of the spec for each part."""
        for number, row in self.rows[1:]:
            cells = {key: row[c.at].strip() for key, c in self.columns.items() if c.at < len(row)}
            said = [f"mass: {self._mass(cells.get('mass', ''), number)}"]
            count = cells.get("count", "")
            if count not in {"", "1"}:
                said.append(f"count: {self._tried(parse_count, count, 'count', number)}")
            self._check_role(cells.get("role", ""), number)
            said += [
                f"{key}: {plain_or_quoted(cells[key])}" for key in ("role", "item", "note") if cells.get(key)
            ]
            yield f"  {self._name(cells.get('name', ''))}: {{{', '.join(said)}}}"

    def _check_role(self, typed: str, number: int) -> None:
        if typed and typed not in ROLES:
            near = nearest(typed.casefold(), ROLES)
            mend = f"did you mean {near}?" if near else ""
            column = self.columns["role"].at + 1
            self._refuse(number, column, f"`{typed}` is no role", f"one of: {', '.join(ROLES)}", mend)

    def _mass(self, typed: str, number: int) -> str:
        has_unit = re.search(r"[A-Za-z]", typed) is not None
        text = typed if has_unit else f"{typed} {self.columns['mass'].unit}".strip()
        if not typed:
            self._refuse(
                number, self.columns["mass"].at + 1, "this part has no mass", "a mass", "20 g guess will do"
            )
            return text
        return self._tried(parse_mass, text, "mass", number)

    def _tried(self, parse: Callable[[str], object], text: str, key: str, number: int) -> str:
        try:
            parse(text)
        except QuantityError as error:
            self._refuse(
                number, self.columns[key].at + 1, f"`{text}`: {error.what}", error.wanted, error.mend
            )
        return text

    def _name(self, typed: str) -> str:
        """A name by the rules for names from what was typed, numbered where it was there before."""
        name = re.sub(r"[^a-z0-9]+", "-", typed.casefold()).strip("-")[:_LONGEST] or "part"
        name = name if name[0].isalpha() else f"part-{name}"[:_LONGEST]
        found, number = name, 1
        while found in self.used:
            number += 1
            found = f"{name}-{number}"
        self.used.add(found)
        return found

    def _refuse(self, line: int, column: int, what: str, wanted: str, mend: str = "") -> None:
        place = Place(self.file, line, column)
        self.problems.append(Problem(place=place, code="parts-list", what=what, wanted=wanted, mend=mend))
