"""The sketch of each part: its own rounded graph, trimmed by keys, with the tabs and slots that other parts ask for.

Tabs lengthen a standing plate through the plates they enter, whose slots follow. Lengths in mm, angles in rad,
everything in the part's own axes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from platewright.assembly.heights import Levels
from platewright.assembly.instances import Instance
from platewright.assembly.keys import key_planes
from platewright.assembly.standing import foot_height, standing_faces
from platewright.geometry import sketch as g
from platewright.model.design import Design, Part, Tab
from platewright.model.outline import CircleCutout, PolygonCutout, RectangleCutout, SlotCutout

__all__ = ["TabJoint", "own_sketch", "slot_length", "tab_joints", "unfinished_sketches"]

_MOVING = 1.05  # inside radius over the cutter's: a little more keeps it moving round the corner [-]
_TAB_ROOT = 2.0  # how far a tab reaches back into its own plate, so that both are one piece [mm]


@dataclass(frozen=True)
class TabJoint:
    """One tab of one standing instance in one plate.

    Parameters
    ----------
    tab : Tab
        The record.
    standing, plate : Instance
        The plate on edge and the plate it enters.
    along : float
        Where, along the standing plate's own plane [mm].
    low, high : float
        Heights of the entered plate's faces above the standing plate's foot [mm].
    middle : float
        Position of the standing plate's mid-plane across it [mm].
    """

    tab: Tab
    standing: Instance
    plate: Instance
    along: float
    low: float
    high: float
    middle: float


def unfinished_sketches(
    design: Design, instances: Mapping[str, Instance], joints: Sequence[TabJoint]
) -> dict[str, g.Sketch]:
    """Sketch of every drawn part, without column holes; parts with a drawing of their own are left out."""
    return {part.id: _sketch(part, design, instances, joints) for part in design.part if part.drawing is None}


def tab_joints(design: Design, instances: Mapping[str, Instance], levels: Levels) -> tuple[TabJoint, ...]:
    """Return every tab of every standing instance with the plate it enters."""
    made = []
    for tab in design.tab:
        for standing in (i for i in instances.values() if i.place.id == tab.of):
            middle = sum(standing_faces(standing, levels)) / 2
            for name in tab.into:
                for along in tab.along_mm:
                    point = (along, middle) if standing.normal == "y" else (middle, along)
                    plates = [i for i in instances.values() if i.place.id == name]
                    plate = min(plates, key=lambda i, p=point: math.dist(i.to_plane.apply(0, 0), p))  # type: ignore[misc]
                    bottom = levels.built[plate.name].at(*point).nominal
                    foot = foot_height(standing, instances, levels, point)
                    low, high = bottom - foot, bottom - foot + plate.part.thickness_mm
                    made.append(TabJoint(tab, standing, plate, along, low, high, middle))
    return tuple(made)


def slot_length(tab_length: float, clearance: float, corner: float) -> float:
    """Length of the slot whose rounded corners let the square corners of a tab pass [mm].

    Parameters
    ----------
    tab_length, clearance, corner : float
        Length of the tab, play all round across it, radius in the slot's corners [mm].

    Notes
    -----
    The tab's corner lies clearance / 2 from the slot's side, so it meets the corner arc sqrt(r^2 - (r - c/2)^2) beyond
    the arc's centre.

    Examples
    --------
    >>> round(slot_length(8.0, 0.1, 1.0), 3)
    9.476
    """
    inside = max(corner - clearance / 2, 0.0)
    return tab_length + clearance + 2 * (corner - math.sqrt(corner**2 - inside**2))


def _sketch(part: Part, design: Design, instances: Mapping[str, Instance], joints: Sequence[TabJoint]) -> g.Sketch:
    own = [i for i in instances.values() if i.part.id == part.id]
    planes: list[g.HalfPlaneCut] = []
    for key in design.key:
        arms = [i for i in instances.values() if i.place.id == key.of]
        if arms and arms[0].part.id == part.id:
            planes += key_planes(arms, 0, key.clearance_mm)
    first_standing = own[0].name if own else ""
    own_tabs = [j for j in joints if j.standing.name == first_standing]
    reliefs = [cut for j in own_tabs for cut in _reliefs(j, design.checks.cutter_mm)]
    slots = _distinct([_slot(j, design.checks.cutter_mm) for j in joints if j.plate.part.id == part.id])
    return replace(
        own_sketch(part),
        half_planes=tuple(planes),
        tabs=tuple(_tab(j) for j in own_tabs),
        slots=(*reliefs, *slots),
    )


def own_sketch(part: Part) -> g.Sketch:
    """Sketch of a part by itself: no keys, no tabs, no slots for others."""
    return g.Sketch(
        nodes=tuple(g.Node(n.id, *n.at_mm, n.radius_mm) for n in part.nodes),
        links=tuple(g.Link(k.start, k.end, k.width_mm, k.end_width_mm) for k in part.links),
        webs=tuple(g.Web(w.nodes) for w in part.webs),
        polygons=tuple(g.Polygon(p.points_mm, p.corner_mm) for p in part.polygons),
        fillet=part.fillet_mm,
        cuts=tuple(_cut(c) for c in part.cutouts),
        mirror=part.mirror,
    )


def _cut(cutout: CircleCutout | SlotCutout | RectangleCutout | PolygonCutout) -> g.Cut:
    if isinstance(cutout, CircleCutout):
        return g.CircleCut(*cutout.at_mm, cutout.diameter_mm)
    if isinstance(cutout, SlotCutout):
        return g.SlotCut(*cutout.start_mm, *cutout.end_mm, cutout.width_mm)
    if isinstance(cutout, RectangleCutout):
        turn = math.radians(cutout.turn_deg)
        return g.RectangleCut(*cutout.at_mm, cutout.length_mm, cutout.width_mm, cutout.corner_mm, turn)
    return g.PolygonCut(cutout.points_mm, cutout.corner_mm)


def _tab(joint: TabJoint) -> g.TabAdd:
    """From the far face of the entered plate back into the standing plate's own body."""
    low, high = (joint.low, joint.high + _TAB_ROOT) if _points_down(joint) else (joint.low - _TAB_ROOT, joint.high)
    x, y = joint.standing.in_part(joint.along, (low + high) / 2)
    turn = joint.standing.turn_in_part(0.0)
    return g.TabAdd(round(x, 9), round(y, 9), joint.tab.length_mm, round(high - low, 9), turn, mirrored=False)


