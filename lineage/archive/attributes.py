"""What git has to know about the files of a family."""

from typing import Final

GITATTRIBUTES: Final = """\
# Files stay as they are, byte for byte: builds are known by the ids of their files.
* -text
# Two laptops may add entries to one list: both sides are kept.
results/** merge=union
bouts/** merge=union
"""

GITIGNORE: Final = """\
# Pages are made anew at any time.
/pages/
# What a writer that was stopped left unfinished.
.*.partial
"""
