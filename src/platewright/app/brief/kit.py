"""What to buy for a brief: propeller, motor, nut, boards, battery, camera and small parts, all from the catalogue.

Which motors suit a size and style is common practice, no source; that they fit is read from the catalogue: their range
of propellers, their windings for the cells, their propeller fixing, and the current of the speed controllers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.app.brief.brief import Brief, BriefError, CameraClass, Style
from platewright.app.brief.winding import kv_for_tips, most_kv
from platewright.fit.straps import taut_length
from platewright.model.catalogue import (
    Battery,
    Board,
    Camera,
    Capacitor,
    Catalogue,
    FrameClass,
    Motor,
    Propeller,
    PropellerNut,
    Strap,
)

__all__ = ["Kit", "choose_kit", "strap_spacing_mm"]

_PAD_MM, _DECK_MM = 3.0, 2.0  # under the pack; the thickest deck of a starting design

_MOTORS = {  # in order of preference, common practice, no source
    2.5: ("motor_1204",),
    3.0: ("motor_1507", "motor_1404"),
    3.5: ("motor_1507", "motor_1408", "motor_1404"),
    4.0: ("motor_2004", "motor_1507", "motor_1404"),
    5.0: ("motor_2207", "motor_2306", "motor_2205"),
    6.0: ("motor_2507", "motor_2208"),
    7.0: ("motor_2807", "motor_2806.5"),
    8.0: ("motor_2807", "motor_2810"),
}
_LIGHT_MOTORS = {  # long range and slow flying want little current
    3.0: ("motor_1404",),
    3.5: ("motor_1408",),
    5.0: ("motor_2004", "motor_2205"),
    6.0: ("motor_2208", "motor_2507"),
    7.0: ("motor_2806.5", "motor_2807"),
    8.0: ("motor_2810", "motor_2807"),
}
_ENERGY_WH = {2.5: 8.0, 3.0: 10.0, 3.5: 12.5, 4.0: 16.0, 5.0: 24.0, 6.0: 33.0, 7.0: 44.0, 8.0: 49.0}
_LONG_RANGE_ENERGY = 1.8  # times as much for long range (common practice, no source)
_ION_FROM_IN = 4.0  # smaller frames do not carry lithium-ion cells (common practice, no source)
_Boards = tuple[tuple[str, Board], ...]
_CAMERA_FROM_IN = {CameraClass.NANO: 2.5, CameraClass.MICRO: 2.5, CameraClass.MINI: 4.0, CameraClass.STANDARD: 5.0}


@dataclass(frozen=True)
class Kit:
    """Records of the catalogue that a starting design uses; `reasons` say why, by what was chosen."""

    frame_class: FrameClass
    propeller: Propeller
    motor: Motor
    nut: PropellerNut | None
    boards: _Boards
    pattern: str
    camera: Camera
    battery: Battery
    strap: Strap
    capacitor: Capacitor
    kv_rpm_per_v: float | None
    reasons: dict[str, str]

    @property
    def thread(self) -> str:
        """Thread of the board screws."""
        return "M3" if self.pattern == "30.5x30.5" else "M2"


def choose_kit(brief: Brief, catalogue: Catalogue) -> Kit:
    """Choose everything that is bought.

    Raises
    ------
    BriefError
        If the catalogue has nothing that fits.
    """
    size = brief.propeller_in
    frame_class = _frame_class(size, catalogue)
    cells = brief.cells or (4 if size <= 4 else 6)
    propeller = catalogue.propeller(f"prop_{size:g}in")
    motor, why_motor = _motor(brief, cells, propeller, catalogue)
    nut, why_nut = _nut(motor, propeller, catalogue)
    pattern, boards, why_boards = _boards(brief, frame_class, cells, motor, catalogue)
    battery, why_battery = _battery(brief, cells, catalogue)
    camera, why_camera = _camera(brief, catalogue)
    strap, why_strap = _strap(size, battery, catalogue)
    capacitor = catalogue.capacitor("cap_6s" if cells > 4 else "cap_4s")
    reasons = {
        "propeller": f"the {size:g} inch of the brief",
        "motor": why_motor,
        "nut": why_nut,
        "boards": why_boards,
        "battery": why_battery,
        "camera": why_camera,
        "strap": why_strap,
        "capacitor": f"{capacitor.voltage_v:g} V stands over {cells} full cells, {4.2 * cells:.1f} V",
    }
    kv = kv_for_tips(motor, propeller.diameter_in, cells, light=brief.style is Style.LONG_RANGE)
    return Kit(frame_class, propeller, motor, nut, boards, pattern, camera, battery, strap, capacitor, kv, reasons)


def strap_spacing_mm(battery: Battery) -> float:
    """Return the distance between the slots of a pack's strap [mm]."""
    return max(22.0, battery.width_mm - 6)


