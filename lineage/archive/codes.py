"""What every code of a problem with files, builds and appended lines means, in one line."""

from types import MappingProxyType

ARCHIVE_CODES = MappingProxyType(
    {
        "outside-family": "A path or a link leads out of the family.",
        "unreadable": "The file is there and cannot be read.",
        "not-a-file": "A device, a pipe or a socket stands where a file is wanted.",
        "file-too-long": "The file is longer than anything that is read here.",
        "too-many-files": "The folder holds more files than a family can have.",
        "no-build": "There is no recorded build of that label.",
        "build-changed": "A file of a recorded build is not what was recorded.",
        "build-incomplete": "A file of a recorded build is missing.",
        "build-misplaced": "A recorded build stands in a folder of another name.",
        "build-line-ends": "git changed the line ends of a recorded build; what was recorded is still certain.",
        "line-lost": "An appended line was changed or taken out.",
        "label-twice": "Two branches recorded different builds under one label.",
    }
)
