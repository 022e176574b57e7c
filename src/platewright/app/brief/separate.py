"""Plates and bolt lines of a frame with four separate arms, keyed between two base plates."""

from __future__ import annotations

from platewright.app.brief.layout import Layout
from platewright.app.brief.parameters import stack_key

__all__ = ["separate_columns", "separate_parts", "separate_places"]


def separate_parts() -> str:
    """Return the records of the arm and of both base plates."""
    return """
# The arm: a heel that meets its neighbours in the middle of the frame, a tapering bar, a pad as wide as the motor.
# Its own x axis runs from under a board screw to the rotor, and arm.reach_mm follows the rotors.
[[part]]
id = "arm"
kind = "arm"
material = "plate_woven_qi"
thickness_mm = "arm_mm"
fillet_mm = 12                   # runs heel and pad into the bar without a corner (common practice, no source)
nodes = [
  { id = "heel", at_mm = ["-0.7 * root_mm", 0], radius_mm = "0.75 * root_mm + 2.5" },
  { id = "root", at_mm = [0, 0], radius_mm = "arm_width_mm / 2" },
  { id = "tip", at_mm = ["arm.reach_mm", 0], radius_mm = "pad_radius_mm" },
]
links = [
  { start = "heel", end = "root", width_mm = "arm_width_mm" },
  { start = "root", end = "tip", width_mm = "arm_width_mm", end_width_mm = "0.85 * arm_width_mm" },
]

# Lower base: bosses over the bolts, ribs between them, a waist drawn in between the arms.
[[part]]
id = "base_lower"
kind = "base"
material = "plate_woven_qi"
thickness_mm = "plate_mm"
mirror = "xy"
fillet_mm = 6
nodes = [
  { id = "bar", at_mm = ["post_x_mm", 0], radius_mm = 5 },
  { id = "post", at_mm = ["post_x_mm", "post_y_mm"], radius_mm = "boss_mm" },
  { id = "inner", at_mm = ["inner_x_mm", "inner_y_mm"], radius_mm = "boss_mm" },
  { id = "outer", at_mm = ["outer_x_mm", "outer_y_mm"], radius_mm = "boss_mm" },
  { id = "waist", at_mm = [0, "root_mm + 3"], radius_mm = 4 },
  { id = "middle", at_mm = [0, 0], radius_mm = 4 },
]
links = [
  { start = "bar", end = "post", width_mm = 10 },
  { start = "post", end = "inner", width_mm = "1.6 * boss_mm" },
  { start = "inner", end = "outer", width_mm = "2 * boss_mm" },
  { start = "inner", end = "waist", width_mm = "2 * boss_mm", end_width_mm = 8 },
]
webs = [{ nodes = ["middle", "bar", "post", "inner", "waist"] }]
cutouts = [{ shape = "circle", at_mm = [0, 0], diameter_mm = "0.75 * board_mm" }] # lighter, and a way for leads

# Upper base: the same, and two rails in front that hold the camera's cheeks, tied by a bar.
[[part]]
id = "base_upper"
kind = "base"
material = "plate_woven_qi"
thickness_mm = "plate_mm"
mirror = "y"
fillet_mm = 6
nodes = [
  { id = "prow", at_mm = ["cheek_front_mm - 4.2", 0], radius_mm = 4.2 },
  { id = "rail", at_mm = ["cheek_front_mm - 4.2", "cheek_y_mm"], radius_mm = 4.2 },
  { id = "rail_root", at_mm = ["post_x_mm + 1", "cheek_y_mm"], radius_mm = 4.2 },
  { id = "bar", at_mm = ["post_x_mm", 0], radius_mm = 5 },
  { id = "post", at_mm = ["post_x_mm", "post_y_mm"], radius_mm = "boss_mm" },
  { id = "inner", at_mm = ["inner_x_mm", "inner_y_mm"], radius_mm = "boss_mm" },
  { id = "outer", at_mm = ["outer_x_mm", "outer_y_mm"], radius_mm = "boss_mm" },
  { id = "waist", at_mm = [0, "root_mm + 3"], radius_mm = 4 },
  { id = "inner_rear", at_mm = ["-inner_x_mm", "inner_y_mm"], radius_mm = "boss_mm" },
  { id = "outer_rear", at_mm = ["-outer_x_mm", "outer_y_mm"], radius_mm = "boss_mm" },
  { id = "post_rear", at_mm = ["-post_x_mm", "post_y_mm"], radius_mm = "boss_mm" },
  { id = "bar_rear", at_mm = ["-post_x_mm", 0], radius_mm = 5 },
]
links = [
  { start = "prow", end = "rail", width_mm = 8.4 },
  { start = "rail", end = "rail_root", width_mm = 8.4 },
  { start = "rail_root", end = "post", width_mm = 8.4 },
  { start = "bar", end = "post", width_mm = 10 },
  { start = "post", end = "inner", width_mm = "1.6 * boss_mm" },
  { start = "inner", end = "outer", width_mm = "2 * boss_mm" },
  { start = "inner", end = "waist", width_mm = "2 * boss_mm", end_width_mm = 8 },
  { start = "waist", end = "inner_rear", width_mm = 8, end_width_mm = "2 * boss_mm" },
  { start = "inner_rear", end = "outer_rear", width_mm = "2 * boss_mm" },
  { start = "inner_rear", end = "post_rear", width_mm = "1.6 * boss_mm" },
  { start = "post_rear", end = "bar_rear", width_mm = 10 },
]
webs = [{ nodes = ["bar", "post", "inner", "waist", "inner_rear", "post_rear", "bar_rear"] }]
cutouts = [{ shape = "circle", at_mm = [0, 0], diameter_mm = "0.75 * board_mm" }]
"""


def separate_places() -> str:
    """Return the records that put the plates where they belong."""
    return """
[[place]]
id = "base_lower"
part = "base_lower"

[[place]]
id = "arm"
part = "arm"
to = "rotors"                    # arm.1 to arm.4, each turned to its rotor
root_mm = ["root_mm", "root_mm"]
handed = true                    # right front and left rear arms are the same part turned over

[[place]]
id = "base_upper"
part = "base_upper"
"""


def separate_columns(layout: Layout) -> str:
    """Return the bolt lines through arms, base plates and deck."""
    posts = ["screw M3 socket 12.9", "base_lower", f"spacer M3x{layout.arm_mm:g} aluminium", "base_upper"]
    stack = stack_key([*posts, f"standoff M3x{layout.standoff_mm:g}", "deck", "screw M3x6 button 10.9"])
    return f"""
# Two bolts hold each arm between the base plates; flanged nuts, because they spread the load on the plate.
[[column]]
id = "arm_bolts"
of = "arm"                       # in the arm's own axes: once for each arm
at_mm = [["bolt_inner_mm", 0], ["bolt_outer_mm", 0]]
stack = ["screw M3 socket 12.9", "base_lower", "arm", "base_upper", "nut M3 flanged-insert"]

# Four standoffs carry the deck. Where no arm lies, a clear spacer as high as the arms fills the void between the base
# plates: change arm_mm and this spacer together.
[[column]]
id = "deck_post"
at_mm = ["post_x_mm", "post_y_mm"]
mirror = "xy"
{stack}

# The arms' heels are trimmed to each other, so that four arms lock about the middle.
[[key]]
id = "heels"
of = "arm"
clearance_mm = 0.1               # routed profiles are good to 0.1 mm (rule tolerance.routed_profile_mm)
"""