def _points_down(joint: TabJoint) -> bool:
    """Return whether a tab leaves its plate downward, or against the plane's second axis."""
    return joint.high <= _body_middle(joint.standing)


def _reliefs(joint: TabJoint, cutter: float) -> list[g.SlotCut]:
    """Round notches beside a tab's root: a cutter leaves no corner there, and the edge lies flat on the plate."""
    radius = cutter / 2 * _MOVING
    root, outward = (joint.high, -1.0) if _points_down(joint) else (joint.low, 1.0)
    made = []
    for side in (-1.0, 1.0):
        along = joint.along + side * (joint.tab.length_mm / 2 + radius)
        x1, y1 = joint.standing.in_part(along, root)
        x2, y2 = joint.standing.in_part(along, root + outward * 2 * radius)
        made.append(g.SlotCut(round(x1, 9), round(y1, 9), round(x2, 9), round(y2, 9), 2 * radius, mirrored=False))
    return made


def _body_middle(standing: Instance) -> float:
    """Middle height of a standing plate's drawn points above its foot [mm]."""
    points = [n.at_mm for n in standing.part.nodes] + [p for q in standing.part.polygons for p in q.points_mm]
    heights = [standing.to_plane.apply(*p)[1] for p in points]
    return (min(heights) + max(heights)) / 2 if heights else 0.0


def _slot(joint: TabJoint, cutter: float) -> g.RectangleCut:
    width = joint.standing.part.thickness_mm + joint.tab.clearance_mm
    corner = min(width / 2, cutter / 2 * _MOVING)
    length = slot_length(joint.tab.length_mm, joint.tab.clearance_mm, corner)
    along_x = joint.standing.normal == "y"
    point = (joint.along, joint.middle) if along_x else (joint.middle, joint.along)
    x, y = joint.plate.in_part(*point)
    turn = joint.plate.turn_in_part(0.0 if along_x else math.pi / 2)
    return g.RectangleCut(round(x, 9), round(y, 9), round(length, 9), width, corner, turn, mirrored=False)


def _distinct(cuts: Sequence[g.RectangleCut]) -> list[g.RectangleCut]:
    """One slot where several tabs ask for the same; a slot turned half round is the same slot."""
    kept: list[g.RectangleCut] = []
    for cut in cuts:
        if not any(
            math.hypot(cut.x - k.x, cut.y - k.y) < 1e-6
            and abs(math.sin(cut.turn - k.turn)) < 1e-9
            and math.isclose(cut.length, k.length)
            and math.isclose(cut.width, k.width)
            for k in kept
        ):
            kept.append(cut)
    return kept
