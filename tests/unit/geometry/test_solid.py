import math

import pytest

from platewright.foundation.errors import GeometryError
from platewright.geometry.build import build_outline
from platewright.geometry.kernel import kernel
from platewright.geometry.loops import Circle, outline_area, outline_properties
from platewright.geometry.sketch import CircleCut, Link, Node, Polygon, RectangleCut, Sketch, SlotCut
from platewright.geometry.solid import extrude, face

BASE = Sketch(
    nodes=(Node("a", 15.25, 15.25, 4), Node("b", 40, 12, 4), Node("c", 62, 0, 4), Node("d", 28, 22, 4)),
    links=(Link("a", "b", 7), Link("b", "c", 6), Link("a", "d", 8), Link("d", "b", 5)),
    polygons=(Polygon(((-17, -20), (17, -20), (17, 20), (-17, 20)), 3),),
    fillet=3,
    cuts=(RectangleCut(0, 0, 14, 10, 1.5), SlotCut(20, 17, 26, 19, 2), CircleCut(15.25, 15.25, 3.2)),
    mirror="xy",
)


@pytest.fixture(scope="module")
def base():
    return build_outline(BASE)


def test_kernel_agrees_on_the_area_to_1e_6(base):
    assert face(base).area == pytest.approx(outline_area(base), rel=1e-6)


def test_kernel_agrees_on_centroid_and_volume_of_a_plate(base):
    solid = extrude(base, 2.5)
    assert solid.volume == pytest.approx(2.5 * outline_area(base), rel=1e-6)
    own = outline_properties(base)
    centre = solid.center()
    assert pytest.approx((own.cx, own.cy, 1.25), abs=1e-5) == (centre.X, centre.Y, centre.Z)


def test_faces_of_a_plate_are_planes_and_cylinders_only(base):
    cad = kernel()
    kinds = {plane.geom_type for plane in extrude(base, 2.0).faces()}
    assert kinds == {cad.GeomType.PLANE, cad.GeomType.CYLINDER}


def test_kernel_joins_and_cuts_to_the_same_area():
    # The same union and cuts by the kernel's own booleans, without the fillet.
    cad = kernel()
    plain = Sketch(BASE.nodes, BASE.links, (), BASE.polygons, 0, BASE.cuts)
    solids = [face(build_outline(Sketch(polygons=BASE.polygons)))]
    solids += [face(build_outline(Sketch((node,)))) for node in BASE.nodes]
    bare = tuple(Node(n.id, n.x, n.y, 0) for n in BASE.nodes)
    solids += [face(build_outline(Sketch(bare, (link,)))) for link in BASE.links]
    shape = solids[0].fuse(*solids[1:])
    holes = [cad.Pos(0, 0) * cad.RectangleRounded(14, 10, 1.5), cad.Pos(15.25, 15.25) * cad.Circle(1.6)]
    turn = math.degrees(math.atan2(2, 6))
    holes.append(cad.Pos(23, 18) * cad.Rot(0, 0, turn) * cad.SlotCenterToCenter(math.hypot(6, 2), 2))
    for hole in holes:
        shape = shape - hole
    assert shape.area == pytest.approx(outline_area(build_outline(plain)), rel=1e-6)


def test_plate_without_thickness_is_refused(base):
    with pytest.raises(GeometryError, match="thickness must be greater than 0 mm"):
        extrude(base, -1)


def test_round_hole_is_one_full_cylinder(base):
    assert Circle(15.25, 15.25, 1.6) in base.circles
    cad = kernel()
    plain = [f for f in extrude(base, 2.0).faces().filter_by(cad.GeomType.CYLINDER) if abs(f.radius - 1.6) < 1e-9]
    assert len(plain) == 4


def test_kernel_closes_corners_to_the_same_area():
    cad = kernel()
    plain = Sketch(BASE.nodes, BASE.links, (), BASE.polygons, 0, mirror="xy")
    grown = cad.offset(face(build_outline(plain)), 3, kind=cad.Kind.ARC)
    closed = cad.offset(grown, -3, kind=cad.Kind.ARC)
    ours = build_outline(Sketch(BASE.nodes, BASE.links, (), BASE.polygons, 3, mirror="xy"))
    assert closed.area == pytest.approx(outline_area(ours), rel=1e-6)
