"""The usual cautions, chosen by what a robot holds. Common practice, no source, where none is named.

They stand where they are read: on cards, ways in, work lists and the report after an event.
"""

from collections.abc import Iterable

from lineage.spec.assembly import Assembly, Thing

MAKE_SAFE = (
    "Before any work: power link out and weapon restraint on, wait for everything to stop. The restraint comes "
    "off last, in the arena or test box."
)
OVER_ALL = (
    "The event's own rules, its inspectors, licensed practice and local codes stand over anything printed here; "
    "a worked-out figure is no inspection. Minors work supervised by someone trained."
)
SPIN_UP = (
    "Spin up only in a closed test box or arena made for that energy, everybody outside; first power-up on a "
    "stand with the weapon disabled and the radio's failsafe proven. Tip speed and energy are for information, "
    "not for choosing a test box."
)
LITHIUM = (
    "Lithium cells: charge attended in a fire-safe place; no damaged or swollen packs (outside, away from "
    "people); no soldering near a connected pack; mind the transport rules."
)
STORED = "Stored energy ({what}): discharge or secure it before hands go in."
MAGNETS = (
    "Magnets: pinched fingers, sudden release when pulling a robot off a steel floor; keep away from medical "
    "implants."
)
LASER_PVC = "Never cut PVC or other chlorinated plastics in a laser: corrosive, poisonous gas."
ACETAL = (
    "Cutting acetal: burns with a hardly visible flame and gives off formaldehyde; never unattended, extraction "
    "on, extinguisher at hand."
)
POLYCARBONATE_LASER = "Polycarbonate does not belong in a laser."
FIBRE_DUST = "Carbon and glass fibre: the dust harms lungs and skin; extraction, mask and gloves."
SAW = "Sawing: clamp the work, hands away from the blade, eye protection."
CUTTING = "Cutting and drilling: eye protection, work clamped."
THREADLOCK = "Threadlock attacks polycarbonate and ABS: keep it off them."
HEAVY = "Heavy robot: lift with two, or with the back straight and the weapon restrained."

ALL = (
    MAKE_SAFE, SPIN_UP, STORED.format(what="spring, pressure, charge"), MAGNETS, LITHIUM, LASER_PVC, ACETAL,
    POLYCARBONATE_LASER, FIBRE_DUST, SAW, CUTTING, THREADLOCK, HEAVY, OVER_ALL,
)  # fmt: skip

_FIBRES = ("carbon-fibre", "g10", "fr-4", "glass-fibre")
_CHLORINATED = ("pvc",)
_ATTACKED = ("polycarbonate", "abs")
_HEAVY_G = 10_000.0


def cautions_for(assembly: Assembly, predicted_g: float | None = None) -> tuple[str, ...]:
    """The cautions for one robot or module: safety first, what its own spec says, the general one last."""
    things = tuple(assembly.parts)
    said = [MAKE_SAFE]
    said += _energy(things)
    said += _cutting(things)
    if _threadlock_near_plastic(assembly):
        said.append(THREADLOCK)
    if predicted_g is not None and predicted_g >= _HEAVY_G:
        said.append(HEAVY)
    said += _own(assembly)
    said.append(OVER_ALL)
    return tuple(dict.fromkeys(said))


def of_all(several: Iterable[Iterable[str]]) -> tuple[str, ...]:
    """The cautions of several robots or states in one list, each once, the general one last."""
    said = dict.fromkeys(text for each in several for text in each)
    if OVER_ALL not in said:
        return tuple(said)
    del said[OVER_ALL]
    return (*said, OVER_ALL)


def _energy(things: Iterable[Thing]) -> list[str]:
    parts = [thing.part for thing in things]
    stores = {part.stores for part in parts if part.stores is not None}
    said = []
    if "spin" in stores or any(part.spin is not None for part in parts):
        said.append(SPIN_UP)
    held = [name for name in ("spring", "pressure", "charge") if name in stores]
    if held:
        said.append(STORED.format(what=", ".join(held)))
    if "magnet" in stores:
        said.append(MAGNETS)
    if any(part.cells == "lithium" for part in parts):
        said.append(LITHIUM)
    return said


def _cutting(things: Iterable[Thing]) -> list[str]:
    said: list[str] = []
    for thing in things:
        if thing.stock is None:
            continue
        stock = thing.stock.stock
        how = thing.part.process or (stock.cut.how if stock.cut else None) or ""
        said += _cutting_of(stock.material, how.lower())
    return said


def _cutting_of(material: str, how: str) -> list[str]:
    said = []
    if "laser" in how and material.startswith(_CHLORINATED):
        said.append(LASER_PVC)
    if material.startswith("acetal"):
        said.append(ACETAL)
    if "laser" in how and material.startswith("polycarbonate"):
        said.append(POLYCARBONATE_LASER)
    if material.startswith(_FIBRES):
        said.append(FIBRE_DUST)
    said.append(SAW if "saw" in how else CUTTING)
    return said


def _threadlock_near_plastic(assembly: Assembly) -> bool:
    for group in assembly.groups:
        if group.group.threadlock is None:
            continue
        for ref in (*group.holds, *group.into):
            thing = assembly.things.get(ref)
            if thing is not None and thing.kind == "part" and _material(thing).startswith(_ATTACKED):
                return True
    return False


def _material(thing: Thing) -> str:
    return thing.stock.stock.material if thing.stock is not None else (thing.part.material or "")


def _own(assembly: Assembly) -> list[str]:
    said = [text for spec in assembly.inner.values() for text in spec.design.cautions]
    for thing in assembly.parts:
        material = thing.spec.family.materials.get(_material(thing))
        if material is not None:
            said += material.cautions
    return said
