"""What every code of a problem between files, drawings and logs means, in one line."""

from types import MappingProxyType

TASK_CODES = MappingProxyType(
    {
        "parts-list": "A line of a parts list cannot be read.",
        "drawing.missing": "The drawing of a part is not there.",
        "file-missing": "A file that is to be kept with the build is not there.",
        "unrecorded-module": "A build would use working files of a module, which may still change.",
        "unresolved": "Something that is asked for cannot be found.",
        "ring-of-behind": "Things wait for each other to come off.",
        "unlisted-screw": "No table has a screw as it is written, and its mass is not given.",
        "pvc-in-laser": "A chlorinated plastic would be cut by laser: corrosive, poisonous gas.",
        "material-against-class": "A material that the weight class does not allow for that role.",
        "size-against-class": "A robot is larger than the weight class allows.",
        "size-against-event": "A robot is larger than the event allows at which it is entered.",
        "design-renamed": "A design has the things of one whose working file is gone, and does not say so.",
        "over-limit": "A robot is over the limit of its class.",
        "need-missed": "A fit misses its need.",
        "uncertain-build": "It is not certain which build an entry is about.",
        "unknown-robot": "A bout names a robot that the family does not have.",
        "unknown-name": "An event or a lesson names what the family does not have.",
        "unmatched-name": "A log entry names a thing, fit, scale or choice that the build does not have.",
        "unmatched-damage": "Damage is at a place that the build does not have.",
    }
)
