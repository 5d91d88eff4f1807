"""Every code of this room says what it means, and nothing else is raised."""

import re
from pathlib import Path

import lineage.archive
from lineage.archive.codes import ARCHIVE_CODES


def test_codes_in_the_modules_are_those_that_are_explained():
    folder = Path(lineage.archive.__file__).parent
    text = "".join(file.read_text() for file in folder.glob("*.py") if file.name != "codes.py")
    assert {code for code in ARCHIVE_CODES if f'"{code}"' not in text} == set()
    used = re.findall(
        r'code="([a-z-]+)"|_problem\(\s*path, "([a-z-]+)"|_refused\(\s*path,\s*"([a-z-]+)"', text
    )
    assert {code for codes in used for code in codes if code} <= ARCHIVE_CODES.keys()
    assert all(meaning.endswith(".") for meaning in ARCHIVE_CODES.values())
