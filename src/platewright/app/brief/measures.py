"""Measures of a starting design, each with its reason: plates, bolts, standoffs, camera and battery along the middle.

Lengths in mm. Every expression uses only parameters before it, so that a maker can follow it from top to bottom.
"""

from __future__ import annotations

import math

from platewright.app.brief.brief import Brief, Style
from platewright.app.brief.kit import Kit
from platewright.app.brief.parameters import Parameter

__all__ = ["STRETCH", "TILT_DEG", "arm_mm", "body_parameters", "plate_mm"]

_PRACTICE = "common practice, no source"
_ARM_MM = {  # thickness by size: freestyle, long-range, race, cine
    2.5: (2.5, 2.0, 3.0, 2.5),
    3.0: (3.0, 2.5, 3.0, 3.0),
    3.5: (3.0, 3.0, 3.0, 3.0),
    4.0: (4.0, 3.0, 4.0, 4.0),
    5.0: (5.0, 4.0, 5.0, 5.0),
    6.0: (5.0, 5.0, 6.0, 5.0),
    7.0: (6.0, 5.0, 6.0, 6.0),
    8.0: (6.0, 6.0, 8.0, 6.0),
}
_ARM_WIDTH_MM = {2.5: 8.0, 3.0: 9.0, 3.5: 10.0, 4.0: 11.0, 5.0: 14.0, 6.0: 15.0, 7.0: 16.0, 8.0: 18.0}
_WIDER = {Style.FREESTYLE: 0.0, Style.LONG_RANGE: -1.0, Style.RACE: -1.0, Style.CINE: 0.0}
STRETCH = {Style.FREESTYLE: 0.03, Style.LONG_RANGE: 0.0, Style.RACE: 0.06, Style.CINE: -0.04}  # of the propeller
TILT_DEG = {Style.FREESTYLE: 30.0, Style.LONG_RANGE: 15.0, Style.RACE: 45.0, Style.CINE: 15.0}
_TILT_RULE = {
    Style.FREESTYLE: "freestyle",
    Style.LONG_RANGE: "cinematic",
    Style.RACE: "racing",
    Style.CINE: "cinematic",
}
_LARGE_WASHER_MM = 0.8  # M3, ISO 7093-1


def plate_mm(brief: Brief) -> float:
    """Thickness of the base plates of a frame with separate arms [mm]."""
    return 2.5 if brief.propeller_in >= 7 else 2.0 if brief.propeller_in >= 5 else 1.5


def arm_mm(brief: Brief) -> float:
    """Thickness of the arms [mm]."""
    return _ARM_MM[brief.propeller_in][list(Style).index(brief.style)]


def body_parameters(
    brief: Brief,
    kit: Kit,
    separate: bool,
    nose: tuple[int, int],
    turned: bool,
    strap: float,
    standoff: tuple[float, str],
) -> tuple[Parameter, ...]:
    """Everything that does not depend on the rotor spacing.

    Parameters
    ----------
    brief, kit : Brief, Kit
        What is asked for, and what is bought.
    separate, turned : bool
        Arms of their own; boards turned by 45 degrees.
    nose : tuple of (int, int)
        Standoff between the cheeks [mm], and large washers at each end of it.
    strap : float
        Between the strap's slots [mm].
    standoff : tuple of (float, str)
        Under the deck [mm], and why.
    """
    return (
        *_plates(brief, kit, separate),
        *_bolts(brief, kit, separate, turned),
        *_camera(brief, kit, separate, nose, standoff),
        *_battery(kit, separate, strap),
    )


