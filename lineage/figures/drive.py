"""What a drive can do: top speed, push at the current limit, and whether the wheels let go before that."""

from math import pi
from typing import Literal

from msgspec import Struct

from lineage.spec.records import Drive
from lineage.values.uncertain import Uncertain

GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s2, exact by definition (3rd CGPM, 1901)."""


class DriveFigures(Struct, frozen=True, kw_only=True):
    """Speed in m/s, forces in N; `first` says what ends the push. None where something is not typed."""

    top_speed_m_s: float | None
    push_n: float | None
    grip_limit_n: Uncertain | None
    first: Literal["current limit", "grip"] | None


def drive_figures(drive: Drive, mass: Uncertain | None) -> DriveFigures:
    """Top speed, push and grip of a drive.

    speed = kv·V/(60·ratio)·π·wheel; push = motors·(60/(2π·kv))·I·ratio/(wheel/2), losses left out; grip
    limit = grip·driven·weight. The lesser of push and grip limit comes first.
    drive: kv in rpm/V, volts, A, ratio, wheel diameter in mm. mass: of the robot, g.
    Result: m/s and N; each None where something that it needs is not typed.
    Source: motor constants, kt = 60/(2π·kv), and Coulomb friction, any handbook of mechanics (from memory).
    """
    push = push_force(drive)
    grip = grip_limit(drive, mass)
    first: Literal["current limit", "grip"] | None = None
    if push is not None and grip is not None:
        first = "current limit" if push <= grip.value else "grip"
    return DriveFigures(top_speed_m_s=top_speed(drive), push_n=push, grip_limit_n=grip, first=first)


def top_speed(drive: Drive) -> float | None:
    """kv·V/(60·ratio)·π·wheel in m/s, at no load; None where one of them is not typed."""
    if drive.motor_kv is None or drive.volts is None or not drive.ratio or drive.wheel is None:
        return None
    turns_a_second = drive.motor_kv.centred * drive.volts.centred / (60 * drive.ratio)
    return turns_a_second * pi * drive.wheel.centred / 1000


def push_force(drive: Drive) -> float | None:
    """motors·(60/(2π·kv))·I·ratio/(wheel/2) in N; None where one of them is not typed."""
    kv, current, wheel = drive.motor_kv, drive.current_limit, drive.wheel
    if drive.motors is None or drive.ratio is None or kv is None or current is None or wheel is None:
        return None
    if not kv.centred or not wheel.centred:
        return None
    torque = 60 / (2 * pi * kv.centred) * current.centred * drive.ratio
    return drive.motors * torque / (wheel.centred / 2000)


def grip_limit(drive: Drive, mass: Uncertain | None) -> Uncertain | None:
    """grip·driven·weight in N; None where one of them is not known."""
    if drive.grip is None or drive.driven is None or mass is None:
        return None
    return mass.scaled(drive.grip * drive.driven * GRAVITY / 1000)
