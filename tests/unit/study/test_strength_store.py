"""Reduced parts kept from one process to the next."""

import numpy as np
import pytest

from platewright.study.strength_joints import TYPICAL
from platewright.study.strength_model import frame_model
from platewright.study.strength_store import StoredParts
from strength_frames import box


def test_a_second_process_reads_the_same_numbers(tmp_path):
    first, second = StoredParts(tmp_path), StoredParts(tmp_path)
    made = frame_model(box(), TYPICAL, first)
    assert len(first) == len(made.parts) == len(list(tmp_path.glob("*.npz")))
    for key, part in first.items():
        other = second[key]
        assert other is second[key]
        for name in ("stiffness", "mass", "basis", "points"):
            assert (getattr(part.reduced, name) == getattr(other.reduced, name)).all()
        assert (part.recovery.matrix == other.recovery.matrix).all()
        assert part.recovery.faces == other.recovery.faces
        assert (part.reduced.section.d == other.reduced.section.d).all()
        assert all((a == b).all() for a, b in zip(part.reduced.mesh.loops, other.reduced.mesh.loops, strict=True))
    read = frame_model(box(), TYPICAL, second)
    assert (read.frame.stiffness == made.frame.stiffness).all()


def test_a_damaged_or_foreign_file_is_reduced_again(tmp_path):
    made = frame_model(box(), TYPICAL, StoredParts(tmp_path))
    good, foreign = sorted(tmp_path.glob("*.npz"))
    good.write_bytes(good.read_bytes()[:1000])
    np.savez(foreign, nodes=np.zeros((3, 2)))
    again = frame_model(box(), TYPICAL, StoredParts(tmp_path))
    assert again.frame.modes(3).frequencies == pytest.approx(made.frame.modes(3).frequencies, rel=1e-9)
    assert good.stat().st_size > 10_000
    assert foreign.stat().st_size > 10_000


def test_another_mesh_is_another_part(tmp_path):
    frame_model(box(), TYPICAL, StoredParts(tmp_path))
    frame_model(box(), TYPICAL, StoredParts(tmp_path), size_factor=0.8)
    assert len(list(tmp_path.glob("*.npz"))) == 4
