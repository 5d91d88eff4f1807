"""How long, and how much memory, the pages of a large family take: 100 designs with 1,000 builds, as full as the sample's.

    .venv/bin/python tests/bench/large_site.py [COPIES]

The sample family twelve times over, each copy with names and drawings of its own and ten builds a design. Promised are
60 s and 400 MB on two cores; the exit status says whether that was kept. The memory is that of all its processes, what
they have in common counted once (by Linux's proportional share, looked at five times a second).
"""

import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from lineage.archive.builds import build_labels, plan_build, read_record
from lineage.archive.tree import WorkingTree
from tests.in_memory import Files

LINEAGE = [sys.executable, "-m", "lineage"]
BUILDS = 10
LONGEST, MOST = 60.0, 400.0
LATER = date(2025, 6, 1)


def large_family(sample: Path, copies: int) -> Files:
    """So many copies of a family, side by side in one."""
    tree = WorkingTree(sample)
    names = in_order(tree)
    files = Files({"family.yaml": tree.read("family.yaml")})
    for copy in range(1, copies + 1):
        called = re.compile(rf"(?<!\w)(?<!\w-)({'|'.join(sorted(names, key=len, reverse=True))})(?![\w-])")
        one = Copy(tree, files, lambda text, n=copy, called=called: called.sub(rf"\1-{n}", text), copy)
        ids: dict[str, str] = {}
        for design in names:
            one.record(design, ids)
        one.log()
    return files


def in_order(tree: WorkingTree) -> list[str]:
    """Designs of which there are builds, those that are used before those that use them."""
    used: dict[str, set[str]] = {}
    for path in tree.files("builds"):
        if path.endswith("/build.yaml"):
            _, design, label, _ = path.split("/")
            record = read_record(tree, design, label)
            used.setdefault(design, set()).update(use.partition("@")[0] for use in record.uses)
    order: list[str] = []
    while len(order) < len(used):
        order += [design for design in sorted(used) if design not in order and used[design] <= set(order)]
    return order


class Copy:
    """One copy of the sample: `named` puts its number behind the name of each design."""

    def __init__(self, tree, files, named, number) -> None:
        self.tree, self.files, self.named, self.number = tree, files, named, number

    def record(self, design: str, ids: dict[str, str]) -> None:
        """Ten builds: those of the sample, then more that each add a part."""
        labels = sorted(build_labels(self.tree, design))
        before = None
        for turn in range(BUILDS):
            source = labels[min(turn, len(labels) - 1)]
            record = read_record(self.tree, design, source)
            spec = self.named(self.tree.read(f"builds/{design}/{source}/spec.yaml").decode())
            more = "".join(
                f"  more-{n}: {{role: chassis, mass: {n + 1} g}}\n" for n in range(turn + 1 - len(labels))
            )
            spec = re.sub(r"^parts:\n", lambda found, more=more: found[0] + more, spec, flags=re.MULTILINE)
            label = labels[turn] if turn < len(labels) else chr(ord("A") + turn)
            kind = "robots" if f"robots/{design}.yaml" in record.files else "modules"
            uses = tuple(map(self.named, record.uses))
            drawings = dict(self.drawings(design, record.files))
            self.files.by_path |= drawings
            plan = plan_build(
                self.files,
                design=self.named(design),
                label=label,
                on=record.on if turn < len(labels) else LATER + timedelta(days=30 * turn),
                before=before,
                spec_path=f"{kind}/{self.named(design)}.yaml",
                spec=spec.encode(),
                family=self.tree.read(f"builds/{design}/{source}/family.yaml"),
                drawings=drawings,
                uses={use: ids[use] for use in uses},
            )
            self.files.by_path |= plan.files
            ids[f"{self.named(design)}@{label}"] = plan.record.id
            self.files.by_path[f"{kind}/{self.named(design)}.yaml"] = spec.encode()
            before = label

    def drawings(self, design: str, files) -> Iterator[tuple[str, bytes]]:
        """Drawings as they were, each with a remark that makes it one of its own."""
        for path, id_ in files.items():
            if path.endswith(".dxf"):
                stem = Path(path).stem
                data = self.tree.read(f"builds/{design}/drawings/{stem}-{id_[:12]}.dxf")
                yield self.named(path), f"999\ncopy {self.number}\n".encode() + data

    def log(self) -> None:
        """Events, bouts and results."""
        for path in (*self.tree.files("events"), *self.tree.files("bouts")):
            folder, _, name = path.partition("/")
            text = self.named(self.tree.read(path).decode())
            self.files.by_path[f"{folder}/{name.removesuffix('.yaml')}-{self.number}.yaml"] = text.encode()
        for path in self.tree.files("results"):
            self.files.by_path[self.named(path)] = self.named(self.tree.read(path).decode()).encode()


def main(copies: int) -> int:
    """Makes the family, then its pages twice; 1 where it took too long or too much."""
    with tempfile.TemporaryDirectory(prefix="lineage-bench-") as folder:
        here = Path(folder)
        env = {**os.environ, "ROBOT_LINEAGE_CACHE": str(here / "cache"), "GIT_CONFIG_GLOBAL": os.devnull}
        subprocess.run([*LINEAGE, "demo", "waders"], cwd=here, env=env, capture_output=True, check=True)
        family = large_family(here / "waders", copies)
        for path, data in family.by_path.items():
            (here / "large" / path).parent.mkdir(parents=True, exist_ok=True)
            (here / "large" / path).write_bytes(data)
        builds = sum(path.endswith("/build.yaml") for path in family.by_path)
        designs = len({path.split("/")[1] for path in family.by_path if path.startswith("builds/")})
        print(f"{designs} designs, {builds} builds, {os.cpu_count()} processors")
        took, most = site(here / "large", env, "cold")
        site(here / "large", env, "again")
        return 0 if took < LONGEST and most < MOST else 1


def site(family: Path, env, what: str) -> tuple[float, float]:
    """Seconds on the clock, and the most memory that all its processes had together, in MB."""
    worked = processor_seconds()
    begun = time.perf_counter()
    with tempfile.TemporaryFile("w+") as said:
        running = subprocess.Popen([*LINEAGE, "site", "pages"], cwd=family, env=env, stdout=said, stderr=said)
        most = 0.0
        while running.poll() is None:
            most = max(most, sum(map(share_of, (running.pid, *children_of(running.pid)))))
            time.sleep(0.2)
        took = time.perf_counter() - begun
        said.seek(0)
        told = "\n".join(said.read().splitlines()[:10])
    worked = processor_seconds() - worked
    print(
        f"{what:<8}{took:6.1f} s ({worked:.1f} s of processors)  {most:6.0f} MB  status {running.returncode}: {told}"
    )
    return took, most


def children_of(process: int) -> list[int]:
    """The processes that one started; none where it has gone."""
    try:
        return [int(child) for child in Path(f"/proc/{process}/task/{process}/children").read_text().split()]
    except OSError:
        return []


def share_of(process: int) -> float:
    """MB of a process, what it shares with others counted in parts; 0 where it has gone."""
    try:
        rollup = Path(f"/proc/{process}/smaps_rollup").read_text()
    except OSError:
        return 0.0
    return int(re.search(r"^Pss:\s+(\d+)", rollup, re.MULTILINE)[1]) / 1024


def processor_seconds() -> float:
    """What all programs started so far have used."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 12))