def _plates(brief: Brief, kit: Kit, separate: bool) -> list[Parameter]:
    motor = kit.motor
    hole = 3.2 if motor.base_thread == "M3" else 2.2
    beside_holes = float(motor.patterns[0].partition("x")[0]) / 2 + hole / 2 + 2.5
    low, high = kit.frame_class.arm_thickness_range_mm
    width = _ARM_WIDTH_MM[brief.propeller_in] + _WIDER[brief.style]
    if motor.bell_d_mm / 2 >= beside_holes:
        pad, why_pad = (
            motor.bell_d_mm / 2,
            f"half the bell, {motor.bell_d_mm:g} mm (rule motor_mounting.arm_pad_d_over_bell_d)",
        )
    else:
        pad, why_pad = beside_holes, f"2.5 mm of plate beside the {motor.patterns[0]} motor holes; {_PRACTICE}"
    spread = _class_range(kit.frame_class.plate_thickness_range_mm)
    made = [
        Parameter(
            "arm_mm",
            arm_mm(brief),
            f"thickness of the arms; {low:g} to {high:g} in class {kit.frame_class.id}, {_PRACTICE}",
            "Plates.",
        ),
        Parameter("arm_width_mm", width, f"at the root, tapering to 85 %; {_PRACTICE}"),
        Parameter("pad_radius_mm", math.ceil(pad * 10) / 10, why_pad),
    ]
    if separate:
        made.append(Parameter("plate_mm", plate_mm(brief), f"both base plates; {spread} in the class, {_PRACTICE}"))
    made += [
        Parameter("deck_mm", min(plate_mm(brief), 2.0), f"deck; {spread} in the class, {_PRACTICE}"),
        Parameter("cheek_mm", 2.0, "camera side plates; rule camera_use.side_plate_thickness_mm"),
    ]
    return made


def _bolts(brief: Brief, kit: Kit, separate: bool, turned: bool) -> list[Parameter]:
    side = float(kit.pattern.partition("x")[0])
    longest = max((b for _, b in kit.boards), key=lambda b: b.length_mm)
    front = side / math.sqrt(2) + 5 if turned else longest.length_mm / 2
    why_front = "foremost corner of the turned board, rounded" if turned else f"half of {longest.id}, the longest board"
    hole, boss = (3.2, 5.5) if separate else (2.2, 4.2)
    thread = "M3" if separate else "M2"
    made = [
        Parameter(
            "boss_mm",
            boss,
            f"radius of plate round an {thread} bolt: {boss - hole / 2:.1f} mm beside its {hole:g} hole; {_PRACTICE}",
            "Boards and bolts.",
        ),
        Parameter("board_mm", side, f"side of the board pattern {kit.pattern}"),
        Parameter("board_front_mm", math.ceil(front * 10) / 10, why_front),
        Parameter(
            "post_y_mm",
            12.0 if separate else 11.0,
            "deck standoffs, out from the middle: the receiver, 18 mm long, lies between them",
        ),
    ]
    if not separate:
        return [
            *made,
            Parameter("post_x_mm", "board_front_mm + 3.5", "clear of the boards by 1.7 mm: standoff 3.5 / 2"),
        ]
    pitch = 12.0 if brief.propeller_in <= 4 else 15.0 if brief.propeller_in <= 6 else 18.0
    return [
        *made,
        Parameter("root_mm", "board_mm / 2", "an arm's own axis starts under a board screw, whose head it surrounds"),
        Parameter(
            "bolt_inner_mm", 14.0, "along the arm: the nut clears the boards' corner, and a spanner the board nut"
        ),
        Parameter(
            "bolt_outer_mm",
            f"bolt_inner_mm + {pitch:g}",
            f"{pitch / 3:g} bolt diameters on; 4 to 6 by rule edge_distance.pitch_over_d_along_row",
        ),
        Parameter(
            "post_x_mm",
            "max(board_front_mm + 5, post_y_mm + 1.42 * (arm_width_mm / 2 + 4.5))",
            "clear of the boards, and of the arms, which leave at about 45 deg: spacer 6 / 2 and 1.5 mm",
        ),
    ]


