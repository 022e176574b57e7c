"""The STEP file, read back by the kernel."""

import math

import pytest

from platewright.assembly.bodies import Body, Box, Cylinder, Frame3, Hexagon, Plate, Solid
from platewright.foundation.errors import OutputError
from platewright.geometry.loops import Circle, Loop, Outline, outline_area
from platewright.io.colours import ROLE_COLOURS
from platewright.io.kernel import occ
from platewright.io.solids import FIXED_TIME, ShapeStore, write_step

OUTLINE = Outline(Loop(((-30, -15, 0), (30, -15, 1), (30, 15, 0), (-30, 15, 1))), (), (Circle(-25, 0, 1.6),))
PLATE = (Solid(Plate(OUTLINE, 2.5)),)
SCREW = (Solid(Cylinder(2.75, 3.0), -3.0), Solid(Cylinder(1.5, 12.0)))
NUT = (Solid(Hexagon(5.5, 2.4, 1.6), 8.0),)
DISC = (Solid(Cylinder(4.0, 6.0)), Solid(Cylinder(60.0, 1.0), 2.5))

BODIES = (
    Body("deck", "plate", "part deck", Frame3((0, 0, 10)), PLATE, "deck"),
    Body("arm.1", "plate", "part arm", Frame3((50, 40, 0), (0, 1, 0), (-1, 0, 0)), PLATE, "arm"),
    Body("arm.2", "plate", "part arm", Frame3((50, -40, 2.5), (0, 1, 0), (1, 0, 0)), PLATE, "arm"),
    Body("post.1#1", "screw", "screw M3x12", Frame3((0, 0, 12.5), (1, 0, 0), (0, -1, 0)), SCREW, "post"),
    Body("post.2#1", "screw", "screw M3x12", Frame3((9, 0, 12.5), (0, 0, 1), (1, 0, 0)), SCREW, "post"),
    Body("post.1#2", "nut", "nut M3", Frame3((0, 5, 0)), NUT, "post"),
    Body("propeller.1", "propeller", "prop", Frame3((80, 80, 30)), DISC, "propeller"),
    Body("pack", "battery", "pack", Frame3((0, 0, 40)), (Solid(Box(70, 35, 30)),), "pack"),
)


@pytest.fixture(scope="module")
def step(tmp_path_factory):
    path = tmp_path_factory.mktemp("step") / "frame.step"
    write_step(path, BODIES, name="Heddle Ø")
    return path


@pytest.fixture(scope="module")
def document(step):
    words = occ("TCollection").TCollection_ExtendedString
    held = occ("TDocStd").TDocStd_Document(words("XmlOcaf"))
    occ("XCAFApp").XCAFApp_Application.GetApplication_s().NewDocument(words("BinXCAF"), held)
    reader = occ("STEPCAFControl").STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    assert reader.ReadFile(str(step)) == occ("IFSelect").IFSelect_ReturnStatus.IFSelect_RetDone
    assert reader.Transfer(held)
    return held


@pytest.fixture(scope="module")
def tools(document):
    tool = occ("XCAFDoc").XCAFDoc_DocumentTool
    return tool.ShapeTool_s(document.Main()), tool.ColorTool_s(document.Main())


@pytest.fixture(scope="module")
def components(tools):
    """Name of each instance, with its label and the label of what it is an instance of."""
    shapes, _ = tools
    (root,) = labels(shapes.GetFreeShapes)
    found = {}
    for label in labels(lambda sequence: shapes.GetComponents_s(root, sequence)):
        target = occ("TDF").TDF_Label()
        assert shapes.GetReferredShape_s(label, target)
        found[name_of(label)] = (label, target)
    return found


def labels(fill):
    sequence = occ("collections").Sequence_TDF_Label()
    fill(sequence)
    return [sequence.Value(k + 1) for k in range(sequence.Length())]


def name_of(label):
    attribute = occ("TDataStd").TDataStd_Name()
    assert label.FindAttribute(attribute.GetID_s(), attribute)
    return attribute.Get().ToExtString()


def volume(shape):
    properties = occ("GProp").GProp_GProps()
    occ("BRepGProp").BRepGProp.VolumeProperties_s(shape, properties)
    return properties.Mass()


