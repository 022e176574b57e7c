"""Views of a frame as plane lines, those in sight parted from those that are hidden, by the CAD kernel [mm].

Curves are found exactly and then drawn as polylines within 0.02 mm. Edges where one face runs smoothly into the next
are left out, as on any drawing. x of a view is to the right of the page, y is up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from platewright.assembly.bodies import Body, Vector, cross
from platewright.foundation.errors import GeometryError
from platewright.io.kernel import occ
from platewright.io.solids import ShapeStore
from platewright.io.straight_lines import joined, uncovered

__all__ = ["VIEWS", "Polyline", "View", "project"]

Polyline = tuple[tuple[float, float], ...]

_CHORD = 0.02  # most distance between a curve and its polyline [mm]
_TURN = 0.2  # most turn from chord to chord [rad]
_POINT = 1e-6  # a line shorter than this is an edge seen end on [mm]
_SAME = 3  # decimals to which lines that lie on one another agree [mm]


@dataclass(frozen=True)
class View:
    """What is seen from one side.

    Parameters
    ----------
    visible, hidden : tuple of polylines
        Points (x, y) on the page [mm].
    """

    visible: tuple[Polyline, ...]
    hidden: tuple[Polyline, ...]


# Names of views: the direction from the frame to the eye, and the direction that is up on the page.
VIEWS: Mapping[str, tuple[Vector, Vector]] = {
    "plan": ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
    "front": ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    "side": ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    "isometric": ((1.0, -1.0, 1.0), (0.0, 0.0, 1.0)),
}


def project(bodies: Sequence[Body], direction: Vector, up: Vector, store: ShapeStore | None = None) -> View:
    """Return the lines of all bodies seen from far away.

    Parameters
    ----------
    bodies : sequence of Body
        What is looked at.
    direction : (x, y, z)
        From the bodies to the eye [-].
    up : (x, y, z)
        What is up on the page; need not be at a right angle to `direction` [-].
    store : ShapeStore, optional
        Shapes already made.

    Raises
    ------
    GeometryError
        If `up` lies along `direction`.
    """
    gp, hlr = occ("gp"), occ("HLRBRep")
    right = cross(up, direction)
    if math.hypot(*right) < 1e-9 * math.hypot(*up) * math.hypot(*direction) or not any(right):
        msg = f"what is up on the page must not lie along the view direction (got up {up} and direction {direction})."
        raise GeometryError(msg)
    store = store or ShapeStore()
    finder = hlr.HLRBRep_Algo()
    for body in bodies:
        finder.Add(store.placed(body))
    eye = gp.gp_Ax2(gp.gp_Pnt(0, 0, 0), gp.gp_Dir(*direction), gp.gp_Dir(*right))
    finder.Projector(occ("HLRAlgo").HLRAlgo_Projector(eye))
    finder.Update()
    finder.Hide()
    found = hlr.HLRBRep_HLRToShape(finder)
    visible = _Lines([*_polylines(found.VCompound()), *_polylines(found.OutLineVCompound())])
    hidden = _Lines([*_polylines(found.HCompound()), *_polylines(found.OutLineHCompound())])
    curves = [line for key, line in hidden.curves.items() if key not in visible.curves]
    straight = uncovered(hidden.straight, visible.straight)
    return View((*joined(visible.straight), *visible.curves.values()), (*straight, *curves))


def _polylines(compound: Any) -> list[Polyline]:
    """Return every edge of a compound in the plane of the page."""
    if compound is None or compound.IsNull():
        return []
    topology, to_edge = occ("TopAbs"), occ("TopoDS").TopoDS.Edge
    occ("BRepLib").BRepLib.BuildCurves3d_s(compound)
    explorer = occ("TopExp").TopExp_Explorer(compound, topology.TopAbs_ShapeEnum.TopAbs_EDGE)
    lines: list[Polyline] = []
    while explorer.More():
        curve = occ("BRepAdaptor").BRepAdaptor_Curve(to_edge(explorer.Current()))
        chords = occ("GCPnts").GCPnts_TangentialDeflection(curve, _TURN, _CHORD)
        points = [chords.Value(k + 1) for k in range(chords.NbPoints())]
        line = tuple((round(p.X(), 6) + 0.0, round(p.Y(), 6) + 0.0) for p in points)
        if max(math.dist(line[0], p) for p in line) > _POINT:
            lines.append(line)
        explorer.Next()
    return lines


class _Lines:
    """Lines parted into straight ones and curves; each curve once, known by its ends and middle."""

    def __init__(self, lines: Sequence[Polyline]) -> None:
        self.straight = [(line[0], line[1]) for line in lines if len(line) == 2]
        self.curves: dict[tuple[tuple[float, float], ...], Polyline] = {}
        for line in lines:
            if len(line) > 2:
                ends = sorted((_rounded(line[0]), _rounded(line[-1])))
                self.curves.setdefault((*ends, _rounded(line[len(line) // 2])), line)


def _rounded(point: tuple[float, float]) -> tuple[float, float]:
    return round(point[0], _SAME), round(point[1], _SAME)
