"""Reduced parts and their strains, kept in a folder from one process to the next.

A part is found again by its outline, plies, direction on the sheet, points and mesh, and by the source that reduces it:
whatever of these changes, it is reduced anew.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, MutableMapping
from pathlib import Path
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from platewright.geometry.loops import Outline
from platewright.structure.laminate import Laminate, section_of
from platewright.structure.mesh import Mesh
from platewright.structure.recover import StrainRecovery, extreme_faces
from platewright.structure.reduce import ReducedPlate
from platewright.structure.store import ArrayStore, code_version, packed, unpacked
from platewright.study import strength_parts
from platewright.study.strength_parts import ModelPart, PartKey

__all__ = ["StoredParts"]

Arrays = dict[str, NDArray[Any]]


class StoredParts(MutableMapping[PartKey, ModelPart]):
    """Parts by what they are reduced from, in memory and in a folder.

    Parameters
    ----------
    folder : Path
        Where they are kept.
    """

    def __init__(self, folder: Path) -> None:
        self._store = ArrayStore(folder)
        self._kept: dict[PartKey, ModelPart] = {}

    def __getitem__(self, key: PartKey) -> ModelPart:
        found = self._kept.get(key)
        if found is None:
            arrays = self._store.read(_name(key))
            found = None if arrays is None else _part_of(key, arrays)
            if found is None:
                raise KeyError(key)
            self._kept[key] = found
        return found

    def __setitem__(self, key: PartKey, part: ModelPart) -> None:
        self._kept[key] = part
        self._store.write(_name(key), _arrays(part))

    def __delitem__(self, key: PartKey) -> None:
        del self._kept[key]

    def __iter__(self) -> Iterator[PartKey]:
        return iter(self._kept)

    def __len__(self) -> int:
        return len(self._kept)


def _name(key: PartKey) -> str:
    version = code_version(Path(strength_parts.__file__), Path(__file__))
    return hashlib.sha256(f"{version} {key!r}".encode()).hexdigest()


def _arrays(part: ModelPart) -> Arrays:
    reduced, mesh = part.reduced, part.reduced.mesh
    return {
        "nodes": mesh.nodes,
        "triangles": mesh.triangles,
        "loops": np.concatenate(mesh.loops),
        "loop_lengths": np.array([len(loop) for loop in mesh.loops]),
        "n_inner": np.array(mesh.n_inner),
        "points": reduced.points,
        "stiffness": reduced.stiffness,
        "mass": reduced.mass,
        **packed("basis", reduced.basis),
        "n_modes": np.array(reduced.n_modes),
        "stiff": part.stiff,
        "judged": part.recovery.points,
        **packed("strains", part.recovery.matrix),
    }


def _part_of(key: PartKey, arrays: Arrays) -> ModelPart | None:
    """Return the part of a file; None where an array is missing or has the wrong size."""
    outline, laminate, turn, groups = cast("tuple[Outline, Laminate, float, tuple[tuple[int, ...], ...]]", key[:4])
    section = section_of(laminate, turn)
    try:
        ends = np.cumsum(arrays["loop_lengths"])[:-1]
        mesh = Mesh(
            arrays["nodes"],
            arrays["triangles"],
            tuple(np.split(arrays["loops"], ends)),
            int(arrays["n_inner"]),
        )
        reduced = ReducedPlate(
            mesh,
            section,
            arrays["points"],
            arrays["stiffness"],
            arrays["mass"],
            unpacked("basis", arrays),
            int(arrays["n_modes"]),
        )
        recovery = StrainRecovery(arrays["judged"], unpacked("strains", arrays), extreme_faces(laminate, turn))
        part = ModelPart(outline, laminate, turn, section, reduced, arrays["stiff"], groups, recovery)
    except (KeyError, TypeError, ValueError):
        return None
    n = len(reduced.stiffness)
    if reduced.basis.shape != (len(mesh.nodes), 5, n) or recovery.matrix.shape != (len(recovery.points), 6, n):
        return None
    return part