def _strap(size: float, battery: Battery, catalogue: Catalogue) -> tuple[Strap, str]:
    """Return the strap of the class, or the next that is sold long enough for pack, pad and deck."""
    names = ("strap_10", "strap_15", "strap_20")
    usual = 0 if size <= 3 else 1 if size <= 4 else 2
    way = taut_length(battery.width_mm, battery.height_mm, _PAD_MM, strap_spacing_mm(battery), _DECK_MM)
    wanted = way + 2 * math.pi + catalogue.rule("battery_to_frame.strap_overlap_min_mm").value
    straps = [catalogue.strap(name) for name in names[usual:]]
    strap = next((s for s in straps if max(s.lengths_mm) >= wanted), straps[-1])
    if strap is straps[0]:
        return strap, f"used on {strap.used_by} (catalogue)"
    return strap, f"sold up to {max(strap.lengths_mm):g} mm; it goes {wanted:.0f} mm round the pack and over itself"


def _frame_class(size: float, catalogue: Catalogue) -> FrameClass:
    for record in catalogue.of_class(FrameClass):
        low, high = record.propeller_range_in
        if low <= size <= high:
            return record
    msg = f"the catalogue has no frame class for {size:g} inch propellers."
    raise BriefError(msg)


def _motor(brief: Brief, cells: int, propeller: Propeller, catalogue: Catalogue) -> tuple[Motor, str]:
    size = brief.propeller_in
    usual = _MOTORS[size]
    names = (*_LIGHT_MOTORS.get(size, ()), *usual) if brief.style in (Style.LONG_RANGE, Style.CINE) else usual
    if brief.style is Style.CINE and size >= 5:
        names = usual
    for name in names:
        motor = catalogue.motor(name)
        low, high = motor.propeller_d_range_in
        kv = motor.kv_range_rpm_per_v.get(f"{cells}s")
        slow = kv and kv[0] <= most_kv(propeller.diameter_in, cells, light=brief.style is Style.LONG_RANGE)
        if kv and slow and low <= propeller.diameter_in <= high and set(motor.fixings) & set(propeller.fixings):
            why = f"for {low:g} to {high:g} inch, wound {kv[0]:g} to {kv[1]:g} rpm/V for {cells} cells (catalogue)"
            return motor, why
    wound = sorted({k for n in names for k in catalogue.motor(n).kv_range_rpm_per_v})
    msg = (
        f"no motor for {size:g} inch is wound slowly enough for {cells} cells: those of the catalogue are wound for "
        f"{', '.join(k.upper() for k in wound)}; give other cells or another size."
    )
    raise BriefError(msg)


def _nut(motor: Motor, propeller: Propeller, catalogue: Catalogue) -> tuple[PropellerNut | None, str]:
    """Return the first right-hand nut that leaves a pitch of the usual shaft, else the lowest."""
    if "m5_nut" not in set(motor.fixings) & set(propeller.fixings) or "t_mount" in propeller.fixings:
        return None, "two M2 screws hold the hub on the bell"
    assert motor.shaft_thread_length_range_mm is not None
    nuts = [n for n in catalogue.of_class(PropellerNut) if n.thread == motor.shaft_thread and n.hand == "right"]
    shaft = sum(motor.shaft_thread_length_range_mm) / 2
    pitch = catalogue.thread(motor.shaft_thread or "M5").pitch_mm
    lowest = min(nuts, key=lambda n: n.height_max_mm)
    nut = next((n for n in nuts if shaft - propeller.hub_height_mm - n.height_mm >= pitch), lowest)
    left = shaft - propeller.hub_height_mm - nut.height_mm
    return nut, (
        f"of a usual {shaft:g} mm shaft thread, hub {propeller.hub_height_mm:g} and nut {nut.height_mm:.2f} leave "
        f"{left:.2f} mm; measure your motor"
    )