def bounds(shape):
    box = occ("Bnd").Bnd_Box()
    occ("BRepBndLib").BRepBndLib.AddOptimal_s(shape, box, True, False)
    low, high = box.CornerMin(), box.CornerMax()
    return [(round(a, 5), round(b, 5)) for a, b in ((low.X(), high.X()), (low.Y(), high.Y()), (low.Z(), high.Z()))]


def test_every_body_is_a_named_instance(tools, components):
    (root,) = labels(tools[0].GetFreeShapes)
    assert name_of(root) == "Heddle Ø"
    assert list(components) == [body.name for body in BODIES]


def test_copies_share_one_definition(components, step):
    targets = {name: name_of(target) for name, (_, target) in components.items()}
    assert targets == {body.name: body.key for body in BODIES}
    assert components["arm.1"][1].IsEqual(components["arm.2"][1])
    text = step.read_text()
    assert text.count("MANIFOLD_SOLID_BREP(") == len({body.key for body in BODIES})
    assert text.count("NEXT_ASSEMBLY_USAGE_OCCURRENCE(") == len(BODIES)


def test_every_definition_has_the_colour_of_its_role(tools, components):
    quantity, kind = occ("Quantity"), occ("XCAFDoc").XCAFDoc_ColorType.XCAFDoc_ColorSurf
    for body in BODIES:
        read = quantity.Quantity_ColorRGBA()
        shape = tools[0].GetShape_s(components[body.name][1])
        assert tools[1].GetColor(shape, kind, read), body.name
        expected = ROLE_COLOURS[body.role]
        rgb = read.GetRGB().Values(quantity.Quantity_TOC_sRGB)
        assert rgb == pytest.approx(expected.srgb, abs=1e-4)
        assert read.Alpha() == pytest.approx(expected.opacity, abs=1e-4)


def test_volumes_agree_with_closed_forms(tools, components):
    hexagon = math.sqrt(3) / 2 * 5.5**2
    expected = {
        "deck": 2.5 * outline_area(OUTLINE),
        "arm.2": 2.5 * outline_area(OUTLINE),
        "post.1#1": math.pi * (2.75**2 * 3 + 1.5**2 * 12),
        "post.1#2": 2.4 * (hexagon - math.pi * 1.6**2),
        "propeller.1": math.pi * (4**2 * 5 + 60**2),
        "pack": 70 * 35 * 30,
    }
    for name, value in expected.items():
        assert volume(tools[0].GetShape_s(components[name][0])) == pytest.approx(value, rel=1e-6), name


def test_instances_stand_where_the_bodies_are(tools, components):
    place = {name: bounds(tools[0].GetShape_s(label)) for name, (label, _) in components.items()}
    assert place["arm.1"] == [(35, 65), (-5, 85), (0, 2.5)]
    assert place["arm.2"] == [(35, 65), (-85, 5), (0, 2.5)]  # turned over: its upper face looks down
    assert place["post.1#1"] == [(-2.75, 2.75), (-2.75, 2.75), (0.5, 15.5)]  # points down, head above
    assert place["post.2#1"] == [(6.25, 11.75), (-3, 12), (9.75, 15.25)]  # points left
    assert place["post.1#2"][0] == (-2.75, 2.75)  # two flats face x
    assert place["post.1#2"][2] == (8, 10.4)


def test_same_bodies_give_same_bytes(step, tmp_path):
    write_step(tmp_path / "again.step", BODIES, name="Heddle Ø")
    assert (tmp_path / "again.step").read_bytes() == step.read_bytes()


def test_header_names_no_user_and_a_fixed_time(step):
    header = step.read_text(encoding="ascii").split("ENDSEC;")[0]
    assert FIXED_TIME in header
    assert "FILE_NAME('Heddle _'" in header
    assert "Author" not in header
    assert "Unknown" not in header


def test_lengths_are_in_millimetres(step):
    assert "SI_UNIT(.MILLI.,.METRE.)" in step.read_text()


def test_each_shape_is_made_once():
    store = ShapeStore()
    assert store.shape(BODIES[1]) is store.shape(BODIES[2])
    assert store.shape(BODIES[0]) is not store.shape(BODIES[1])


def test_nothing_is_printed(tmp_path, capfd):
    write_step(tmp_path / "quiet.step", BODIES[:1])
    assert capfd.readouterr() == ("", "")


def test_folder_that_does_not_exist_is_an_output_error(tmp_path):
    with pytest.raises(OutputError, match=r"quiet\.step' cannot be written"):
        write_step(tmp_path / "none" / "quiet.step", BODIES[:1])