def _camera(
    brief: Brief, kit: Kit, separate: bool, nose: tuple[int, int], standoff: tuple[float, str]
) -> list[Parameter]:
    camera, source = kit.camera, "catalogue"
    gap = nose[0] + 2 * nose[1] * _LARGE_WASHER_MM
    meets_posts = camera.body_width_mm / 2 > (9.0 if separate else 8.75)
    behind, why_behind = "board_front_mm + 2.2", "2.2 mm before the boards, whose plugs want 8 behind the camera"
    if meets_posts:
        behind, why_behind = f"post_x_mm + {3.2 if separate else 2.8}", "before the standoffs, which it would meet"
    past, tab = (4.0, 8) if separate else (3.2, 7)
    radius = 4.5 if nose[1] else 2.5 if separate else 1.75  # large washer M3, or standoff
    return [
        Parameter("camera_height_mm", camera.body_height_mm, f"its body; {source}", "Camera and its cheeks."),
        Parameter("camera_depth_mm", camera.body_depth_mm, f"its body behind the lens; {source}"),
        Parameter("camera_lens_mm", camera.lens_protrusion_mm, f"its lens in front of the body; {source}"),
        Parameter("tilt_deg", TILT_DEG[brief.style], f"nose up; rule camera_use.tilt_{_TILT_RULE[brief.style]}_deg"),
        Parameter("standoff_mm", standoff[0], f"under the deck, written in column deck_post too: {standoff[1]}"),
        Parameter("camera_h_mm", "standoff_mm / 2", "height of its axis over the base"),
        Parameter("cheek_gap_mm", round(gap, 2), "between the cheeks: what column nose adds up to"),
        Parameter("cheek_y_mm", "(cheek_gap_mm + cheek_mm) / 2", "middle of a cheek"),
        Parameter(
            "cheek_x_mm", f"post_x_mm + {4 if separate else 3}", "rear edge of the cheeks, clear of the standoffs"
        ),
        Parameter(
            "camera_reach_mm",
            "(camera_depth_mm * cos(tilt_deg) + camera_height_mm * sin(tilt_deg)) / 2",
            "from its axis to its foremost corner, tilted",
        ),
        Parameter("camera_x_mm", f"max(cheek_x_mm + 7.2, {behind} + camera_reach_mm)", why_behind),
        Parameter("nose_x_mm", f"camera_x_mm + camera_reach_mm + {radius + 1:g}", "sideways standoff, 1 mm before it"),
        Parameter(
            "cheek_front_mm",
            f"max(nose_x_mm + {past:g}, cheek_x_mm + {22.5 if separate else 19.5:g})",
            "front of the cheeks at their foot: 2 mm and more by that hole, and room for two tabs",
        ),
        Parameter("lens_mm", "camera_depth_mm / 2 + camera_lens_mm", "from its axis to the front of the lens"),
        Parameter(
            "prow_x_mm",
            "max(cheek_front_mm + 1, camera_x_mm + lens_mm * cos(tilt_deg) + 2)",
            "cheeks 2 mm before the lens (rule camera_use.lens_behind_front_plate_edge_min_mm)",
        ),
        Parameter("prow_h_mm", "min(camera_h_mm + lens_mm * sin(tilt_deg), standoff_mm - 7)", "as high as the lens"),
        Parameter("tab_rear_mm", "cheek_x_mm + 4.5", "middles of the tabs that hold the cheeks in base and deck"),
        Parameter("tab_front_mm", f"cheek_front_mm - {tab}", "behind the sideways standoff"),
    ]


def _battery(kit: Kit, separate: bool, strap: float) -> list[Parameter]:
    camera, battery = kit.camera.mass_g, kit.battery.mass_g
    can = sum(kit.capacitor.d_range_mm) / 2
    post = 2.5 if separate else 1.75
    return [
        Parameter(
            "strap_mm",
            strap,
            f"between the strap's slots: 3 mm inside each side of the {kit.battery.width_mm:g} mm wide pack, or more",
            "Battery and tail.",
        ),
        Parameter("bed_y_mm", "strap_mm / 2 + 4.8", "half width of its bed: slot 3 / 2, and 3.3 mm beside it"),
        Parameter(
            "battery_x_mm",
            f"-camera_x_mm * {camera:g} / {battery:g}",
            f"back until it balances the camera: {battery:g} g against {camera:g} g",
        ),
        Parameter(
            "capacitor_x_mm",
            f"post_x_mm + {post + can / 2 + 0.6:.1f}",
            f"behind the standoffs, {post:g} in radius, by half its {can:g} mm and 0.6 (0.5 by rule board_to_carbon)",
        ),
        Parameter(
            "tail_x_mm",
            f"max(capacitor_x_mm + {can / 2 + 2.6:.1f}, {kit.battery.length_mm / 2:g} - battery_x_mm + 7.9)",
            "antenna tube, 1.6 in radius, 1 mm behind the capacitor and 6.3 behind the pack: 1/20 wave at 2400 MHz",
        ),
    ]


def _class_range(span: tuple[float, float]) -> str:
    return f"{span[0]:g} to {span[1]:g} mm"
