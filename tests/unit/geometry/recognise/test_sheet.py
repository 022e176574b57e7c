import pytest

from platewright.foundation.errors import GeometryError
from platewright.geometry.loops import Circle, outline_area
from platewright.geometry.recognise.sheet import sort_sheet


def square(size, x=0.0, y=0.0):
    corners = [(x, y), (x + size, y), (x + size, y + size), (x, y + size)]
    return [(corners[k], corners[(k + 1) % 4], 0.0) for k in range(4)]


def sorted_sheet(edges, circles=(), gap_tol=0.02, **options):
    return sort_sheet(edges, [0] * len(edges), list(circles), [0] * len(circles), gap_tol, **options)


def test_several_plates_with_openings_the_largest_first():
    sheet = sorted_sheet(square(10) + square(30, 20) + square(5, 25, 5), [Circle(40, 20, 2), Circle(5, 5, 1)])
    assert [len(p.openings) for p in sheet.plates] == [2, 1]
    assert outline_area(sheet.plates[0].outline) == pytest.approx(900 - 25 - 4 * 3.14159265, rel=1e-6)


def test_border_of_the_sheet_is_told_and_listed():
    sheet = sorted_sheet(square(100, -10, -10) + square(30) + square(20, 50), [Circle(10, 10, 2)])
    assert len(sheet.plates) == 2
    assert [r.what for r in sheet.remarks] == ["border of the sheet"]


def test_plate_with_an_island_in_its_window_can_be_asked_for():
    sheet = sorted_sheet(square(100) + square(60, 20, 20) + square(10, 45, 45), border=False)
    assert [len(p.openings) for p in sheet.plates] == [1, 0]


@pytest.mark.parametrize(
    ("extra", "what"),
    [
        ([((5, 5), (15, 5), 0.0)], "engraving?"),
        ([((0, 10), (40, 10), 0.0)], "bend line?"),
        ([((60, 0), (70, 0), 0.0)], "open line outside every plate"),
        ([((5, 0), (15, 0), 0.0)], None),
        ([((40, 20), (55, 20), 0.0)], "open line outside every plate"),
    ],
)
def test_open_lines_are_listed_by_where_they_lie(extra, what):
    sheet = sorted_sheet(square(40) + extra)
    assert len(sheet.plates) == 1
    assert [r.what for r in sheet.remarks] == ([what] if what else [])


def test_small_gaps_close_and_are_told():
    edges = [((0, 0.015), (40, 0), 0.0), *square(40)[1:]]
    sheet = sorted_sheet(edges)
    assert [round(g.width, 6) for g in sheet.gaps] == [0.015]


@pytest.mark.parametrize(
    ("edges", "word"),
    [
        ([], "nothing in it can be cut"),
        (square(40)[:3], r"no edges form a closed loop; one ends at .* 40\.0000 mm away"),
        (square(40)[:3] + square(5, 10, 10), r"an outline round other loops is open"),
        ([*square(40)[:3], ((0, 40), (0, 0.5), 0.0), *square(5, 10, 10)], r"0\.5000 mm away"),
        (square(40) + square(40, 20, 20), "must not cross or touch"),
        (
            [((0, 0), (40, 40), 0.0), ((40, 40), (40, 0), 0.0), ((40, 0), (0, 30), 0.0), ((0, 30), (0, 0), 0.0)],
            "cross itself",
        ),
        ([*square(40), ((40, 0), (60, 20), 0.0), ((60, 20), (40, 40), 0.0), *square(5, 10, 10)], "3 edges meet"),
    ],
)
def test_what_is_no_plate_is_refused_with_its_place(edges, word):
    with pytest.raises(GeometryError, match=word):
        sorted_sheet(edges)
