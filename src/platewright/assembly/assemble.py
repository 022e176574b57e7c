"""The whole chain in one call: a design becomes placed parts, columns, levels, screws, holes, outlines and bodies."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from platewright.assembly.bodies import Body
from platewright.assembly.equipment import equipment_bodies
from platewright.assembly.heights import Levels
from platewright.assembly.holes import PartHoles, holes_of
from platewright.assembly.instances import Instance, instances_of
from platewright.assembly.levels import solve_levels
from platewright.assembly.lines import Line, lines_of
from platewright.assembly.placing import hardware_bodies, plate_bodies
from platewright.assembly.screws import ScrewFit, StudFit, fit_screws, fit_studs
from platewright.assembly.sketches import TabJoint, tab_joints, unfinished_sketches
from platewright.assembly.stance import Rotor, rotor_axes, rotors_of
from platewright.foundation.errors import GeometryError
from platewright.geometry.build import cut_loop
from platewright.geometry.holes import pierce
from platewright.geometry.loops import Outline, PlaneProperties, outline_properties
from platewright.geometry.probe import Probe, distances_beside, probe_of
from platewright.geometry.sketch import Sketch
from platewright.model.catalogue import Catalogue
from platewright.model.design import Design, Part

__all__ = ["Assembly", "FinishedPart", "Skeleton", "assemble", "level_names", "skeleton"]


@dataclass(frozen=True)
class Skeleton:
    """What follows from columns alone, without any outline: enough for every height and screw."""

    rotors: tuple[Rotor, ...]
    axes: tuple[tuple[float, float], ...]
    instances: Mapping[str, Instance]
    lines: tuple[Line, ...]
    levels: Levels


@dataclass(frozen=True)
class FinishedPart:
    """A part as it is cut.

    Parameters
    ----------
    part : Part
        The record.
    outline : Outline
        With all its holes and slots [mm].
    blank : Outline
        Before column holes [mm].
    holes : PartHoles
        What asks for which hole.
    touching : tuple of int
        Numbers of holes that meet an edge or another opening (holes first, then slots).
    quantity : int
        Places it fills in one frame.
    """

    part: Part
    outline: Outline
    blank: Outline
    holes: PartHoles
    touching: tuple[int, ...]
    quantity: int

    @cached_property
    def probe(self) -> Probe:
        """The cut part, ready for questions about points."""
        return probe_of(self.outline)

    @cached_property
    def figure(self) -> PlaneProperties:
        """Area, centroid and second moments of the cut part."""
        return outline_properties(self.outline)

    @cached_property
    def centred(self) -> tuple[bool, ...]:
        """Whether the centre of each hole lies in the part before its holes."""
        centres = [(h.x, h.y) for h in self.holes.holes]
        return tuple(probe_of(self.blank).contains(centres).tolist()) if centres else ()

    @cached_property
    def plate_beside(self) -> tuple[float, ...]:
        """Least width of plate beside each hole; 0 for one that touches something or lies outside [mm]."""
        holes = self.holes.holes
        if not holes:
            return ()
        edges = distances_beside(self.outline, tuple((h.x, h.y) for h in holes))
        whole = [n not in self.touching and inside for n, inside in enumerate(self.centred)]
        return tuple(e - h.diameter / 2 if w else 0.0 for e, h, w in zip(edges, holes, whole, strict=True))


@dataclass(frozen=True)
class Assembly:
    """Everything that follows from a design and the catalogue."""

    design: Design
    catalogue: Catalogue
    rotors: tuple[Rotor, ...]
    axes: tuple[tuple[float, float], ...]
    instances: Mapping[str, Instance]
    lines: tuple[Line, ...]
    levels: Levels
    screws: tuple[ScrewFit, ...]
    studs: tuple[StudFit, ...]
    tabs: tuple[TabJoint, ...]
    parts: Mapping[str, FinishedPart]
    bodies: tuple[Body, ...]

    @cached_property
    def bodies_by_key(self) -> Mapping[tuple[str, str], tuple[Body, ...]]:
        """Bodies by their key and owner, in order."""
        found: dict[tuple[str, str], list[Body]] = {}
        for body in self.bodies:
            found.setdefault((body.key, body.owner), []).append(body)
        return {name: tuple(bodies) for name, bodies in found.items()}


def skeleton(design: Design, catalogue: Catalogue) -> Skeleton:
    """Return rotors, instances, lines and levels of a design.

    Raises
    ------
    LevelError
        If a place has no height.
    ValueError
        If the rotors are not given in one way.
    """
    axes = rotor_axes(design.rotors, design.place)
    rotors = rotors_of(design.rotors, design.place)
    instances = instances_of(design, axes)
    lines = lines_of(design, catalogue, instances, rotors)
    return Skeleton(rotors, axes, instances, lines, solve_levels(lines, instances))


def level_names(bones: Skeleton) -> dict[str, float]:
    """Heights that expressions may use: `level.<place>.bottom_mm` and `.top_mm`, at the place's own origin [mm].

    Rounded to a picometre, so that a part drawn from them is the same part in every frame that has them.
    """
    names: dict[str, float] = {}
    for instance in bones.instances.values():
        if instance.normal != "z" or f"level.{instance.place.id}.bottom_mm" in names:
            continue
        bottom = bones.levels.level[instance.name].at(instance.to_plane.tx, instance.to_plane.ty).nominal
        names[f"level.{instance.place.id}.bottom_mm"] = round(bottom, 9) + 0.0
        names[f"level.{instance.place.id}.top_mm"] = round(bottom + instance.part.thickness_mm, 9) + 0.0
    return names


def assemble(
    design: Design,
    catalogue: Catalogue,
    build: Callable[[Sketch], Outline],
    drawings: Mapping[str, Outline] | None = None,
    bones: Skeleton | None = None,
) -> Assembly:
    """Assemble a design.

    Parameters
    ----------
    design : Design
        Resolved and with valid references.
    catalogue : Catalogue
        Hardware and equipment.
    build : callable
        Gives the outline of a sketch; usually `OutlineCache.get_or_build`.
    drawings : mapping of str to Outline, optional
        Outlines of parts that have a drawing of their own, by part id [mm].
    bones : Skeleton, optional
        If it is already known.

    Raises
    ------
    GeometryError
        If an outline cannot be built; the message names the part.
    """
    bones = bones or skeleton(design, catalogue)
    tabs = tab_joints(design, bones.instances, bones.levels)
    sketches = unfinished_sketches(design, bones.instances, tabs)
    holes = holes_of(design, catalogue, bones.instances, bones.lines, bones.axes, bones.levels)
    parts = {
        part.id: _finish(part, sketches, drawings or {}, build, holes[part.id], bones.instances) for part in design.part
    }
    screws = fit_screws(bones.lines, bones.levels, catalogue, design.checks)
    studs = fit_studs(bones.lines, bones.levels, catalogue, design.checks)
    outlines = {name: finished.outline for name, finished in parts.items()}
    bodies = (
        *plate_bodies(bones.instances, outlines, bones.levels),
        *hardware_bodies(bones.lines, (*screws, *studs), bones.instances, bones.levels),
        *equipment_bodies(design, catalogue, bones.instances, bones.lines, bones.levels, bones.rotors),
    )
    return Assembly(
        design,
        catalogue,
        bones.rotors,
        bones.axes,
        bones.instances,
        bones.lines,
        bones.levels,
        screws,
        studs,
        tabs,
        parts,
        bodies,
    )


def _finish(
    part: Part,
    sketches: Mapping[str, Sketch],
    drawings: Mapping[str, Outline],
    build: Callable[[Sketch], Outline],
    holes: PartHoles,
    instances: Mapping[str, Instance],
) -> FinishedPart:
    try:
        blank = drawings[part.id] if part.id in drawings else build(sketches[part.id])
        circles = [hole.circle for hole in holes.holes]
        outline, touching = pierce(blank, circles, [cut_loop(slot) for slot in holes.slots])
    except GeometryError as error:
        msg = f"part '{part.id}' cannot be built: {error}"
        raise GeometryError(msg) from error
    quantity = sum(1 for i in instances.values() if i.part.id == part.id)
    return FinishedPart(part, outline, blank, holes, touching, quantity)
