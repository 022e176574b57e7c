"""Plate and bolt lines of a small frame: one base plate with its arms."""

from __future__ import annotations

from platewright.app.brief.layout import Layout

__all__ = ["one_piece_columns", "one_piece_parts", "one_piece_places"]


def one_piece_parts(layout: Layout) -> str:
    """Return the record of the base plate with its arms."""
    board_y = "board_mm / sqrt(2)" if layout.turned_boards else "board_mm / 2 + 1"
    return f"""
# The base: four tapering arms run out of a body that is as narrow as the boards allow; two rails in front hold the
# camera's cheeks. The pads follow the rotors.
[[part]]
id = "base"
kind = "base"
material = "plate_woven_qi"
thickness_mm = "arm_mm"
mirror = "y"
fillet_mm = 6                    # runs the arms into the body without a corner (common practice, no source)
nodes = [
  {{ id = "pad_front", at_mm = ["rotor.1.x_mm", "rotor.1.y_mm"], radius_mm = "pad_radius_mm" }},
  {{ id = "pad_rear", at_mm = ["rotor.2.x_mm", "rotor.2.y_mm"], radius_mm = "pad_radius_mm" }},
  {{ id = "root_front", at_mm = ["0.25 * rotor.1.x_mm", "0.25 * rotor.1.y_mm"], radius_mm = "arm_width_mm / 2" }},
  {{ id = "root_rear", at_mm = ["0.25 * rotor.2.x_mm", "0.25 * rotor.2.y_mm"], radius_mm = "arm_width_mm / 2" }},
  {{ id = "prow", at_mm = ["cheek_front_mm - 4.2", 0], radius_mm = 4.2 }},
  {{ id = "rail", at_mm = ["cheek_front_mm - 4.2", "cheek_y_mm"], radius_mm = 4.2 }},
  {{ id = "rail_root", at_mm = ["post_x_mm + 1", "cheek_y_mm"], radius_mm = 4.2 }},
  {{ id = "bar", at_mm = ["post_x_mm", 0], radius_mm = 4 }},
  {{ id = "post", at_mm = ["post_x_mm", "post_y_mm"], radius_mm = "boss_mm" }},
  {{ id = "waist", at_mm = [0, "{board_y}"], radius_mm = 4.6 }},
  {{ id = "post_rear", at_mm = ["-post_x_mm", "post_y_mm"], radius_mm = "boss_mm" }},
  {{ id = "bar_rear", at_mm = ["-post_x_mm", 0], radius_mm = 4 }},
]
links = [
  {{ start = "root_front", end = "pad_front", width_mm = "arm_width_mm", end_width_mm = "0.85 * arm_width_mm" }},
  {{ start = "root_rear", end = "pad_rear", width_mm = "arm_width_mm", end_width_mm = "0.85 * arm_width_mm" }},
  {{ start = "prow", end = "rail", width_mm = 8.4 }},
  {{ start = "rail", end = "rail_root", width_mm = 8.4 }},
  {{ start = "rail_root", end = "post", width_mm = 8.4 }},
  {{ start = "bar", end = "post", width_mm = 8 }},
  {{ start = "post_rear", end = "bar_rear", width_mm = 8 }},
  {{ start = "post", end = "root_front", width_mm = 7 }},
  {{ start = "post_rear", end = "root_rear", width_mm = 7 }},
  {{ start = "root_front", end = "waist", width_mm = 8 }},
  {{ start = "root_rear", end = "waist", width_mm = 8 }},
]
webs = [{{ nodes = ["bar", "post", "root_front", "waist", "root_rear", "post_rear", "bar_rear"] }}]
cutouts = [{{ shape = "circle", at_mm = [0, 0], diameter_mm = "0.65 * board_mm" }}] # lighter, and a way for leads
"""


def one_piece_places() -> str:
    """Return the record that puts the base where it belongs."""
    return """
[[place]]
id = "base"
part = "base"
"""


def one_piece_columns(layout: Layout) -> str:
    """Return the bolt lines through base and deck."""
    return f"""
# Four standoffs carry the deck.
[[column]]
id = "deck_post"
at_mm = ["post_x_mm", "post_y_mm"]
mirror = "xy"
stack = ["screw M2 socket 12.9", "base", "standoff M2x{layout.standoff_mm:g}", "deck", "screw M2x5 button 10.9"]
"""
