"""Plates drawn and written as DXF by FreeCAD: run `freecadcmd freecad_plates.py` in this folder.

Debian package freecad 0.20.2+dfsg1-4+deb12u1. The plates are invented. Areas are those of FreeCAD's own faces, hole
counts those of their wires; both go to ../freecad.csv. On free-form edges FreeCAD's face area is 8e-5 off its own
curves, so the area of the leaf is that between 20 000 points which FreeCAD gives on each wire; for R12, to which
FreeCAD writes chords, it is the area of the face that FreeCAD makes of the file when it reads it back.
FreeCAD writes six digits, so corners were chosen that have no more.
"""

import csv
import math
from pathlib import Path

import FreeCAD
import Import
import Part

OUT = Path.cwd().parent
VECTOR = FreeCAD.Vector


def disc(x, y, radius):
    return Part.Face(Part.Wire(Part.makeCircle(radius, VECTOR(x, y, 0))))


def polygon(points):
    return Part.Face(Part.makePolygon([VECTOR(x, y, 0) for x, y in [*points, points[0]]]))


def band(p, q, width):
    (x0, y0), (x1, y1) = p, q
    length = math.dist(p, q)
    nx, ny = -(y1 - y0) / length * width / 2, (x1 - x0) / length * width / 2
    return polygon([(x0 - nx, y0 - ny), (x1 - nx, y1 - ny), (x1 + nx, y1 + ny), (x0 + nx, y0 + ny)])


def slot(x, y, length, width, along_y=False):
    half = (length - width) / 2
    dx, dy = (0, half) if along_y else (half, 0)
    parts = [disc(x - dx, y - dy, width / 2), disc(x + dx, y + dy, width / 2)]
    return joined([*parts, band((x - dx, y - dy), (x + dx, y + dy), width)])


def joined(faces):
    return faces[0].multiFuse(faces[1:]).removeSplitter().Faces[0]


def pierced(face, openings):
    return face.cut(Part.makeCompound(openings)).Faces[0]


def cross(x, y, distance, radius, turn_deg):
    return [
        disc(
            x + distance / 2 * math.cos(math.radians(turn_deg + 90 * k)),
            y + distance / 2 * math.sin(math.radians(turn_deg + 90 * k)),
            radius,
        )
        for k in range(4)
    ]


def tray():
    """A one-piece base: four 12 x 12 motor pads, a 25.5 board turned 45 degrees, two strap slots, four standoffs."""
    tips = [(sx * 52, sy * 47) for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1))]
    body = [polygon([(-38, -13), (38, -13), (44, 0), (38, 13), (-38, 13), (-44, 0)])]
    body += [band((0.3 * x, 0.2 * y), (x, y), 9.5) for x, y in tips]
    body += [disc(x, y, 9.5) for x, y in tips]
    body += [disc(0, 21, 5), disc(0, -21, 5), polygon([(-9, -20), (9, -20), (9, 20), (-9, 20)])]
    openings = []
    for x, y in tips:
        turn = math.degrees(math.atan2(y, x))
        openings += [*cross(x, y, 12, 1.1, turn + 45), disc(x, y, 3)]
    openings += cross(0, 0, 25.5 * math.sqrt(2), 1.1, 0)
    openings += [disc(x, y, 1.6) for x in (-30, 30) for y in (-9, 9)]
    openings += [slot(0, 10.5, 16.5, 3), slot(0, -10.5, 16.5, 3), disc(-39.5, 0, 1.25)]
    return pierced(joined(body), openings)


def leaf():
    """A top deck with a free-form edge and an oval window, on a 20 x 20 pattern and two pairs of standoffs."""
    half = [(48, 0), (44, 11), (30, 17), (8, 14), (-12, 15), (-34, 19), (-47, 12), (-52, 0)]
    points = [VECTOR(x, y, 0) for x, y in half] + [VECTOR(x, -y, 0) for x, y in half[-2:0:-1]]
    curve = Part.BSplineCurve()
    curve.interpolate(points, PeriodicFlag=True)
    edge = Part.Face(Part.Wire(curve.toShape()))
    window = Part.Face(Part.Wire(Part.Ellipse(VECTOR(0, 0, 0), 8.5, 5.0).toShape()))
    window.translate(VECTOR(24, 0, 0))
    openings = [window, *cross(-18, 0, 20 * math.sqrt(2), 1.1, 45)]
    openings += [disc(x, y, 1.6) for x in (-42, 40) for y in (-8.5, 8.5)]
    return pierced(edge, openings)


def arm():
    """An arm: a 16 x 16 motor pad, two bolts at its root."""
    body = joined([band((0, 0), (92, 0), 15), disc(0, 0, 8.5), disc(92, 0, 12.5)])
    return pierced(body, [*cross(92, 0, 16, 1.6, 45), disc(92, 0, 4), disc(0, 0, 1.6), disc(16, 0, 1.6)])


def cheek():
    """A camera side plate: a pivot and a curved slot."""
    ring = disc(0, 0, 10).cut(disc(0, 0, 7.5)).cut(polygon([(-20, -20), (20, -20), (20, 6), (-20, 6)]))
    body = joined([polygon([(-12, -15), (12, -15), (12, 9), (-12, 9)]), disc(0, 9, 12)])
    return pierced(body, [disc(0, 0, 1.1), ring.Faces[0]])


def sheet():
    """Four arms and two cheeks on one sheet, one cheek mirrored."""
    made = [arm() for _ in range(4)]
    for k, piece in enumerate(made):
        piece.translate(VECTOR(0, 30 * k, 0))
    left = cheek()
    right = left.mirror(VECTOR(0, 0, 0), VECTOR(1, 0, 0)).Faces[0]
    left.translate(VECTOR(135, 20, 0))
    right.translate(VECTOR(135, 60, 0))
    return [*made, left, right]


def write(name, faces, version, polylines, area=None):
    document = FreeCAD.newDocument("plates")
    objects = []
    for face in faces:
        feature = document.addObject("Part::Feature", "plate")
        feature.Shape = face
        objects.append(feature)
    document.recompute()
    Import.writeDXFObject(objects, str(OUT / name), version, polylines)
    FreeCAD.closeDocument(document.Name)
    area = area(name, faces[0]) if area else sum(face.Area for face in faces)
    return [name, f"{area:.9f}", len(faces), sum(len(face.Wires) - 1 for face in faces)]


def by_points(_, face):
    areas = []
    for wire in face.Wires:
        p = wire.discretize(Number=20000)
        areas.append(abs(sum(a.x * b.y - b.x * a.y for a, b in zip(p, [*p[1:], p[0]], strict=True))) / 2)
    return 2 * max(areas) - sum(areas)


def read_back(name, _):
    document = FreeCAD.newDocument("back")
    Import.readDXF(str(OUT / name), document.Name)
    edges = [edge for item in document.Objects for edge in item.Shape.Edges]
    face = Part.makeFace([Part.Wire(group) for group in Part.sortEdges(edges)], "Part::FaceMakerBullseye")
    area = face.Area
    FreeCAD.closeDocument(document.Name)
    return area


rows = [
    write("tray_freecad_r12.dxf", [tray()], 12, False),
    write("tray_freecad_r14.dxf", [tray()], 14, True),
    write("leaf_freecad_r12.dxf", [leaf()], 12, False, read_back),
    write("leaf_freecad_r14.dxf", [leaf()], 14, False, by_points),
    write("sheet_freecad_r14.dxf", sheet(), 14, True),
]
with (OUT / "freecad.csv").open("w", newline="") as file:
    csv.writer(file, lineterminator="\n").writerows([["file", "area_mm2", "plates", "holes"], *rows])
