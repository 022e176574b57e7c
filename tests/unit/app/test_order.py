"""The package for a supplier: whole, checked by its own sums, never written over once sent; foreign drawings too."""

import csv
import datetime
import errno
import hashlib
import json
import shutil
from pathlib import Path

import ezdxf
import pytest

from platewright.app.cost import cost
from platewright.app.load import load
from platewright.app.nest import nest
from platewright.app.order import mark_sent, order
from platewright.app.read import ReadOptions, read, write_part
from platewright.cli import main
from platewright.foundation.errors import OutputError, RequestError
from platewright.geometry.loops import outline_area
from platewright.io.foreign_drawing.stanza import PartFacts

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
BOBBIN, HEDDLE, SHUTTLE = (EXAMPLES / f"{name}.toml" for name in ("bobbin", "heddle", "shuttle"))
DAY = datetime.date(2026, 3, 4)


@pytest.fixture(scope="module")
def package(tmp_path_factory):
    out = tmp_path_factory.mktemp("order") / "package"
    return order([HEDDLE, SHUTTLE], [10, 4], out), out


def test_shared_parts_are_ordered_once_and_nothing_is_left_out(package):
    lines, _ = package
    counts = {line.name: line.quantity for line in lines}
    assert counts["heddle+shuttle_base_lower"] == 14
    assert counts["heddle_arm"] == 40
    wanted = sum(
        kits * finished.quantity
        for path, kits in ((HEDDLE, 10), (SHUTTLE, 4))
        for finished in load(path).assembly.parts.values()
    )
    assert sum(counts.values()) == wanted


def test_files_lie_by_thickness_and_the_sums_hold(package):
    lines, out = package
    sums = dict(reversed(row.split("  ")) for row in (out / "checksums.sha256").read_text().splitlines())
    files = {str(p.relative_to(out)) for p in out.rglob("*") if p.is_file()}
    assert files == {*sums, "checksums.sha256", "manifest.json"}
    for name, digest in sums.items():
        assert hashlib.sha256((out / name).read_bytes()).hexdigest() == digest
    for line in lines:
        assert line.dxf.startswith(f"{line.thickness_mm:g}mm_")
        assert (out / line.pdf).read_bytes().startswith(b"%PDF")
        layers = {e.dxf.layer for e in ezdxf.readfile(out / line.dxf).modelspace()}
        assert {"CUT_OUTSIDE", "HOLES"} <= layers


def test_the_table_and_the_page_for_the_cutter(package):
    lines, out = package
    with (out / "order.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [int(row["quantity"]) for row in rows] == [line.quantity for line in lines]
    assert all((out / row[key]).is_file() for row in rows for key in ("drawing_dxf", "drawing_pdf", "picture"))
    page = (out / "README.txt").read_text(encoding="utf-8")
    for words in (
        "10 x Heddle A, 4 x Shuttle A",
        "Carbon dust harms lungs",
        "respirator",
        "sha256sum -c",
        "Edges to break",
        "made for a bit of 2 mm, or thinner",
        "2 mm +- 0.1, woven carbon plate, quasi-isotropic",
        "shuttle_brace: 2 x 6 mm at 90 deg in the lower face",
    ):
        assert words in page
    assert all(line.dxf in page for line in lines)


def test_the_same_order_has_the_same_bytes(package, tmp_path):
    _, out = package
    order([HEDDLE, SHUTTLE], [10, 4], tmp_path / "again")
    assert (tmp_path / "again" / "manifest.json").read_bytes() == (out / "manifest.json").read_bytes()


def test_a_sent_package_is_never_written_over(tmp_path):
    out = tmp_path / "package"
    order([BOBBIN], [5], out)
    order([BOBBIN], [6], out)  # not sent yet
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file() and p.name != "manifest.json"}
    revision = mark_sent(out, DAY)
    with pytest.raises(RequestError, match=f"the order {revision} in 'package' was sent on 2026-03-04 under this same"):
        order([BOBBIN], [5], out)
    with pytest.raises(RequestError, match="under another revision"):
        order([HEDDLE], [5], out)
    with pytest.raises(RequestError, match="marked as sent on 2026-03-04 already"):
        mark_sent(out, DAY)
    assert {p: p.read_bytes() for p in before} == before
    assert json.loads((out / "manifest.json").read_text(encoding="utf-8"))["sent"] == "2026-03-04"


