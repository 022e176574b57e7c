"""Every code a finding may carry, with what it is about; the headings of `docs/reference/errors.md`."""

from collections.abc import Mapping

__all__ = ["FINDING_CODES"]

FINDING_CODES: Mapping[str, str] = {
    "access.head": "a screw head or driver does not pass through its access hole",
    "board.pattern": "boards of one stack have different hole patterns",
    "hole.edge": "too little plate beside a hole",
    "hole.idle": "a hole that nothing uses at one place of its part",
    "hole.near_miss": "two holes overlap without being the same",
    "hole.outside": "a hole lies outside its part",
    "hole.touches": "a hole meets an edge or another opening",
    "key.not_shared": "a key would trim arms of one part differently",
    "level.bow": "a plate is bowed by columns of different height",
    "level.gap": "a plate and its support do not meet before tightening",
    "level.tilt": "a plate does not lie level",
    "mass.class": "the bare frame is lighter or heavier than frames of its class",
    "mass.target": "the bare frame is heavier than its target",
    "mix_up.length": "two items of the kit differ too little in length",
    "nut.spanner": "a nut cannot be held with a spanner",
    "part.faces": "a part is not the same turned over",
    "part.sheet": "a thickness is not among the sheets sold",
    "propeller.mount": "propeller, nut and motor do not fit one another",
    "propeller.thread": "too little shaft thread is left for the propeller nut",
    "screw.covered": "what must come off before a motor screw can be reached",
    "screw.direction": "a screw has its head inside a stack",
    "screw.engagement": "too little thread holds a screw",
    "screw.full_thread": "a screw must be threaded up to its head",
    "screw.gap": "a screw clamps across air",
    "screw.length": "a screw is not sold in this length",
    "screw.no_driver": "a screw cannot be driven at its step",
    "screw.no_thread": "a screw ends in no thread",
    "screw.thread": "a screw and what it enters have different threads",
    "screw.tips": "two screws meet in one standoff",
    "screw.too_long": "a screw bottoms, touches windings or stands out too far",
    "service.locked": "a thing cannot be taken off",
}
