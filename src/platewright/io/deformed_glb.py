"""A deformed part as a binary glTF 2.0 file, coloured by how far each point moves.

Both faces and the rims of the plate, moved by a multiple of the displacements. Axes as in the frame's own file: the
root turns x to z, y to x and z to y, and millimetres become metres. The same input gives the same bytes.

Source: Khronos Group, glTF 2.0 specification: geometry, vertex colours (linear), GLB (from memory).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platewright.foundation.units import MM_PER_M
from platewright.io.field_colours import colours_of

__all__ = ["deformed_frame_glb", "deformed_glb"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_FLOAT, _UINT32 = 5126, 5125
_VERTICES, _CORNERS = 34962, 34963
_AXES = [-0.5, -0.5, -0.5, 0.5]
_FOUR = np.array([[0, 3, 5], [3, 1, 4], [5, 4, 2], [3, 4, 5]])


def deformed_glb(
    nodes: Floats,
    triangles: Ints,
    loops: tuple[Ints, ...],
    displacements: Floats,
    thickness: float,
    scale: float,
    name: str,
) -> bytes:
    """Return the GLB file of a deformed plate.

    Parameters
    ----------
    nodes : (n_nodes, 2) float
        Of the mesh [mm].
    triangles : (n_triangles, 6) int
        Nodes of each.
    loops : tuple of (n,) int
        Nodes along each boundary in its order.
    displacements : (n_nodes, 3) float
        Of the mid-plane [mm].
    thickness : float
        Of the plate [mm].
    scale : float
        How many times the displacements are drawn [-].
    name : str
        Of the root node.
    """
    piece = (nodes, triangles, loops, displacements, thickness, np.zeros(3), np.eye(3))
    return deformed_frame_glb([piece], scale, name)


def deformed_frame_glb(
    plates: Sequence[tuple[Floats, Ints, tuple[Ints, ...], Floats, float, Floats, Floats]], scale: float, name: str
) -> bytes:
    """Return the GLB file of deformed plates in space, coloured alike: by displacement over the largest of all.

    Parameters
    ----------
    plates : sequence of tuple
        Each as in `deformed_glb`, then its origin [mm] and its axes as columns, (3, 3).
    scale : float
        How many times the displacements are drawn [-].
    name : str
        Of the root node.
    """
    sizes = [np.linalg.norm(plate[3], axis=1) for plate in plates]
    largest = max(float(size.max()) for size in sizes) or 1.0
    points, colours, corners, count = [], [], [], 0
    for (nodes, triangles, loops, displacements, thickness, origin, axes), size in zip(plates, sizes, strict=True):
        colour = colours_of(size / largest)
        linear = np.where(colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4)
        own, faces = _plate(nodes, triangles, loops, scale * displacements, thickness)
        points.append(origin + own @ axes.T)
        colours += [linear, linear]
        corners.append(faces + count)
        count += len(own)
    return _file(np.concatenate(points) / MM_PER_M, np.concatenate(colours), np.concatenate(corners), name)


def _plate(
    nodes: Floats, triangles: Ints, loops: tuple[Ints, ...], moved: Floats, thickness: float
) -> tuple[Floats, Ints]:
    """Return points of both faces and the triangles of faces and rims, in the part's axes."""
    n = len(nodes)
    flat = np.column_stack([nodes, np.zeros(n)]) + moved
    half = np.array([0.0, 0.0, thickness / 2])
    points = np.concatenate([flat + half, flat - half])
    small = triangles[:, _FOUR].reshape(-1, 3)
    corners = [small, small[:, ::-1] + n]
    for k, loop in enumerate(loops):
        after = np.roll(loop, -1)
        a, b = (loop, after) if k == 0 else (after, loop)
        corners += [np.column_stack([a, a + n, b]), np.column_stack([b, a + n, b + n])]
    return points, np.concatenate(corners)


def _file(points: Floats, colours: Floats, corners: Ints, name: str) -> bytes:
    position, tint = points.astype("<f4"), colours.astype("<f4")
    index = corners.astype("<u4").ravel()
    data = b"".join(a.tobytes() for a in (position, tint, index))
    views, accessors, offset = [], [], 0
    for array, kind, number, target in (
        (position, "VEC3", _FLOAT, _VERTICES),
        (tint, "VEC3", _FLOAT, _VERTICES),
        (index, "SCALAR", _UINT32, _CORNERS),
    ):
        views.append({"buffer": 0, "byteOffset": offset, "byteLength": array.nbytes, "target": target})
        accessors.append({"bufferView": len(views) - 1, "componentType": number, "count": len(array), "type": kind})
        offset += array.nbytes
    accessors[0] |= {"min": position.min(axis=0).tolist(), "max": position.max(axis=0).tolist()}
    primitive = {"attributes": {"POSITION": 0, "COLOR_0": 1}, "indices": 2, "material": 0}
    surface = {"metallicFactor": 0.0, "roughnessFactor": 0.8}
    tree: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "platewright"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"name": name, "rotation": _AXES, "mesh": 0}],
        "meshes": [{"name": name, "primitives": [primitive]}],
        "materials": [{"name": "field", "pbrMetallicRoughness": surface}],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    text = json.dumps(tree, separators=(",", ":")).encode()
    chunks = ((b"JSON", text + b" " * (-len(text) % 4)), (b"BIN\0", data))
    body = b"".join(struct.pack("<I4s", len(chunk), kind) + chunk for kind, chunk in chunks)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body
