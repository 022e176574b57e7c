"""Bodies of plates and of the hardware on the bolt lines, placed at the heights the columns give."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Hexagon, Plate, Shape, Solid, Vector, lying
from platewright.assembly.heights import Levels
from platewright.assembly.instances import Instance
from platewright.assembly.lines import Line
from platewright.assembly.screws import Fit, ScrewFit, StudFit
from platewright.assembly.standing import foot_height, standing_faces, top_height
from platewright.geometry.loops import Outline
from platewright.model.catalogue.fasteners import Nut, Washer
from platewright.model.catalogue.hardware import Spacer, Standoff
from platewright.model.stack import ItemKind

__all__ = ["hardware_bodies", "line_frame", "line_point", "plate_bodies", "plate_frame"]

_BORE_PLAY = 0.1  # radius by which drawn bores clear their screw, so that pictures show no overlap [mm]


def plate_bodies(
    instances: Mapping[str, Instance], outlines: Mapping[str, Outline], levels: Levels
) -> tuple[Body, ...]:
    """Return one body per placed part."""
    return tuple(
        Body(
            i.name,
            "plate",
            f"part {i.part.id}",
            plate_frame(i, instances, levels),
            (Solid(Plate(outlines[i.part.id], i.part.thickness_mm)),),
            i.place.id,
        )
        for i in instances.values()
    )


def plate_frame(instance: Instance, instances: Mapping[str, Instance], levels: Levels) -> Frame3:
    """Frame of a placed part: its own axes and its lower face; turned over, the third axis looks down."""
    t = instance.to_plane
    u2 = (t.cos, t.sin)
    v2 = (t.sin, -t.cos) if t.flip else (-t.sin, t.cos)
    if instance.normal == "z":
        level = levels.built[instance.name]
        height = level.at(t.tx, t.ty).nominal + (instance.part.thickness_mm if t.flip else 0.0)
        return lying((t.tx, t.ty, height), u2, v2, level.slope)
    near, far = standing_faces(instance, levels)
    point = (t.tx, (near + far) / 2) if instance.normal == "y" else ((near + far) / 2, t.tx)
    z = foot_height(instance, instances, levels, point) + t.ty
    # x cross z is -y, y cross z is +x: the lower face of an "xz" plate is the far one
    if instance.normal == "y":
        return Frame3((t.tx, near if t.flip else far, z), (u2[0], 0.0, u2[1]), (v2[0], 0.0, v2[1]))
    return Frame3((far if t.flip else near, t.tx, z), (0.0, u2[0], u2[1]), (0.0, v2[0], v2[1]))


def line_point(line: Line, instances: Mapping[str, Instance], levels: Levels, along: float) -> Vector:
    """Return the point of a line at a position along its axis [mm]."""
    if line.axis == "z":
        return line.a, line.b, along
    if line.axis == "y":
        return line.a, along, top_height(line.foot, instances, levels, (line.a, 0.0)) + line.b
    return along, line.a, top_height(line.foot, instances, levels, (0.0, line.a)) + line.b


def line_frame(line: Line, instances: Mapping[str, Instance], levels: Levels, along: float, step: int) -> Frame3:
    """Return a frame on a line whose third axis looks along +axis (step 1) or back (step -1)."""
    origin = line_point(line, instances, levels, along)
    u, v = {
        "z": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        "y": ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
        "x": ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    }[line.axis]
    return Frame3(origin, u, v) if step > 0 else Frame3(origin, u, (-v[0], -v[1], -v[2]))


def hardware_bodies(
    lines: Sequence[Line], fits: Sequence[Fit], instances: Mapping[str, Instance], levels: Levels
) -> tuple[Body, ...]:
    """Return bodies of all fitted screws, nuts, washers, standoffs and spacers."""
    fitted = {(s.line.name, s.index): s for s in fits}
    made: list[Body] = []
    for line in lines:
        if not line.fitted:
            continue
        for n, item in enumerate(line.items):
            span = levels.spans[line.name][n]
            name = f"{line.name}#{n + 1}"
            if span is None:
                continue
            screw = fitted.get((line.name, n))
            if isinstance(screw, ScrewFit):
                frame = line_frame(line, instances, levels, span.start.nominal, screw.direction)
                made.append(Body(name, "screw", _screw_key(screw), frame, _screw(screw), line.owner, line.name))
            elif item.word.kind not in (ItemKind.THING, ItemKind.GAP, ItemKind.SCREW):
                frame = line_frame(line, instances, levels, span.start.nominal, 1)
                height = span.end.nominal - span.start.nominal
                solids = [Solid(_shape(item.record, height, item.word.size))]
                if isinstance(screw, StudFit):
                    solids.append(_stud(screw, height))
                key = item.word.text + (" down" if isinstance(screw, StudFit) and screw.direction < 0 else "")
                made.append(Body(name, item.word.kind.value, key, frame, tuple(solids), line.owner, line.name))
    return tuple(made)


def _screw_key(screw: ScrewFit) -> str:
    size, style, grade, length = screw.size_key
    return f"screw {size}x{length:g} {style} {grade}"


def _screw(screw: ScrewFit) -> tuple[Solid, ...]:
    head = Cylinder(screw.screw.head_d_max_mm / 2, screw.screw.head_h_max_mm)
    shank = Cylinder(screw.thread.d_mm / 2, screw.length)
    if screw.screw.length_includes_head:  # drawn as a plain disc of the head's height, sunk into the plate
        sunk = Cylinder(screw.screw.head_d_max_mm / 4 + screw.thread.d_mm / 4, screw.screw.head_h_max_mm)
        return Solid(sunk), Solid(shank)
    return Solid(head, -screw.screw.head_h_max_mm), Solid(shank)


def _stud(stud: StudFit, height: float) -> Solid:
    """Return the stud of a standoff of some height, beyond the end it points from."""
    shape = Cylinder(stud.thread.d_mm / 2, stud.length)
    return Solid(shape, height if stud.direction > 0 else -stud.length)


def _shape(record: object, height: float, size: str) -> Shape:
    bore = float(size.removeprefix("M")) / 2 + _BORE_PLAY
    if isinstance(record, Nut) and record.across_flats_max_mm is not None:
        return Hexagon(record.across_flats_max_mm, height, bore)
    if isinstance(record, Nut):
        return Cylinder((record.flange_d_max_mm or 0.0) / 2, height, bore)
    if isinstance(record, Washer):
        return Cylinder(record.outer_d_max_mm / 2, height, bore)
    if isinstance(record, Standoff | Spacer):
        return Cylinder(record.outer_d_mm / 2, height, bore)
    return Box(1.0, 1.0, height)
