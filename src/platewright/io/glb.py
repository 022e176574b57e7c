"""The frame as a binary glTF 2.0 file, for viewers that turn and zoom; written without the CAD kernel.

glTF counts in metres, with y up and the front towards +z. So the root node turns the frame's axes: x forward becomes z,
y left becomes x, z up becomes y. Below it every body is a node of its name; bodies that are copies of one another refer
to one mesh. The same bodies give the same bytes.

Source: Khronos Group, glTF 2.0 specification: coordinate system and units, geometry, materials, GLB (from memory).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platewright.assembly.bodies import Body, Frame3, Solid
from platewright.foundation.errors import OutputError
from platewright.foundation.units import MM_PER_M
from platewright.io.colours import ROLE_COLOURS, Colour, colour_of
from platewright.io.triangles import Mesh, triangles

__all__ = ["frame_glb", "write_glb"]

_FLOAT, _UINT16, _UINT32 = 5126, 5123, 5125
_VERTICES, _CORNERS = 34962, 34963  # targets of buffer views
_AXES = [-0.5, -0.5, -0.5, 0.5]  # the turn that takes x to z, y to x and z to y
_METALLIC, _ROUGHNESS = 0.0, 0.6


def write_glb(
    path: Path, bodies: Sequence[Body], colours: Mapping[str, Colour] = ROLE_COLOURS, *, name: str = "frame"
) -> None:
    """Write all bodies as one GLB file.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    content = frame_glb(bodies, colours, name=name)
    try:
        path.write_bytes(content)
    except OSError as error:
        msg = f"'{path}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error


def frame_glb(bodies: Sequence[Body], colours: Mapping[str, Colour] = ROLE_COLOURS, *, name: str = "frame") -> bytes:
    """Return the GLB file of all bodies.

    Parameters
    ----------
    bodies : sequence of Body
        What the frame consists of.
    colours : mapping of str to Colour, optional
        Colour of each role.
    name : str
        Name of the root node.
    """
    scene = _Scene(colours)
    nodes: list[dict[str, Any]] = [{"name": name, "rotation": _AXES, "children": list(range(1, len(bodies) + 1))}]
    if not bodies:
        del nodes[0]["children"]
    nodes += [{"name": body.name, "mesh": scene.mesh(body), **_placement(body.frame)} for body in bodies]
    tree: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "platewright"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": nodes,
        **scene.tables(),
    }
    text = json.dumps(tree, separators=(",", ":"), ensure_ascii=False).encode()
    chunks = [(b"JSON", text + b" " * (-len(text) % 4))]
    if scene.data:
        chunks.append((b"BIN\0", bytes(scene.data)))
    body = b"".join(struct.pack("<I4s", len(chunk), kind) + chunk for kind, chunk in chunks)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body


class _Scene:
    """Meshes, materials and the binary data they point to, each made once."""

    def __init__(self, colours: Mapping[str, Colour]) -> None:
        self.data = bytearray()
        self._colours = colours
        self._views: list[dict[str, Any]] = []
        self._accessors: list[dict[str, Any]] = []
        self._meshes: list[dict[str, Any]] = []
        self._materials: list[dict[str, Any]] = []
        self._mesh_of: dict[tuple[str, str, tuple[Solid, ...]], int] = {}
        self._material_of: dict[str, int] = {}

    def tables(self) -> dict[str, Any]:
        """Return the tables of the file that hold anything."""
        named = {
            "meshes": self._meshes,
            "materials": self._materials,
            "accessors": self._accessors,
            "bufferViews": self._views,
            "buffers": [{"byteLength": len(self.data)}] if self.data else [],
        }
        return {key: table for key, table in named.items() if table}

    def mesh(self, body: Body) -> int:
        """Return the number of a body's mesh."""
        key = (body.key, body.role, body.solids)
        if key not in self._mesh_of:
            self._mesh_of[key] = len(self._meshes)
            self._meshes.append({"name": body.key, "primitives": [self._primitive(triangles(body.solids), body.role)]})
        return self._mesh_of[key]

    def _primitive(self, mesh: Mesh, role: str) -> dict[str, Any]:
        points = (mesh.points / MM_PER_M).astype("<f4")
        bounds = {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
        short = len(points) < 2**16
        corners = mesh.corners.ravel().astype("<u2" if short else "<u4")
        return {
            "attributes": {
                "POSITION": self._accessor(points, "VEC3", _FLOAT, _VERTICES, bounds),
                "NORMAL": self._accessor(mesh.normals.astype("<f4"), "VEC3", _FLOAT, _VERTICES, {}),
            },
            "indices": self._accessor(corners, "SCALAR", _UINT16 if short else _UINT32, _CORNERS, {}),
            "material": self._material(role),
        }

    def _accessor(self, values: NDArray[Any], kind: str, number: int, target: int, bounds: dict[str, Any]) -> int:
        raw = values.tobytes()
        view = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target}
        self.data += raw + b"\0" * (-len(raw) % 4)
        self._views.append(view)
        head = {"bufferView": len(self._views) - 1, "componentType": number, "count": len(values), "type": kind}
        self._accessors.append({**head, **bounds})
        return len(self._accessors) - 1

    def _material(self, role: str) -> int:
        if role not in self._material_of:
            colour = colour_of(role, self._colours)
            surface = {
                "baseColorFactor": [*(round(part, 6) for part in colour.linear), colour.opacity],
                "metallicFactor": _METALLIC,
                "roughnessFactor": _ROUGHNESS,
            }
            blend = {"alphaMode": "BLEND"} if colour.opacity < 1 else {}
            self._material_of[role] = len(self._materials)
            self._materials.append({"name": role, "pbrMetallicRoughness": surface, **blend})
        return self._material_of[role]


def _placement(frame: Frame3) -> dict[str, list[float]]:
    """Return where a node stands, in m, and its turn as a quaternion (x, y, z, w)."""
    shift = [round(part / MM_PER_M, 9) + 0.0 for part in frame.origin]
    return {"translation": shift, "rotation": [round(part, 9) + 0.0 for part in _quaternion(frame)]}


def _quaternion(frame: Frame3) -> tuple[float, float, float, float]:
    matrix = np.column_stack([frame.u, frame.v, frame.n])
    m = matrix.tolist()
    trace = m[0][0] + m[1][1] + m[2][2]
    # four times the squares of x, y, z and w; the greatest of them is divided by
    squares = [1 + 2 * m[k][k] - trace for k in range(3)] + [1 + trace]
    products = np.array(
        [
            [squares[0], m[1][0] + m[0][1], m[0][2] + m[2][0], m[2][1] - m[1][2]],
            [m[1][0] + m[0][1], squares[1], m[2][1] + m[1][2], m[0][2] - m[2][0]],
            [m[0][2] + m[2][0], m[2][1] + m[1][2], squares[2], m[1][0] - m[0][1]],
            [m[2][1] - m[1][2], m[0][2] - m[2][0], m[1][0] - m[0][1], squares[3]],
        ]
    )
    row = products[int(np.argmax(np.round(squares, 9)))]
    x, y, z, w = (row / np.linalg.norm(row)).tolist()
    return x, y, z, w
