"""The GLB file, taken apart by its own rules."""

import json
import struct

import numpy as np
import pytest

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Hexagon, Plate, Solid
from platewright.foundation.errors import OutputError
from platewright.geometry.loops import Circle, Loop, Outline, outline_area
from platewright.io.colours import ROLE_COLOURS
from platewright.io.glb import frame_glb, write_glb
from platewright.io.triangles import triangles

OUTLINE = Outline(
    Loop(((-30, -15, 0), (30, -15, 1), (30, 15, 0), (-30, 15, 1))),
    (Loop(((-6, -2, 0), (6, -2, 1), (6, 2, 0), (-6, 2, 1))),),
    (Circle(-25, 0, 1.6), Circle(25, 0, 1.6)),
)
PLATE = (Solid(Plate(OUTLINE, 2.5)),)
SCREW = (Solid(Cylinder(2.75, 3.0), -3.0), Solid(Cylinder(1.5, 12.0)))
SLANT = Frame3((10, 20, 30), (0.6, 0.0, 0.8), (0.0, 1.0, 0.0))
BODIES = (
    Body("arm.1", "plate", "part arm", Frame3((50, 40, 0), (0, 1, 0), (-1, 0, 0)), PLATE, "arm"),
    Body("arm.2", "plate", "part arm", Frame3((50, -40, 2.5), (0, 1, 0), (1, 0, 0)), PLATE, "arm"),
    Body("post.1#1", "screw", "screw M3x12", Frame3((0, 0, 12.5), (1, 0, 0), (0, -1, 0)), SCREW, "post"),
    Body("nut", "nut", "nut M3", SLANT, (Solid(Hexagon(5.5, 2.4, 1.6), 8.0),), "post"),
    Body("disc", "propeller", "prop", Frame3((80, 80, 30)), (Solid(Cylinder(60.0, 1.0)),), "prop"),
    Body("pack", "battery", "pack", Frame3((0, 0, 40)), (Solid(Box(70, 35, 30)),), "pack"),
)


class Read:
    """A GLB file by the rules of the format: header, JSON chunk, binary chunk."""

    def __init__(self, content):
        magic, version, length = struct.unpack_from("<4sII", content)
        assert (magic, version, length) == (b"glTF", 2, len(content))
        size, kind = struct.unpack_from("<I4s", content, 12)
        assert (kind, size % 4) == (b"JSON", 0)
        self.tree = json.loads(content[20 : 20 + size])
        binary, kind = struct.unpack_from("<I4s", content, 20 + size)
        assert (kind, binary % 4) == (b"BIN\0", 0)
        self.data = content[28 + size :]
        assert binary == len(self.data) == self.tree["buffers"][0]["byteLength"]

    def values(self, number):
        accessor = self.tree["accessors"][number]
        view = self.tree["bufferViews"][accessor["bufferView"]]
        dtype = {5126: "<f4", 5123: "<u2", 5125: "<u4"}[accessor["componentType"]]
        assert view["byteOffset"] % 4 == 0
        flat = np.frombuffer(self.data[view["byteOffset"] :][: view["byteLength"]], dtype)
        return flat.reshape(accessor["count"], -1)

    def points(self, name):
        """Return the points of a node in the file's own space, after its turn and shift and the root's."""
        node = next(n for n in self.tree["nodes"] if n["name"] == name)
        mesh = self.tree["meshes"][node["mesh"]]["primitives"][0]
        points = self.values(mesh["attributes"]["POSITION"]).astype(float)
        moved = points @ turn(node["rotation"]).T + node["translation"]
        return moved @ turn(self.tree["nodes"][0]["rotation"]).T


def turn(quaternion):
    x, y, z, w = quaternion
    assert x * x + y * y + z * z + w * w == pytest.approx(1, abs=1e-7)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


@pytest.fixture(scope="module")
def read():
    return Read(frame_glb(BODIES, name="Heddle"))


def test_nodes_have_the_names_of_the_bodies(read):
    assert [n["name"] for n in read.tree["nodes"]] == ["Heddle", *(body.name for body in BODIES)]
    assert read.tree["nodes"][0]["children"] == list(range(1, len(BODIES) + 1))
    assert read.tree["scenes"][read.tree["scene"]]["nodes"] == [0]


def test_copies_refer_to_one_mesh(read):
    mesh_of = {n["name"]: n.get("mesh") for n in read.tree["nodes"]}
    assert mesh_of["arm.1"] == mesh_of["arm.2"]
    assert [m["name"] for m in read.tree["meshes"]] == ["part arm", "screw M3x12", "nut M3", "prop", "pack"]


