"""How long the commands take: medians, beside the least that any program would need for the same files.

    .venv/bin/python tests/bench/commands.py [REPEATS]

The floor is a bare Python that imports click and yaml and composes the same files with libyaml: what reading them
strictly could cost at the very least. Nothing here passes or fails; it is for looking before and after a change.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

LINEAGE = [sys.executable, "-m", "lineage"]
CLICK = [sys.executable, "-c", "import click"]
COMPOSING = [
    sys.executable,
    "-c",
    "import sys, click, yaml\nfor path in sys.argv[1:]:\n    yaml.compose(open(path, encoding='utf-8'), Loader=yaml.CSafeLoader)",
]


def seconds(command: Sequence[str], at: Path, env: Mapping[str, str], repeats: int) -> float:
    """The median time of a command, in s."""
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        subprocess.run(command, cwd=at, env={**os.environ, **env}, capture_output=True, check=True)
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def shown(name: str, took: float, floor: float | None = None) -> None:
    """One line: how long, and how many times the floor."""
    times = f"{took / floor:6.1f} times the floor" if floor else ""
    print(f"{name:<44}{took * 1000:8.0f} ms  {times}")


def main(repeats: int) -> None:
    """Measures on a fresh sample family, with drawings cached as they are after the first look."""
    with tempfile.TemporaryDirectory(prefix="lineage-bench-") as folder:
        here = Path(folder)
        env = {"ROBOT_LINEAGE_CACHE": str(here / "cache"), "GIT_CONFIG_GLOBAL": os.devnull}
        begun = time.perf_counter()
        subprocess.run(
            [*LINEAGE, "demo", "waders"], cwd=here, env={**os.environ, **env}, capture_output=True, check=True
        )
        demo = time.perf_counter() - begun
        family = here / "waders"

        print(f"Python {sys.version.split()[0]}, {os.cpu_count()} processors, median of {repeats}\n")
        bare = seconds(CLICK, family, env, repeats)
        shown("  floor: Python and click", bare)
        shown("lineage --help", seconds([*LINEAGE, "--help"], family, env, repeats), bare)

        asked: dict[str, tuple[list[str], list[Path]]] = {
            "lineage card dunlin@C": (["card", "dunlin@C"], read_for(family, "dunlin")),
            "lineage card avocet@E": (["card", "avocet@E"], read_for(family, "avocet")),
            "lineage compare turnstone@B turnstone@C": (
                ["compare", "turnstone@B", "turnstone@C"],
                read_for(family, "turnstone"),
            ),
            "lineage check": (["check"], sorted(family.rglob("*.yaml"))),
        }
        for name, (words, files) in asked.items():
            floor = seconds([*COMPOSING, *map(str, files)], family, env, repeats)
            first = {**env, "ROBOT_LINEAGE_CACHE": "off"}
            shown(f"  floor: {len(files)} files composed", floor)
            shown(name, seconds([*LINEAGE, *words], family, env, repeats), floor)
            shown("  with nothing cached", seconds([*LINEAGE, *words], family, first, repeats), floor)
        everything = seconds([*COMPOSING, *map(str, sorted(family.rglob("*.yaml")))], family, env, repeats)
        pages = len(list((family / "pages").glob("*.html")))
        shown(f"lineage demo (once, {pages} pages)", demo, everything)


def read_for(family: Path, design: str) -> list[Path]:
    """The files that a look at a design has to read: its builds, its results, every bout and event."""
    patterns = (
        "family.yaml",
        "events/*.yaml",
        "bouts/*.yaml",
        f"results/{design}.yaml",
        f"builds/{design}/*/*.yaml",
    )
    return [path for pattern in patterns for path in sorted(family.glob(pattern))]


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
