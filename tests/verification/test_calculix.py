"""An arm of our own against three-dimensional solids.

Reference: CalculiX CrunchiX 2.20 (G. Dhondt, K. Wittig), Debian package calculix-ccx, bricks C3D20R, three layers
through the thickness. The same rims are fixed and tied; the materials are homogeneous, so that both solve one plate.
What is found here is recorded in `cases/arm_solids.toml`, against which the quick tests and the verification page hold
the plate solver; this test runs the solids again and compares them with the record.

Tolerances of the record are what a maker needs: 1 % of displacements, turns and frequencies, 2 % of the joint's largest
bolt force, 3 % of the moments at the outer bolt. Where they differ, by refinement of both (docs/theory/plates.md):

- Forces of both bolts have a fixed sum, so the same newtons are wrong at both; taken of its own smaller force, the
  inner bolt of the isotropic arm is 3.4 % off under thrust, on any mesh of plates and of solids (two to five layers).
  With no contraction through the thickness (nu13 = nu23 = 0) it is 1.3 %: most of it is the solid's wall, which is held
  from squeezing.
- Twist grows worse where G13 is small against G12: 1.3 % too soft at G13 = 2 GPa, G12 = 18 GPa (closed form of a bar of
  that section: 1.2 %). One shear factor cannot serve both the thin and the thick end of torsion.
"""

import shutil
import tomllib
from pathlib import Path

import numpy as np
import pytest

from platewright.assembly.sketches import own_sketch
from platewright.geometry.cache import OutlineCache
from platewright.io.part_file import pierced, read_part_file
from platewright.structure.mesh import mesh_outline
from solids import constants_of, run, stacked
from structure_cases import ARM, ARM_DENSITY, ARM_LOADS, ARM_MASS, ARM_MATERIALS, ARM_MODES, HELD, TIED

RECORD = Path(__file__).parent / "cases" / "arm_solids.toml"
SAME = 1e-4  # results of one program and one deck differ by its threads and its machine alone [-]

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("ccx") is None, reason="needs the Debian package calculix-ccx"),
]


@pytest.fixture(scope="module")
def arm():
    part = read_part_file(ARM)
    outline, holes = pierced(part, OutlineCache().get_or_build(own_sketch(part.file.part)))
    return outline, holes, part.file.part.thickness_mm


@pytest.mark.parametrize("name", ARM_MATERIALS)
def test_the_record_of_solids_is_what_they_give(arm, name, tmp_path):
    outline, holes, thickness = arm
    loads = np.zeros((len(ARM_LOADS), 6))
    for n, (k, value, _) in enumerate(ARM_LOADS.values()):
        loads[n, k] = value
    centres = [(c.x, c.y) for c in outline.circles]
    solid = stacked(mesh_outline(outline, 5.0), centres, [c.radius for c in outline.circles], thickness, 3)
    held = {holes[h]: centres[holes[h]] for h in HELD}
    tied = [holes[h] for h in TIED]
    tip = tuple(np.mean([centres[h] for h in tied], axis=0))
    elastic = constants_of(*ARM_MATERIALS[name])
    best = run(tmp_path, solid, elastic, ARM_DENSITY, held, tied, tip, loads, ARM_MASS, ARM_MODES)
    order = list(ARM_LOADS)
    found = {
        "arm_motion": lambda load, axis: 1000 * best.motions[order.index(load), axis],
        "arm_force": lambda load, hole, axis: best.reactions[order.index(load), HELD.index(hole), axis],
        "arm_frequency": lambda mode: best.frequencies[mode - 1],
    }
    rows = [r for r in tomllib.loads(RECORD.read_text())["case"] if r["given"]["material"] == name]
    assert len(rows) == 5
    for row in rows:
        given = {k: v for k, v in row["given"].items() if k != "material"}
        for n, recorded in enumerate(row["published"]):
            own = {k: v[n] if isinstance(v, list) else v for k, v in given.items()}
            assert found[row["quantity"]](**own) == pytest.approx(recorded, rel=SAME), (row["what"], own)
