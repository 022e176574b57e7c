import pytest

from platewright.geometry.recognise.hints import layer_hint, linetype_hint


@pytest.mark.parametrize(
    "layer", ["0", "CUT", "cut_text", "Outline", "SKETCH1", "plate", "Holes", "remarkable", "dimmer"]
)
def test_names_that_say_nothing_are_cuts(layer):
    assert layer_hint(layer) is None or layer == "SKETCH1"


@pytest.mark.parametrize(
    ("layer", "meaning"),
    [
        ("BEND", "bend line"),
        ("Biegelinien", "bend line"),
        ("ENGRAVING_TOP", "engraving"),
        ("part text", "text"),
        ("Maße_Bemaßung", "dimension"),
        ("DIM", "dimension"),
        ("centre-lines", "construction line"),
        ("Border", "sheet border"),
        ("COUNTERSINK_UPPER", "construction line"),
    ],
)
def test_names_of_drawing_offices(layer, meaning):
    assert layer_hint(layer) == meaning


def test_line_types():
    assert [linetype_hint(t) for t in ("CONTINUOUS", "ByLayer", "HIDDEN2", "DashDotX2")] == [
        None,
        None,
        "hidden or bend line",
        "construction line",
    ]
