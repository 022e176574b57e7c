"""Measures of a starting design: thicknesses, heights, the body along the middle, and the rotor spacing that clears it.

Separate arms from 4 inch on, one plate with its arms below. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.app.brief.brief import Brief, BriefError
from platewright.app.brief.kit import Kit, strap_spacing_mm
from platewright.app.brief.measures import STRETCH, TILT_DEG, arm_mm, body_parameters, plate_mm
from platewright.app.brief.parameters import Parameter, values_of
from platewright.app.brief.spacing import Disc, choose_spacing
from platewright.model.catalogue import Catalogue

__all__ = ["Layout", "lay_out"]

_LEAST_MM = 20.0  # so that the lens of a small camera passes over an M3 standoff between the cheeks
_NOSE = {  # by post thread and camera: standoff, large washers between it and the cheeks, washers beside the camera
    ("M3", "nano"): (15, 0, 2),
    ("M3", "micro"): (18, 1, 1),
    ("M3", "mini"): (22, 0, 1),
    ("M3", "standard"): (28, 1, 3),
    ("M2", "nano"): (15, 0, 2),
    ("M2", "micro"): (20, 0, 2),
}


@dataclass(frozen=True)
class Layout:
    """Everything the text of the design needs besides the kit."""

    separate: bool
    post: str
    standoff_mm: float
    arm_mm: float
    nose_standoff_mm: int
    nose_washers: int
    camera_washers: int
    board_spacers_mm: tuple[int, ...]
    turned_boards: bool
    parameters: tuple[Parameter, ...]
    values: dict[str, float]
    reasons: dict[str, str]


def lay_out(brief: Brief, kit: Kit, catalogue: Catalogue) -> Layout:
    """Choose all measures.

    Raises
    ------
    BriefError
        If the spacing of the brief lets propellers touch each other or the body.
    """
    separate = brief.propeller_in >= 4
    post = "M3" if separate else "M2"
    base = plate_mm(brief) if separate else arm_mm(brief)
    spacers = _board_spacers(kit, base, catalogue)
    standoff, why_standoff = _standoff(brief, kit, post, spacers, catalogue)
    nose = _NOSE[post, kit.camera.size]
    strap_spacing = strap_spacing_mm(kit.battery)
    turned = kit.pattern == "25.5x25.5" and not separate
    body = body_parameters(brief, kit, separate, nose[:2], turned, strap_spacing, (standoff, why_standoff))
    values = values_of(body)
    stretch = round(STRETCH[brief.style] * kit.propeller.diameter_mm)
    spacing = choose_spacing(brief, kit, stretch, _discs(values, separate, kit), catalogue)
    rotors = (
        Parameter(
            "fore_aft_mm",
            spacing.fore_aft_mm,
            f"between front and rear rotors: {spacing.why_fore_aft}",
            "Stance. The arms follow the rotors.",
        ),
        Parameter("lateral_mm", spacing.lateral_mm, f"between left and right rotors: {spacing.why_lateral}"),
    )
    parameters = (*rotors, *body)
    reasons = {
        "rotors": spacing.reason,
        "standoff": why_standoff,
        "arm": f"{_class_range(kit.frame_class.arm_thickness_range_mm)} on frames of class {kit.frame_class.id}",
    }
    return Layout(
        separate,
        post,
        standoff,
        values["arm_mm"],
        nose[0],
        nose[1],
        nose[2],
        spacers,
        turned,
        parameters,
        values_of(parameters),
        reasons,
    )


def _class_range(span: tuple[float, float]) -> str:
    return f"{span[0]:g} to {span[1]:g} mm"


def _board_spacers(kit: Kit, base: float, catalogue: Catalogue) -> tuple[int, ...]:
    """Equal spacers under each board, as low as leaves a usual screw 2.2 to 4 mm past the nut on top.

    2.2 mm is a pitch in the worst case of all heights; the boards' parts clear one another from 1 mm (M3) or 2 mm on.
    """
    size, count = kit.thread, len(kit.boards)
    fixed = base + catalogue.nut(size, "thin").height_mm + catalogue.nut(size, "insert").height_mm
    fixed += count * catalogue.grommet(size).compressed_height_mm
    series = catalogue.lengths(size).series_mm
    tries = (1, 2, 3) if size == "M3" else (2, 3, 4)
    fits = [s for s in tries if any(2.2 <= length - fixed - count * s <= 4.0 for length in series)]
    return ((fits or [tries[1]])[0],) * count


def _standoff(brief: Brief, kit: Kit, post: str, spacers: tuple[int, ...], catalogue: Catalogue) -> tuple[float, str]:
    """Shortest standoff over the camera, tilted, and over the boards, each with a millimetre."""
    camera, tilt = kit.camera, math.radians(TILT_DEG[brief.style])
    for_camera = camera.body_height_mm * math.cos(tilt) + camera.body_depth_mm * math.sin(tilt)
    size = kit.thread
    for_boards = catalogue.nut(size, "thin").height_max_mm + sum(spacers)
    for_boards += len(kit.boards) * catalogue.grommet(size).compressed_height_mm
    for_boards += catalogue.nut(size, "insert").height_max_mm + 2.0
    over_nose = _LEAST_MM if post == "M3" else 0.0
    wanted = max(max(for_camera, for_boards) + 1.0, over_nose)
    series = catalogue.standoff(post).lengths_mm
    standoff = next((v for v in series if v >= wanted), None)
    if standoff is None:
        msg = f"no {post} standoff is {wanted:.0f} mm long, which this camera needs; give a smaller camera."
        raise BriefError(msg)
    why = (
        f"the camera needs {for_camera:.1f} mm (h cos a + d sin a at {TILT_DEG[brief.style]:g} deg), the boards "
        f"{for_boards:.1f}, and 1 mm{'; the lens clears the sideways standoff from 20 on' if over_nose else ''}"
    )
    return float(standoff), why


def _discs(v: dict[str, float], separate: bool, kit: Kit) -> list[Disc]:
    """Outermost points of what stands as high as the propellers, left half; on one-piece frames the pack does too."""
    cheek = v["cheek_y_mm"] + v["cheek_mm"] / 2
    half_x, half_y = kit.battery.length_mm / 2, kit.battery.width_mm / 2
    pack = [Disc("pack", v["battery_x_mm"] + end * half_x, half_y, 0.0) for end in (-1, 1)]
    end = 3.5 if separate else 2.5
    return [
        *(() if separate else pack),
        Disc("cheeks", v["prow_x_mm"], cheek, 0.0),
        Disc("deck's nose", v["tab_front_mm"] + end, v["cheek_y_mm"], 4.2),
        Disc("deck", v["post_x_mm"], v["post_y_mm"], v["boss_mm"]),
        Disc("deck", -v["post_x_mm"], v["post_y_mm"], v["boss_mm"]),
        Disc("battery bed", 8.0, v["bed_y_mm"] - 4, 4.0),
    ]