def test_a_package_that_was_changed_is_not_marked(tmp_path):
    out = tmp_path / "package"
    order([BOBBIN], [1], out)
    (out / "order.csv").write_text("changed\n", encoding="utf-8")
    with pytest.raises(RequestError, match=r"'order.csv' in 'package' is missing or has changed"):
        mark_sent(out, DAY)
    with pytest.raises(RequestError, match="holds no order"):
        mark_sent(tmp_path, DAY)


def test_a_full_disk_leaves_the_old_package(tmp_path, monkeypatch):
    out = tmp_path / "package"
    order([BOBBIN], [1], out)
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}

    def full(self, data):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    for write in (lambda: order([BOBBIN], [2], out), lambda: nest([BOBBIN], [1], tmp_path / "nest", seconds=0)):
        with pytest.raises(OutputError, match="No space left"):
            write()
    monkeypatch.undo()
    assert {p: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before
    assert sorted(p.name for p in tmp_path.iterdir()) == [".nest.search", "package"]  # what was found is not lost
    nest([BOBBIN], [1], tmp_path / "nest", seconds=0, resume=True)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["nest", "package"]


def test_a_design_that_fails_is_ordered_only_when_told_to(tmp_path, capsys):
    for name in ("common",):
        shutil.copytree(EXAMPLES / name, tmp_path / name)
    for path in (HEDDLE,):
        shutil.copy(path, tmp_path)
    text = 'format = 1\ninclude = ["heddle.toml"]\n[checks]\nmotor_engagement_diameters = 2.5\n'
    (tmp_path / "bad.toml").write_text(text, encoding="utf-8")
    out = tmp_path / "out"
    assert main(["order", str(tmp_path / "bad.toml"), "--out", str(out)]) == 1
    assert "bad fails its check" in capsys.readouterr().err
    assert not out.exists()
    assert main(["order", str(tmp_path / "bad.toml"), "--out", str(out), "--despite-fails"]) == 0
    assert "NOTE: bad fails its check" in (out / "README.txt").read_text(encoding="utf-8")


def test_the_command_marks_what_it_wrote(tmp_path, capsys):
    out = tmp_path / "package"
    assert main(["order", str(BOBBIN), "--quantity", "3", "--out", str(out), "--sent"]) == 0
    assert "marked as sent" in capsys.readouterr().err
    assert main(["order", "--out", str(out)]) == 1
    assert "name at least one design file" in capsys.readouterr().err
    assert main(["order", str(BOBBIN), "--out", str(out)]) == 1


def test_a_part_from_a_foreign_drawing_is_costed_nested_and_ordered(tmp_path):
    drawing = ROOT / "tests" / "data" / "foreign" / "paddle_inkscape_r14.dxf"
    facts = PartFacts("paddle", "other", "plate_woven_qi", 2.0, "paddle.dxf", drawing.name)
    text, _ = write_part(read(drawing, ReadOptions(units="mm")), None, facts, tmp_path / "paddle.dxf")
    (tmp_path / "foreign.toml").write_text(text, encoding="utf-8")
    path, shop = tmp_path / "foreign.toml", EXAMPLES / "shop" / "shop.toml"
    finished = load(path).assembly.parts["paddle"]
    report = cost(path, shop, [10], choices=False)
    assert report.parts[0].area_mm2 == pytest.approx(outline_area(finished.outline))
    nested = nest([path], [12], tmp_path / "nest", shop, seconds=0)
    assert nested.pieces == 12
    lines = order([path], [12], tmp_path / "package", despite_fails=True)
    assert [(line.name, line.quantity) for line in lines] == [("foreign_paddle", 12)]
