"""Splines and ellipses of a drawing as runs of arcs [mm]."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from ezdxf.math import BSpline
from scipy import interpolate

from platewright.geometry.biarc import ArcRun, arcs_of_curve
from platewright.geometry.curves import Floats, Points

__all__ = ["ellipse_run", "spline_run"]


def spline_run(entity: Any, scale: float, tolerance: float) -> ArcRun:
    """Return arcs along a spline, rational or not.

    Parameters
    ----------
    entity : SPLINE of the drawing library
        Flat.
    scale : float
        Length of a unit of the drawing [mm].
    tolerance : float
        Largest distance between spline and arcs [mm].

    Raises
    ------
    ValueError
        If its knots or control points make no curve.
    """
    curve: BSpline = entity.construction_tool()
    knots, degree = np.array(curve.knots(), dtype=float), curve.degree
    control = np.array([(p.x * scale, p.y * scale) for p in curve.control_points])
    weights = np.array(curve.weights() or np.ones(len(control)), dtype=float)
    sound = np.isfinite(knots).all() and np.isfinite(control).all() and (weights > 0).all()
    if len(knots) != len(control) + degree + 1 or not sound or (np.diff(knots) < 0).any():
        msg = "its knots do not fit its control points."
        raise ValueError(msg)
    low, high = knots[degree], knots[len(control)]
    breaks = np.unique(np.clip(knots, low, high))
    if not high > low:
        msg = "its knots do not rise."
        raise ValueError(msg)
    rows = np.column_stack([control * weights[:, None], weights])
    base = interpolate.BSpline(knots, rows, degree)

    def at(t: Floats) -> Points:
        values = base(np.clip(t, low, np.nextafter(high, low)))
        result: Points = (values[:, 0] + 1j * values[:, 1]) / values[:, 2]
        return result

    return arcs_of_curve(at, breaks.tolist(), tolerance)


def ellipse_run(entity: Any, scale: float, tolerance: float) -> ArcRun:
    """Return arcs along an ellipse or a part of one.

    Parameters
    ----------
    entity : ELLIPSE of the drawing library
        Flat.
    scale : float
        Length of a unit of the drawing [mm].
    tolerance : float
        Largest distance between ellipse and arcs [mm].
    """
    tool = entity.construction_tool()
    centre = complex(tool.center.x, tool.center.y) * scale
    major = complex(tool.major_axis.x, tool.major_axis.y) * scale
    minor = complex(tool.minor_axis.x, tool.minor_axis.y) * scale
    start = float(tool.start_param)
    sweep = (float(tool.end_param) - start) % (2 * math.pi)
    sweep = 2 * math.pi if sweep < 1e-9 else sweep
    count = max(math.ceil(sweep / (math.pi / 4)), 1)

    def at(t: Floats) -> Points:
        result: Points = centre + major * np.cos(t) + minor * np.sin(t)
        return result

    return arcs_of_curve(at, np.linspace(start, start + sweep, count + 1).tolist(), tolerance)
