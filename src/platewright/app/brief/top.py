"""Deck and camera cheeks, which frames of every size have."""

from __future__ import annotations

import math

from platewright.app.brief.kit import Kit
from platewright.app.brief.layout import Layout
from platewright.app.brief.parameters import stack_key

__all__ = ["top_columns", "top_parts", "top_places"]

_WINDOW_MIN_MM = 7.0  # an opening shorter than this saves nothing (common practice, no source)


def top_parts(kit: Kit, layout: Layout) -> str:
    """Return the records of deck and cheek."""
    foot = "base_upper" if layout.separate else "base"
    rail = 4.2  # slot 2.1 / 2, and 3 mm beside it
    rail_end, boss_link = (3.5, 9.0) if layout.separate else (2.5, 7.0)
    return f"""
# The deck: rails over the cheeks, bosses over the standoffs, a bed as wide as the battery strap needs,
# a tail for capacitor and antenna.
[[part]]
id = "deck"
kind = "deck"
material = "plate_woven_qi"
thickness_mm = "deck_mm"
mirror = "y"
fillet_mm = "min(7, 0.9 * (cheek_y_mm - {rail:g}))"  # a wider one would close the opening before the lens
nodes = [
  {{ id = "rail", at_mm = ["tab_front_mm + {rail_end:g}", "cheek_y_mm"], radius_mm = {rail:g} }},
  {{ id = "rail_root", at_mm = ["post_x_mm + 1", "cheek_y_mm"], radius_mm = {rail:g} }},
  {{ id = "bar", at_mm = ["post_x_mm", 0], radius_mm = 4 }},
  {{ id = "post", at_mm = ["post_x_mm", "post_y_mm"], radius_mm = "boss_mm" }},
  {{ id = "bed", at_mm = [8, "bed_y_mm - 4"], radius_mm = 4 }},
  {{ id = "bed_rear", at_mm = [-8, "bed_y_mm - 4"], radius_mm = 4 }},
  {{ id = "post_rear", at_mm = ["-post_x_mm", "post_y_mm"], radius_mm = "boss_mm" }},
  {{ id = "tail", at_mm = ["-tail_x_mm", 0], radius_mm = 6 }},
]
links = [
  {{ start = "rail", end = "rail_root", width_mm = {2 * rail:g} }},
  {{ start = "rail_root", end = "post", width_mm = {2 * rail:g} }},
  {{ start = "bar", end = "post", width_mm = 8 }},
  {{ start = "post", end = "bed", width_mm = {boss_link:g} }},
  {{ start = "bed", end = "bed_rear", width_mm = 8 }},
  {{ start = "bed_rear", end = "post_rear", width_mm = {boss_link:g} }},
  {{ start = "post_rear", end = "tail", width_mm = 8 }},
]
webs = [{{ nodes = ["bar", "post", "bed", "bed_rear", "post_rear", "tail"] }}]
{_windows(kit, layout)}# The cheeks stand on edge beside the camera and lean forward past its lens.
# They are plain, so the left one is the right one turned over.
[[part]]
id = "cheek"
kind = "side"
material = "plate_woven_qi"
thickness_mm = "cheek_mm"
polygons = [
  {{ points_mm = [
    ["cheek_x_mm", 0],
    ["cheek_front_mm", 0],
    ["prow_x_mm", "prow_h_mm - 4"],
    ["prow_x_mm", "prow_h_mm + 3"],
    ["tab_front_mm + 5", "level.deck.bottom_mm - level.{foot}.top_mm"],
    ["cheek_x_mm", "level.deck.bottom_mm - level.{foot}.top_mm"],
  ], corner_mm = 1.5 }},
]
"""


def top_places(layout: Layout) -> str:
    """Return the records that put deck and cheeks where they belong."""
    foot = "base_upper" if layout.separate else "base"
    return f"""
[[place]]
id = "deck"
part = "deck"

[[place]]
id = "cheek"
part = "cheek"
stands = "xz"                    # on edge; column nose sets how far out
mirror = "y"
foot = "{foot}"
"""


def top_columns(layout: Layout) -> str:
    """Return the sideways line between the cheeks, and their tabs."""
    foot = "base_upper" if layout.separate else "base"
    washers = ["washer M3 large"] * layout.nose_washers
    screw = "screw M3x6 button 10.9" if layout.separate else "screw M2x5 button 10.9"
    standoff = f"standoff {layout.post}x{layout.nose_standoff_mm}"
    stack = stack_key([screw, "cheek.right", *washers, standoff, *washers, "cheek.left", screw])
    height = 5.0 if layout.separate else 4.2  # clear of the base, and 2 mm from its hole to the tabs' roots
    length = 6 if layout.separate else 4
    return f"""
# A sideways line ties the cheeks in front of the camera and sets their distance, cheek_gap_mm.
[[column]]
id = "nose"
axis = "y"
at_mm = ["nose_x_mm", {height:g}]  # x, and height over the top of its foot
foot = "{foot}"
sets_level = ["cheek"]
{stack}

[[tab]]
id = "cheek_tabs"
of = "cheek"
into = ["{foot}", "deck"]
along_mm = ["tab_rear_mm", "tab_front_mm"]
length_mm = {length}
clearance_mm = 0.1               # routed profiles are good to 0.1 mm (rule tolerance.routed_profile_mm)
"""


def _windows(kit: Kit, layout: Layout) -> str:
    """Return two openings between strap and standoffs, where there is room for them."""
    start = math.ceil(sum(kit.strap.slot_length_range_mm) / 4 + 3)  # half a slot, and 3 mm beside it
    if layout.values["post_x_mm"] - 6 - start < _WINDOW_MIN_MM:
        return "\n"
    corners = [("post_x_mm - 6", "post_y_mm - 7"), (start, "bed_y_mm - 10"), (start, "10 - bed_y_mm")]
    corners.append(("post_x_mm - 6", "7 - post_y_mm"))
    points = [f'["{x}", "{y}"]' if isinstance(x, str) else f'[{x}, "{y}"]' for x, y in corners]
    front = f"\n    {points[0]}, {points[1]},\n    {points[2]}, {points[3]},\n  "
    rear = front.replace("post_x_mm - 6", "6 - post_x_mm").replace(f"[{start},", f"[-{start},")
    return f"""cutouts = [                      # lighter, and room to see the plugs
  {{ shape = "polygon", points_mm = [{front}], corner_mm = 2 }},
  {{ shape = "polygon", points_mm = [{rear}], corner_mm = 2 }},
]

"""