def _boards(
    brief: Brief, frame_class: FrameClass, cells: int, motor: Motor, catalogue: Catalogue
) -> tuple[str, _Boards, str]:
    """Return the pattern of the brief, or the last of the class that carries the motor; its boards, and why."""
    usual = frame_class.board_patterns
    if brief.boards is not None and brief.boards not in usual:
        msg = (
            f"boards must be {' or '.join(usual)} on a {frame_class.id} frame (got {brief.boards}): the catalogue's "
            "frames of this class carry no others."
        )
        raise BriefError(msg)
    patterns = (brief.boards,) if brief.boards else tuple(reversed(usual))
    for pattern in patterns:
        for board in _controllers(pattern, catalogue):
            low, high = board.cells_series_range or (0, 0)
            burst = board.current_burst_a or 0.0
            if low <= cells <= high and burst >= motor.current_max_a:
                why = (
                    f"{burst:g} A for a moment and {low} to {high} cells; the motor asks for {motor.current_max_a:g} A"
                )
                return pattern, _stack(board, catalogue), why
    best = _controllers(patterns[0], catalogue)[-1]
    low, high = best.cells_series_range or (0, 0)
    msg = (
        f"no {' or '.join(patterns)} speed controller carries the {motor.title} on {cells} cells, which asks for "
        f"{motor.current_max_a:g} A: the strongest, {best.id}, carries {best.current_burst_a:g} A on {low} to {high} "
        "cells; give another pattern or other cells."
    )
    raise BriefError(msg)


def _controllers(pattern: str, catalogue: Catalogue) -> list[Board]:
    """Boards of a pattern that drive motors, weakest first."""
    found = [b for b in catalogue.of_class(Board) if b.pattern == pattern and b.current_burst_a is not None]
    return sorted(found, key=lambda b: b.current_burst_a or 0.0)


def _stack(controller: Board, catalogue: Catalogue) -> _Boards:
    """Return the speed controller with a flight controller over it, or the one board that is both."""
    if controller.id.startswith("aio"):
        return (("aio", controller),)
    flight = next(b for b in catalogue.of_class(Board) if b.pattern == controller.pattern and b.id.startswith("fc"))
    return (("esc", controller), ("fc", flight))


def _battery(brief: Brief, cells: int, catalogue: Catalogue) -> tuple[Battery, str]:
    far = brief.style is Style.LONG_RANGE
    wanted = _ENERGY_WH[brief.propeller_in] * (_LONG_RANGE_ENERGY if far else 1.0)
    chemistry = "Li-ion" if far and brief.propeller_in >= _ION_FROM_IN else "LiPo"
    packs = [b for b in catalogue.of_class(Battery) if b.cells_series == cells and b.chemistry == chemistry]
    near = [b for b in packs if wanted / 2 <= b.energy_wh <= wanted * 2]
    if not near:
        have = ", ".join(f"{b.capacity_mah:g} mAh" for b in packs) or "none"
        msg = (
            f"the catalogue has no {chemistry} pack of {cells} cells near the {wanted:.0f} W h that "
            f"{brief.propeller_in:g} inch wants (it has {have}); give other cells."
        )
        raise BriefError(msg)
    pack = min(near, key=lambda b: max(b.energy_wh / wanted, wanted / b.energy_wh))
    return pack, f"{pack.energy_wh:.1f} W h, nearest to the {wanted:.0f} W h of the size (common practice, no source)"


def _camera(brief: Brief, catalogue: Catalogue) -> tuple[Camera, str]:
    size = brief.propeller_in
    chosen = brief.camera or (CameraClass.NANO if size <= 3 else CameraClass.MICRO)
    least = _CAMERA_FROM_IN[chosen]
    if size < least:
        msg = (
            f"a {chosen} camera needs propellers of {least:g} inch or more (got {size:g}): between smaller ones its "
            "side plates do not fit."
        )
        raise BriefError(msg)
    camera = catalogue.camera(f"camera_{chosen}")
    return camera, "of the brief" if brief.camera else "usual at this size (common practice, no source)"
