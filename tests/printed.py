"""Values as a source prints them: right is what rounds to the printed digits, or is off by half the last one."""

from math import inf


class Printed:
    """A printed number; `=` before it marks an exact one, as do whole numbers; `inf` and `-` (none) are words.

    Compare with `==`; None of a method stands for infinite beside `inf` and for not defined beside `-`.
    """

    def __init__(self, text):
        self.text = text.strip()

    @property
    def tolerance(self):
        digits, _, power = self.text.partition("e")
        if self.text.startswith("=") or "." not in digits:
            return 1e-12
        return 0.5000001 * 10.0 ** (int(power or 0) - len(digits.partition(".")[2]))

    def __eq__(self, value):
        if self.text in {"inf", "-"}:
            return value is None or value == inf
        if value is None:
            return False
        number = float(self.text.lstrip("="))
        return abs(value - number) <= self.tolerance + 4e-12 * abs(number)

    __hash__ = None

    def __repr__(self):
        return f"Printed({self.text})"


def rows(table):
    """Lines of a table as lists of cells; empty lines and those that start with # are left out."""
    lines = [line.strip() for line in table.strip().splitlines()]
    return [[cell.strip() for cell in line.split("|")] for line in lines if line and not line.startswith("#")]
