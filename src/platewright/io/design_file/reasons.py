"""Why a number has the limits it has, for the sentence that says it is out of range.

All are common practice or plain sense, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from platewright.io.design_file.record_types import Bounds, unit_of

__all__ = ["reason"]

_MODULUS = "moduli of materials lie between, in MPa"
_BY_FIELD: Mapping[str, str] = {
    "thickness_mm": "a plate is from the thinnest sold to the thickest a small router cuts",
    "mass_target_g": "a frame of more than 2 kg is not carried by hand",
    "mass_g": "a single thing of more than 2 kg is not carried by such a frame",
    "motor_engagement_diameters": "a thread engaged deeper than three diameters carries no more",
    "standoff_engagement_diameters": "a thread engaged deeper than three diameters carries no more",
    "nut_protrusion_pitches": "more than ten pitches past a nut is a screw of the wrong length",
    "nut_protrusion_max_mm": "more than 50 mm past a nut is longer than the screws themselves",
    "tips_apart_mm": "two tips more than 10 mm apart need no limit",
    "mix_up_mm": "lengths more than 10 mm apart are not mixed up",
    "hole_merge_mm": "holes more than 0.5 mm apart are two holes",
    "gap_mm": "a gap of more than 20 mm is a missing part",
    "bow_mm": "no plate of a small frame bows further unbroken",
    "hole_to_edge_mm": "more than 50 mm of plate beside a hole is wider than any arm",
    "motor_hole_to_edge_mm": "more than 50 mm of plate beside a hole is wider than any arm",
    "web_mm": "more than 50 mm of plate beside an opening is wider than any plate",
    "bearing_pressure_mpa": "no plate material carries more than 2000 MPa",
    "friction": "threads lie between well oiled and dry rough steel",
    "strength_margin": "below 1 it breaks, and above 20 it is too heavy",
    "cutter_mm": "a larger cutter leaves no slots and corners in a small plate",
    "spare_fraction": "spares are a share of what the kit needs, from none to as many again",
    "clearance_mm": "a looser fit holds nothing",
    "corner_mm": "a corner is sharp or rounded, by no more than the size of a plate",
    "fillet_mm": "a fillet is left out or added, by no more than the size of a plate",
    "root_radius_mm": "an arm starts at the centre or outside it, within the frame",
    "grain_deg": "half a turn either way reaches every direction",
    "pitch_in": "no small propeller climbs more than 20 inches a turn",
    "blades": "propellers have from two to eight blades",
    "static_speed_rpm": "no small propeller was measured slower or turns faster; it counts revolutions per minute",
    "static_ct": "static coefficients lie between nothing and 0.5",
    "static_cp": "static coefficients lie between nothing and 0.5",
    "kv_rpm_per_v": "windings of such motors lie between",
    "resistance_mohm": "a motor of more than 5 ohm turns no propeller",
    "no_load_current_a": "a free motor that draws more than 20 A is faulty",
    "other_power_w": "boards and cameras take no more",
    "rotor": "no small craft has more than 24 rotors",
    "e1_mpa": _MODULUS,
    "e2_mpa": _MODULUS,
    "g12_mpa": _MODULUS,
    "g13_mpa": _MODULUS,
    "g23_mpa": _MODULUS,
    "force_n": "a plate of this size bears far less than 1000 kN",
    "along": "a direction needs no longer vector",
    "moment_n_mm": "a plate of this size bears far less than 1000 kN m",
    "pressure_mpa": "no plate bears more",
    "nu12": "no material contracts by more than ten times its stretch",
    "tilt_deg": "straight down to straight up",
}
_LENGTH = "nothing in a hand-carried frame is longer"
_TURN = "a whole turn either way reaches every direction"


def reason(field: str, bounds: Bounds) -> str:
    """Reason for the limits of a field; empty where none is known."""
    if field in _BY_FIELD:
        return _BY_FIELD[field]
    if unit_of(field) == "mm" and (bounds.low, bounds.high) == (0, 2000):
        return _LENGTH
    return _TURN if unit_of(field) == "deg" else ""
