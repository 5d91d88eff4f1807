"""A family as large as families get: 40 designs, 2,000 builds, 10,000 robot-bouts; files in memory, no git."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from random import Random

from lineage.archive.builds import plan_build
from lineage.tasks.workspace import Workspace
from tests.in_memory import FAMILY, Files

FIRST = date(2010, 1, 1)
SEED = 20260307


def big_family(*, robots: int = 30, modules: int = 10, builds: int = 50, bouts: int = 10_000) -> Files:
    """Robots that all use modules; in every build something changes, in every fifth a module moves on."""
    files = Files({"family.yaml": FAMILY.encode()})
    ids: dict[str, str] = {}
    for number in range(modules):
        _chain(files, f"pod-{number}", builds, ids, lambda turn, n=number: (_module(n, turn), ()))
    for number in range(robots):
        _chain(files, f"robot-{number}", builds, ids, lambda turn, n=number: _robot(n, turn, modules))
    _bouts(files, robots, builds, bouts)
    return files


def opened(files: Files) -> Workspace:
    """The family with nothing worked out yet."""
    return Workspace(files, Path("nowhere"))


def read(workspace: Workspace) -> Workspace:
    """The family with every file read."""
    for design in workspace.designs:
        for label in workspace.labels(design):
            workspace.spec(_ref(design, label))
    for event in workspace.bout_events:
        workspace.bouts(event)
    return workspace


def _ref(design, label):
    from lineage.spec.records import BuildRef

    return BuildRef(design, label)


def _chain(files, design, builds, ids, text_of) -> None:
    before = None
    kind = "robots" if design.startswith("robot") else "modules"
    for turn in range(builds):
        label = str(turn + 1)
        text, uses = text_of(turn)
        plan = plan_build(
            files,
            design=design,
            label=label,
            on=FIRST + timedelta(days=90 * turn),
            before=before,
            spec_path=f"{kind}/{design}.yaml",
            spec=text.encode(),
            family=FAMILY.encode(),
            drawings={},
            uses={use: ids[use] for use in uses},
        )
        files.by_path |= plan.files
        ids[f"{design}@{label}"] = plan.record.id
        before = label
    files.by_path[f"{kind}/{design}.yaml"] = text.encode()


def _module(number: int, turn: int) -> str:
    return (
        f"module: pod-{number}\nparts:\n  gearbox: {{role: drive, mass: {20 + turn // 5 % 7} g}}\n"
        f"  motor: {{role: drive, mass: {40 + turn % 3} g}}\n  wheel: {{role: drive, mass: 15 g, dims: {{d: {30 + turn % 2} mm}}}}\n"
        "  mount: {role: chassis, stock: al-2, area: 12 cm2}\nfasteners:\n"
        "  screws: {type: M3x8 cap, count: 4, holds: motor, into: mount}\n"
    )


def _robot(number: int, turn: int, modules: int) -> tuple[str, tuple[str, ...]]:
    module, label = number % modules, turn // 5 * 5 + 1
    use = f"pod-{module}@{label}"
    return (
        f"robot: robot-{number}\nclass: 3lb\nparts:\n"
        f"  lid: {{role: chassis, stock: pc-3, area: {100 + turn % 4} cm2}}\n"
        f"  base: {{role: chassis, stock: al-2, area: {140 + turn % 3} cm2}}\n"
        f"  battery: {{role: power, mass: {90 + turn % 2} g, behind: lid}}\n"
        f"  receiver: {{role: control, mass: 5 g, behind: lid}}\n  blade: {{role: weapon, mass: {120 + turn % 5} g}}\n"
        f"  wedge: {{role: front, stock: al-2, area: {40 + turn % 6} cm2}}\n"
        f"modules: {{left: {use}, right: {use}}}\nfasteners:\n"
        f"  lid-screws: {{type: M3x8 button, count: {6 + turn % 2}, holds: lid, into: base}}\n"
        f"  left-screws: {{type: M3x10 cap, count: 4, holds: left, into: base}}\n"
        f"settings: {{limit: {50 + turn} %}}\n"
    ), (use,)


_BROKE = ("lid", "blade", "left.gearbox", "right.gearbox", "left.wheel", "wedge", "weel")


def _bouts(files: Files, robots: int, builds: int, bouts: int) -> None:
    random = Random(SEED)
    each = bouts // (robots * builds)
    over = bouts - each * robots * builds
    for turn in range(builds):
        name = f"{FIRST + timedelta(days=90 * turn + 30)}-meet"
        files.by_path[f"bouts/{name}.yaml"] = "".join(
            _lines(random, robots, turn, each, over, builds)
        ).encode()
        files.by_path[f"events/{name}.yaml"] = f"event: Meet {turn}\n".encode()


def _lines(random: Random, robots: int, turn: int, each: int, over: int, builds: int) -> Iterator[str]:
    for robot in range(robots):
        extra = (over * (turn * robots + robot + 1)) // (robots * builds) - (
            over * (turn * robots + robot)
        ) // (robots * builds)
        for bout in range(each + extra):
            broke = random.choice(_BROKE) if random.random() < 0.3 else None
            damage = f", broke: [{{at: {broke}, mode: bent}}]" if broke else ""
            yield f"- {{robot: robot-{robot}, bout: {bout + 1}, build: '{turn + 1}', outcome: won, ran: 90 s{damage}}}\n"
