"""Solids of the CAD kernel from bodies, and the STEP file of a whole frame.

Bodies that are copies of one another share one shape; in the STEP file that is one definition with its instances. The
file is in mm, in the frame's own axes (x forward, y left, z up), AP214. The same bodies give the same bytes: the header
holds a fixed time and no user.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from platewright.assembly.bodies import Body, Frame3, Solid, profile_of
from platewright.foundation.errors import OutputError
from platewright.geometry.solid import extrude
from platewright.io.colours import ROLE_COLOURS, Colour, colour_of
from platewright.io.kernel import occ
from platewright.io.step_text import finished_step

__all__ = ["FIXED_TIME", "ShapeStore", "location", "write_step"]

FIXED_TIME = "2000-01-01T00:00:00"


class ShapeStore:
    """Shapes of the kernel, each made once and shared by all bodies that are copies of one another."""

    def __init__(self) -> None:
        self._shapes: dict[tuple[str, tuple[Solid, ...]], Any] = {}

    def shape(self, body: Body) -> Any:
        """Return the kernel's shape of a body in the body's own frame [mm]."""
        key = (body.key, body.solids)
        if key not in self._shapes:
            self._shapes[key] = _fused([_extruded(solid) for solid in body.solids])
        return self._shapes[key]

    def placed(self, body: Body) -> Any:
        """Return the kernel's shape of a body where it is [mm]."""
        return self.shape(body).Located(location(body.frame))


def location(frame: Frame3) -> Any:
    """Return the kernel's location of a frame."""
    gp = occ("gp")
    system = gp.gp_Ax3(gp.gp_Pnt(*frame.origin), gp.gp_Dir(*frame.n), gp.gp_Dir(*frame.u))
    motion = gp.gp_Trsf()
    motion.SetTransformation(system, gp.gp_Ax3())
    return occ("TopLoc").TopLoc_Location(motion)


def write_step(
    path: Path,
    bodies: Sequence[Body],
    colours: Mapping[str, Colour] = ROLE_COLOURS,
    *,
    name: str = "frame",
    store: ShapeStore | None = None,
) -> None:
    """Write all bodies as one STEP assembly with names and colours.

    Parameters
    ----------
    path : Path
        The file.
    bodies : sequence of Body
        What the frame consists of.
    colours : mapping of str to Colour, optional
        Colour of each role.
    name : str
        Name of the whole.
    store : ShapeStore, optional
        Shapes already made.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    document = _document(bodies, name, store or ShapeStore())
    occ("STEPControl").STEPControl_Controller.Init_s()
    occ("Interface").Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)  # curves in space are enough
    writer = occ("STEPCAFControl").STEPCAFControl_Writer()
    writer.SetColorMode(False)
    writer.SetNameMode(True)
    writer.Transfer(document, occ("STEPControl").STEPControl_StepModelType.STEPControl_AsIs)
    _fix_header(writer.Writer().Model(), name)
    done = occ("IFSelect").IFSelect_ReturnStatus.IFSelect_RetDone
    with tempfile.TemporaryDirectory() as folder:
        draft = Path(folder) / "frame.step"
        if writer.Write(str(draft)) != done:
            msg = f"'{path}' cannot be written: the CAD kernel could not express the frame as STEP."
            raise OutputError(msg)
        text = draft.read_text(encoding="utf-8")
    paints = {body.key: colour_of(body.role, colours) for body in bodies}
    try:
        path.write_text(finished_step(text, paints), encoding="ascii", newline="\n")
    except OSError as error:
        msg = f"'{path}' cannot be written: {error.strerror}; choose a folder that can be written to."
        raise OutputError(msg) from error


def _extruded(solid: Solid) -> Any:
    """Return a prism whose position is part of its geometry, so that the shape itself stands at the origin."""
    outline, height = profile_of(solid.shape), solid.shape.height
    shape = extrude(outline, height).wrapped.Located(occ("TopLoc").TopLoc_Location())
    if solid.offset == 0:
        return shape
    gp = occ("gp")
    shift = gp.gp_Trsf()
    shift.SetTranslation(gp.gp_Vec(0.0, 0.0, solid.offset))
    return occ("BRepBuilderAPI").BRepBuilderAPI_Transform(shape, shift, True).Shape()


def _fused(shapes: Sequence[Any]) -> Any:
    whole = shapes[0]
    for shape in shapes[1:]:
        whole = occ("BRepAlgoAPI").BRepAlgoAPI_Fuse(whole, shape).Shape()
    return whole


def _document(bodies: Sequence[Body], name: str, store: ShapeStore) -> Any:
    """Return the kernel's document: one assembly whose components refer to shared definitions."""
    words, xcaf = occ("TCollection").TCollection_ExtendedString, occ("XCAFDoc")
    document = occ("TDocStd").TDocStd_Document(words("XmlOcaf"))
    occ("XCAFApp").XCAFApp_Application.GetApplication_s().NewDocument(words("BinXCAF"), document)
    shapes = xcaf.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    shapes.SetAutoNaming_s(False)
    give_name = occ("TDataStd").TDataStd_Name.Set_s
    whole = shapes.NewShape()
    give_name(whole, words(name, True))
    definitions: dict[tuple[str, tuple[Solid, ...]], Any] = {}
    for body in bodies:
        key = (body.key, body.solids)
        if key not in definitions:
            definitions[key] = shapes.AddShape(store.shape(body), False)
            give_name(definitions[key], words(body.key, True))
        component = shapes.AddComponent(whole, definitions[key], location(body.frame))
        give_name(component, words(body.name, True))
    shapes.UpdateAssemblies()
    return document


def _fix_header(model: Any, name: str) -> None:
    text = occ("TCollection").TCollection_HAsciiString
    header = occ("APIHeaderSection").APIHeaderSection_MakeHeader(model)
    header.SetName(text(re.sub(r"[^ -~]|'", "_", name)))
    header.SetTimeStamp(text(FIXED_TIME))
    header.SetAuthorValue(1, text(""))
    header.SetOrganizationValue(1, text(""))
    header.SetAuthorisation(text(""))
    header.SetOriginatingSystem(text("platewright"))
