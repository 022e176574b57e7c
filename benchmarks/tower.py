"""A frame of any number of plates: a tower of decks on four columns, for measuring how time grows."""

from __future__ import annotations

__all__ = ["tower"]


def tower(n_plates: int) -> str:
    """Return a design of a base with four motors and `n_plates - 1` decks above it, every plate a part of its own."""
    stack = ["screw M3 socket 12.9", "plate_0"]
    for i in range(1, n_plates):
        stack += ["standoff M3x20", f"plate_{i}"]
    stack.append("screw M3 button 10.9")
    written = ", ".join(f'"{word}"' for word in stack)
    parts = "".join(_part(i) for i in range(n_plates))
    return f"""format = 1
[frame]
name = "Tower"
[rotors]
fore_aft_mm = 140
lateral_mm = 140
{parts}
[[column]]
id = "corner"
at_mm = [28, 28]
mirror = "xy"
stack = [{written}]
[[equipment]]
id = "motor"
use = {{ motor = "motor_2207" }}
at = "rotors"
stack = ["screw M3 socket 12.9", "plate_0", "motor.motor"]
"""


def _part(i: int) -> str:
    half = 30 + 0.1 * i
    return f"""
[[part]]
id = "plate_{i}"
kind = "deck"
material = "plate_woven_qi"
thickness_mm = 2
fillet_mm = 4
mirror = "xy"
nodes = [
  {{ id = "corner", at_mm = [{half}, {half}], radius_mm = 7 }},
  {{ id = "front", at_mm = [{half}, 0], radius_mm = 5 }},
  {{ id = "side", at_mm = [0, {half}], radius_mm = 5 }},
  {{ id = "tip", at_mm = [70, 70], radius_mm = 14 }},
]
links = [
  {{ start = "front", end = "corner", width_mm = 10 }},
  {{ start = "side", end = "corner", width_mm = 10 }},
  {{ start = "corner", end = "tip", width_mm = 12 }},
]
[[place]]
id = "plate_{i}"
part = "plate_{i}"
"""
