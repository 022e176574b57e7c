"""Drawings and models of whole frames, read back by libraries that did not write our outlines."""

import json
import math
import struct
from collections import Counter
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest

from platewright.app.load import load
from platewright.assembly.bodies import Plate
from platewright.geometry.kernel import kernel
from platewright.geometry.loops import outline_area
from platewright.io.dxf import write_part_dxf
from platewright.io.foreign_drawing import read_loops_dxf
from platewright.io.glb import frame_glb
from platewright.io.hidden_lines import VIEWS, project
from platewright.io.solids import ShapeStore, write_step

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return tmp_path_factory.mktemp("outlines")


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def frame(request, cache):
    return load(request.param, cache=cache).assembly


@pytest.fixture(scope="module")
def store():
    return ShapeStore()


@pytest.fixture(scope="module")
def step(frame, store, tmp_path_factory):
    path = tmp_path_factory.mktemp("step") / "frame.step"
    write_step(path, frame.bodies, name=frame.design.frame.name, store=store)
    return path


def write(path, finished):
    part = finished.part
    write_part_dxf(
        path,
        finished.outline,
        part_id=part.id,
        title=part.id,
        thickness_mm=float(part.thickness_mm),
        material=part.material,
        quantity=finished.quantity,
        revision="A",
        grain_deg=float(part.grain_deg),
    )


def area_of_entities(path):
    """Area within CUT_OUTSIDE less CUT_INSIDE and HOLES [mm^2], by shoelace and circular segments, not by our loops."""
    total = 0.0
    for entity in ezdxf.readfile(path).modelspace():
        sign = {"CUT_OUTSIDE": 1, "CUT_INSIDE": -1, "HOLES": -1}.get(entity.dxf.layer, 0)
        if entity.dxftype() == "CIRCLE":
            total += sign * math.pi * entity.dxf.radius**2
        elif sign:
            points = list(entity.get_points("xyb"))
            area = 0.0
            for (x, y, bulge), (x2, y2, _) in zip(points, points[1:] + points[:1], strict=True):
                area += (x * y2 - x2 * y) / 2
                if bulge:
                    angle = 4 * math.atan(bulge)
                    radius = math.hypot(x2 - x, y2 - y) / (2 * math.sin(angle / 2))
                    area += radius**2 * (angle - math.sin(angle)) / 2
            total += sign * abs(area)
    return total


def test_there_are_examples():
    assert EXAMPLES


def test_every_part_drawn_and_read_back_has_its_area(frame, tmp_path):
    for name, finished in frame.parts.items():
        path = tmp_path / f"{name}.dxf"
        write(path, finished)
        expected = outline_area(finished.outline)
        assert area_of_entities(path) == pytest.approx(expected, rel=1e-6), name
        (plate,) = read_loops_dxf(path)
        assert outline_area(plate) == pytest.approx(expected, rel=1e-6), name
        assert len(plate.circles) + len(plate.inner) == len(finished.outline.circles) + len(finished.outline.inner)


def test_every_drawing_is_clean_and_the_same_each_time(frame, tmp_path):
    for name, finished in frame.parts.items():
        one, two = tmp_path / f"{name}.dxf", tmp_path / f"{name}.again.dxf"
        write(one, finished)
        write(two, finished)
        assert one.read_bytes() == two.read_bytes()
        document = ezdxf.readfile(one)
        auditor = document.audit()
        assert (auditor.errors, auditor.fixes) == ([], [])
        assert document.header["$INSUNITS"] == 4


def test_plates_of_the_step_file_have_volume_and_face_area_of_their_outlines(frame, step):
    cad = kernel()
    read = cad.import_step(step)
    assert len(read.children) == len(frame.bodies)
    for body, solid in zip(frame.bodies, read.children, strict=True):
        shape = body.solids[0].shape
        if not isinstance(shape, Plate):
            continue
        area = outline_area(shape.outline)
        assert solid.volume == pytest.approx(area * shape.height, rel=1e-6), body.name
        direction = cad.Vector(*body.frame.n)
        upper = [face for face in solid.faces() if face.geom_type == cad.GeomType.PLANE]
        upper = [face for face in upper if face.normal_at().dot(direction) > 1 - 1e-9]
        assert sum(face.area for face in upper) == pytest.approx(area, rel=1e-6), body.name


def test_step_file_names_every_body_and_shares_copies(frame, step):
    text = step.read_text(encoding="ascii").replace("\n", "")
    assert text.count("NEXT_ASSEMBLY_USAGE_OCCURRENCE(") == len(frame.bodies)
    for body in frame.bodies:
        assert f",'{body.name}','" in text
    assert text.count("PRODUCT('") == 1 + len({(body.key, body.solids) for body in frame.bodies})
    assert text.count("STYLED_ITEM(") == text.count("MANIFOLD_SOLID_BREP(")


def test_step_file_is_the_same_each_time(frame, step, tmp_path):
    write_step(tmp_path / "again.step", frame.bodies, name=frame.design.frame.name)
    assert (tmp_path / "again.step").read_bytes() == step.read_bytes()


def test_glb_has_a_node_for_every_body_and_the_size_of_the_frame(frame):
    content = frame_glb(frame.bodies, name=frame.design.frame.name)
    assert content == frame_glb(frame.bodies, name=frame.design.frame.name)
    (size,) = struct.unpack_from("<I", content, 12)
    tree = json.loads(content[20 : 20 + size])
    assert [node["name"] for node in tree["nodes"][1:]] == [body.name for body in frame.bodies]
    users = Counter(node["mesh"] for node in tree["nodes"][1:])
    arms = [b for b in frame.bodies if b.role == "plate" and b.owner == "arm"]
    meshes = {tree["nodes"][1 + frame.bodies.index(arm)]["mesh"] for arm in arms}
    assert len(meshes) == (1 if arms else 0)
    assert sum(users.values()) == len(frame.bodies)
    rotors = [node["translation"] for node, b in zip(tree["nodes"][1:], frame.bodies, strict=True) if b.role == "motor"]
    axes = sorted((round(r.x, 6), round(r.y, 6)) for r in frame.rotors)
    assert sorted((round(x * 1000, 6), round(y * 1000, 6)) for x, y, _ in rotors) == axes


def test_views_reach_as_far_as_the_propellers_and_hide_what_lies_below(frame, store):
    discs = [b for b in frame.bodies if b.role == "propeller"]
    view = project(frame.bodies, *VIEWS["plan"], store)
    reach = max(b.frame.origin[0] + b.solids[1].shape.radius for b in discs)
    assert max(y for line in view.visible for _, y in line) == pytest.approx(reach, abs=0.05)
    assert view.hidden
    highest = max(b.frame.origin[2] for b in discs)
    lifted = [replace(b, frame=replace(b.frame, origin=(*b.frame.origin[:2], b.frame.origin[2] + 50))) for b in discs]
    heights = [y for line in project(lifted, *VIEWS["front"], store).visible for _, y in line]
    assert min(heights) >= min(b.frame.origin[2] for b in discs) + 50 - 1e-6
    assert max(heights) >= highest + 50
