import json
import sys
from dataclasses import replace

import pytest

from platewright.geometry import cache as cache_module
from platewright.geometry.cache import OutlineCache, sketch_key
from platewright.geometry.sketch import CircleCut, Link, Node, RectangleCut, Sketch, SlotCut

BAR = Sketch((Node("a", 0, 0, 6), Node("b", 40, 5, 8)), (Link("a", "b", 9, 11),), fillet=3, cuts=(CircleCut(20, 2, 4),))


@pytest.fixture
def builds(monkeypatch):
    """Count calls of the builder."""
    calls = []
    build = cache_module.build_outline

    def counted(sketch):
        calls.append(sketch)
        return build(sketch)

    monkeypatch.setattr(cache_module, "build_outline", counted)
    return calls


def test_memory_only(builds):
    cache = OutlineCache(None)
    assert cache.get_or_build(BAR) is cache.get_or_build(BAR)
    assert len(builds) == 1


def test_second_process_reads_the_same_outline_from_disk(tmp_path, builds):
    first = OutlineCache(tmp_path / "new").get_or_build(BAR)
    assert OutlineCache(tmp_path / "new").get_or_build(BAR) == first
    assert len(builds) == 1
    assert [path.suffix for path in (tmp_path / "new").iterdir()] == [".json"]


@pytest.mark.parametrize("damage", ["cut short", "changed number", "not JSON", "wrong shape"])
def test_damaged_file_is_built_again(tmp_path, builds, damage):
    first = OutlineCache(tmp_path).get_or_build(BAR)
    (path,) = tmp_path.iterdir()
    text = path.read_text()
    held = json.loads(text)
    if damage == "cut short":
        path.write_text(text[:-20])
    elif damage == "changed number":
        held["outline"]["outer"][0][0] += 0.001
        path.write_text(json.dumps(held))
    elif damage == "not JSON":
        path.write_bytes(b"\xff\x00")
    else:
        path.write_text("[1]")
    assert OutlineCache(tmp_path).get_or_build(BAR) == first
    assert len(builds) == 2
    assert OutlineCache(tmp_path).get_or_build(BAR) == first
    assert len(builds) == 2


def test_folder_that_cannot_be_written_does_no_harm(tmp_path):
    (tmp_path / "file").write_text("")
    assert OutlineCache(tmp_path / "file" / "sub").get_or_build(BAR).circles


def test_key_follows_content_not_spelling():
    assert sketch_key(BAR) == sketch_key(replace(BAR, fillet=3.0))
    assert sketch_key(BAR) == sketch_key(replace(BAR, nodes=(Node("a", -0.0, 0.0, 6), BAR.nodes[1])))
    others = [
        replace(BAR, fillet=3.0001),
        replace(BAR, mirror="x"),
        replace(BAR, cuts=(SlotCut(0, 0, 1, 0, 2),)),
        replace(BAR, cuts=(), slots=BAR.cuts),
        replace(BAR, cuts=(RectangleCut(20, 2, 4, 0, 0, 0),)),
        replace(BAR, cuts=(replace(BAR.cuts[0], mirrored=False),)),
    ]
    keys = {sketch_key(sketch) for sketch in (BAR, *others)}
    assert len(keys) == 1 + len(others)


def test_building_and_caching_need_no_cad_kernel():
    import subprocess

    code = (
        "import sys, platewright.geometry.cache, platewright.geometry.holes, platewright.geometry.chain, "
        "platewright.geometry.solid; sys.exit(any(m.split('.')[0] in ('OCP', 'build123d') for m in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