def test_bounds_of_positions_are_true(read):
    for mesh in read.tree["meshes"]:
        accessor = read.tree["accessors"][mesh["primitives"][0]["attributes"]["POSITION"]]
        points = read.values(mesh["primitives"][0]["attributes"]["POSITION"])
        assert accessor["min"] == points.min(axis=0).tolist()
        assert accessor["max"] == points.max(axis=0).tolist()


def test_indices_stay_within_the_points(read):
    for mesh in read.tree["meshes"]:
        primitive = mesh["primitives"][0]
        corners = read.values(primitive["indices"])
        assert len(corners) % 3 == 0
        assert corners.max() + 1 == read.tree["accessors"][primitive["attributes"]["POSITION"]]["count"]


def test_forward_is_z_left_is_x_up_is_y_in_metres(read):
    pack = read.points("pack")  # 70 forward, 35 across, from 40 to 70 mm up
    assert pack.min(axis=0) == pytest.approx([-0.0175, 0.040, -0.035], abs=1e-8)
    assert pack.max(axis=0) == pytest.approx([0.0175, 0.070, 0.035], abs=1e-8)
    left = read.points("arm.1").mean(axis=0)
    assert left[0] == pytest.approx(0.040, abs=0.005)
    assert left[2] == pytest.approx(0.050, abs=0.005)


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.name)
def test_points_lie_where_the_frame_of_the_body_puts_them(read, body):
    mesh = triangles(body.solids)
    expected = [[y, z, x] for x, y, z in (body.frame.point(*p) for p in mesh.points.tolist())]
    assert read.points(body.name) == pytest.approx(np.array(expected) / 1000, abs=2e-8)


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.name)
def test_surface_is_closed_and_looks_outwards(body):
    for solid in body.solids:
        mesh = triangles((solid,))
        a, b, c = (mesh.points[mesh.corners[:, k]] for k in range(3))
        facing = np.cross(b - a, c - a)
        normals = mesh.normals[mesh.corners].sum(axis=1)
        assert (np.einsum("ij,ij->i", facing, normals) > 0).all()
        assert np.linalg.norm(mesh.normals, axis=1) == pytest.approx(1)
        assert facing.sum(axis=0) == pytest.approx([0, 0, 0], abs=1e-9)  # no hole in the surface
        edges = edge_counts(mesh)
        assert set(edges.values()) == {0}


def edge_counts(mesh):
    """Count each edge one way less the other; points at one place are one point."""
    _, place = np.unique(mesh.points.round(9), axis=0, return_inverse=True)
    count = {}
    for corners in place.ravel()[mesh.corners].tolist():
        for p, q in zip(corners, corners[1:] + corners[:1], strict=True):
            count[min(p, q), max(p, q)] = count.get((min(p, q), max(p, q)), 0) + (1 if p < q else -1)
    return count


def test_volume_of_the_plate_is_that_of_its_outline():
    mesh = triangles(PLATE)
    a, b, c = (mesh.points[mesh.corners[:, k]] for k in range(3))
    volume = np.einsum("ij,ij->", a, np.cross(b, c)) / 6
    assert volume == pytest.approx(2.5 * outline_area(OUTLINE), rel=2e-3)  # chords lie up to 0.05 mm off the arcs


def test_materials_are_the_colours_of_the_roles_in_proportion_to_light(read):
    materials = {m["name"]: m for m in read.tree["materials"]}
    assert set(materials) == {body.role for body in BODIES}
    for role, material in materials.items():
        colour = ROLE_COLOURS[role]
        factor = material["pbrMetallicRoughness"]["baseColorFactor"]
        assert factor == pytest.approx([*colour.linear, colour.opacity], abs=1e-6)
        assert material.get("alphaMode", "OPAQUE") == ("BLEND" if colour.opacity < 1 else "OPAQUE")


def test_same_bodies_give_same_bytes():
    assert frame_glb(BODIES) == frame_glb(BODIES)


def test_frame_without_bodies_is_a_file_all_the_same():
    content = frame_glb(())
    assert struct.unpack_from("<4sII", content) == (b"glTF", 2, len(content))
    assert json.loads(content[20:])["nodes"] == [{"name": "frame", "rotation": [-0.5, -0.5, -0.5, 0.5]}]


def test_folder_that_does_not_exist_is_an_output_error(tmp_path):
    with pytest.raises(OutputError, match=r"frame\.glb' cannot be written"):
        write_glb(tmp_path / "none" / "frame.glb", BODIES)
