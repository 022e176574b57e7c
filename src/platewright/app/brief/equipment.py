"""Equipment of a starting design: motors, propellers, boards, camera, battery and what hangs on them."""

from __future__ import annotations

from platewright.app.brief.kit import Kit
from platewright.app.brief.layout import Layout
from platewright.app.brief.parameters import comment, stack_key

__all__ = ["equipment_text"]

_PAD = (
    "On a 3 mm pad, so that no screw head of the deck comes within 1 mm of the cells (rule "
    "battery_to_frame.screw_tip_or_nut_to_pack_min_mm)."
)
_WASHER_FROM = {  # arm thicknesses for which no M3 screw ends between 2.4 and 4.5 mm deep in the motor with any margin
    t: f"A washer, so that {length} mm screws end 3.5 mm deep: 2.4 is the least, at 4.5 they may touch the windings."
    for t, length in ((4.0, 8), (6.0, 10), (8.0, 12))
}


def equipment_text(kit: Kit, layout: Layout) -> str:
    """Return all equipment records."""
    base = "base_upper" if layout.separate else "base"
    return "\n".join((_motors(kit, layout), _boards(kit, layout, base), _camera(kit, layout, base), _rest(kit, base)))


def _motors(kit: Kit, layout: Layout) -> str:
    fixing = f'nut = "{kit.nut.id}"' if kit.nut else 'screw = "m2_socket"'
    size, plate = kit.motor.base_thread, "arm" if layout.separate else "base"
    pattern = f'pattern = "{kit.motor.patterns[0]}"\n' if len(kit.motor.patterns) > 1 else ""
    why_washer = _WASHER_FROM.get(layout.arm_mm, "") if size == "M3" else ""
    washer = ["washer M3"] if why_washer else []
    return f"""
{comment(f"{kit.motor.title}: {kit.reasons['motor']}.", why_washer)}
[[equipment]]
id = "motor"
use = {{ motor = "{kit.motor.id}" }}
at = "rotors"
turn_deg = 45                    # the four holes straddle the arm's axis
{pattern}{stack_key([f"screw {size} socket 12.9", *washer, plate, "motor.motor"])}

{comment(f"{kit.reasons['nut']}.")}
[[equipment]]
id = "propeller"
use = {{ propeller = "{kit.propeller.id}", {fixing} }}
at = "rotors"
on = "motor"
"""


def _boards(kit: Kit, layout: Layout, base: str) -> str:
    size = kit.thread
    use = ", ".join(f'{role} = "{board.id}"' for role, board in kit.boards)
    items = [f"screw {size} socket 12.9", base, f"nut {size} thin"]
    for (role, _), spacer in zip(kit.boards, layout.board_spacers_mm, strict=True):
        items += [f"spacer {size}x{spacer}", f"stack.{role} in grommet"]
    items.append(f"nut {size} insert")
    why = "the thin nut clamps the screw to the base, so the boards come off from above"
    if layout.separate:
        hole = 6.5 if size == "M3" else 4.5
        items = [f"base_lower access {hole}", f"arm access {hole}", *items]
        why += "; the heads lie in the arms' roots, and a key reaches them through the lower base"
    turned = "turn_deg = 45                    # its holes lie on the middle lines, clear of the arms\n"
    names = " and ".join(board.title for _, board in kit.boards)
    return f"""
{comment(f"Boards, {names}: {kit.reasons['boards']}.", f"{why}.")}
[[equipment]]
id = "stack"
use = {{ {use} }}
at_mm = [0, 0]
{turned if layout.turned_boards else ""}{stack_key(items)}
"""


def _camera(kit: Kit, layout: Layout, base: str) -> str:
    screw, washers = "screw M2 button 10.9", ["washer M2"] * layout.camera_washers
    items = [screw, "cheek.right", *washers, "camera.camera", *washers, "cheek.left", screw]
    why = "washers take up what the cheeks' distance leaves" if washers else "it fills the cheeks' distance"
    return f"""
{comment(f"{kit.camera.title}: {kit.reasons['camera']}; {why}.")}
[[equipment]]
id = "camera"
use = {{ camera = "{kit.camera.id}" }}
axis = "y"
at_mm = ["camera_x_mm", "camera_h_mm"]
foot = "{base}"
tilt_deg = "tilt_deg"
{stack_key(items)}
"""


def _rest(kit: Kit, base: str) -> str:
    return f"""
{comment(f"Battery, {kit.battery.title}: {kit.reasons['battery']}.", _PAD)}
[[equipment]]
id = "battery"
use = {{ battery = "{kit.battery.id}" }}
on = "deck"
at_mm = ["battery_x_mm", 0, 3]

{comment(f"{kit.strap.title}: {kit.reasons['strap']}.")}
[[equipment]]
id = "strap"
use = {{ strap = "{kit.strap.id}" }}
on = "deck"
at_mm = [0, 0]
through = ["deck"]
spacing_mm = "strap_mm"

{comment(f"Beside the battery leads that it smooths: {kit.reasons['capacitor']}.")}
[[equipment]]
id = "capacitor"
use = {{ capacitor = "{kit.capacitor.id}" }}
on = "deck"
face = "bottom"
at_mm = ["-capacitor_x_mm", 0]
turn_deg = 90                    # across, behind the standoffs

[[equipment]]
id = "receiver"
use = {{ receiver = "receiver_small" }}
on = "{base}"
at_mm = ["-post_x_mm", 0]
turn_deg = 90                    # across, between the rear standoffs

[[equipment]]
id = "receiver_antenna"
use = {{ antenna = "antenna_receiver_tube" }}
on = "deck"
at_mm = ["-tail_x_mm", 0]
through = ["deck"]
"""
