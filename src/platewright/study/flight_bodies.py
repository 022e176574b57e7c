"""What of a frame the air meets: every plate and piece of equipment seen from above, from ahead and from the side.

Prisms that stand upright or lie along y are seen exactly; others by the hull of their corners. Screws, nuts and spacers
are left out, but standoffs count in the views from ahead and from the side. Lengths in mm, axes of the frame.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from platewright.assembly.assemble import Assembly
from platewright.assembly.bodies import Body, Solid, profile_of
from platewright.geometry.loops import Outline, to_shapely

__all__ = ["AirBody", "air_bodies", "view_union"]

Floats = NDArray[np.float64]
_QUADRANT = 6
_SMALL_HOLE = 2.5  # radius of holes that the air does not mind, as a screw fills them [mm]
_STRAIGHT = 1 - 1e-9
_SEEN = {"plate", "board", "motor", "camera", "battery", "antenna", "standoff", "other"}


@dataclass(frozen=True)
class AirBody:
    """One thing in the air.

    Parameters
    ----------
    name : str
        As in the assembly: `arm.1`.
    kind : str
        Of a plate its part's kind, `arm`, `base`, `deck` and so on; else its role, `battery`, `motor`, `camera`.
    owner : str
        Place or equipment it belongs to.
    thickness : float
        Of a plate, else its height [mm].
    plan, front, side : shapely geometry
        Seen from above (x, y), from ahead (y, z) and from the left (x, z) [mm].
    bottom, top : float
        Heights [mm].
    """

    name: str
    kind: str
    owner: str
    thickness: float
    plan: shapely.Geometry
    front: shapely.Geometry
    side: shapely.Geometry
    bottom: float
    top: float


def air_bodies(assembly: Assembly) -> tuple[AirBody, ...]:
    """Return everything that the air meets, propellers left out."""
    return tuple(_air_body(assembly, body) for body in assembly.bodies if body.role in _SEEN)


def view_union(bodies: Iterable[AirBody], view: str) -> shapely.Geometry:
    """Return the outline of several things together.

    Parameters
    ----------
    bodies : iterable of AirBody
        From `air_bodies`.
    view : str
        `plan`, `front` or `side`.
    """
    return shapely.union_all([getattr(b, view) for b in bodies])


def _air_body(assembly: Assembly, body: Body) -> AirBody:
    instance = assembly.instances.get(body.name) if body.role == "plate" else None
    kind = instance.part.kind if instance is not None else body.role
    views = [_views(body, solid) for solid in body.solids]
    plan, front, side = (shapely.union_all([v[k] for v in views]) if len(views) > 1 else views[0][k] for k in range(3))
    _, bottom, _, top = shapely.bounds(front).tolist()
    thickness = instance.part.thickness_mm if instance is not None else top - bottom
    return AirBody(body.name, kind, body.owner, thickness, plan, front, side, bottom, top)


def _views(body: Body, solid: Solid) -> tuple[shapely.Geometry, shapely.Geometry, shapely.Geometry]:
    """Return a solid seen from above, from ahead and from the side."""
    frame, height = body.frame, solid.shape.height
    polygon = _polygon(profile_of(solid.shape))
    axes, origin = np.array([frame.u, frame.v, frame.n]), np.array(frame.origin)

    def placed(flat: Floats, offset: float) -> Floats:
        return np.asarray(flat @ axes[:2] + origin + axes[2] * offset)

    ends = [placed(shapely.get_coordinates(polygon), solid.offset + h) for h in (0.0, height)]
    corners = np.vstack(ends)
    views = []
    for across, keep in ((2, (0, 1)), (0, (1, 2)), (1, (0, 2))):
        if abs(float(axes[2, across])) > _STRAIGHT:
            views.append(shapely.transform(polygon, lambda c, k=keep: placed(c, solid.offset)[:, list(k)]))
        elif np.sum(np.abs(axes[2]) > 1 - _STRAIGHT) == 1:
            low, high = corners[:, list(keep)].min(axis=0), corners[:, list(keep)].max(axis=0)
            views.append(shapely.box(*low.tolist(), *high.tolist()))
        else:
            views.append(shapely.convex_hull(shapely.multipoints(corners[:, list(keep)])))
    return views[0], views[1], views[2]


@lru_cache(maxsize=512)
def _polygon(outline: Outline) -> shapely.Geometry:
    """Chords round an outline, without its smallest holes."""
    circles = tuple(c for c in outline.circles if c.radius > _SMALL_HOLE)
    return to_shapely(replace(outline, circles=circles), _QUADRANT)
