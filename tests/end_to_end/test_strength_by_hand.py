"""Strength of the example frames against envelope sums: an arm is a cantilever from its outer bolt.

The estimates take sizes from the design, masses and strengths from the catalogue, and textbook formulas (Roark's
Formulas for Stress and Strain, 7th ed., table 8.1, case 1a; from memory). They leave out slots, holes, shear, the give
of a bolted rim and of the bases, which all make the frame softer or weaker: each band says by how much at most.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from platewright.app.load import load
from platewright.assembly.assemble import Assembly
from platewright.foundation.units import T_PER_G
from platewright.model.catalogue.power import Motor, Propeller
from platewright.structure.laminate import sheet_constants
from platewright.study.part_bolts import first_ply_stress
from platewright.study.propulsion import carried_records
from platewright.study.strength import frame_strength
from platewright.study.strength_laminates import plate_laminate, ply_strengths
from platewright.study.strength_results import CaseRow, StrengthStudy

EXAMPLES = Path(__file__).parents[2] / "examples"
NUT_AND_SCREWS_G = 5.0  # what holds motor and propeller


@dataclass(frozen=True)
class Arm:
    """An arm by its numbers, as read off the design: where it is bolted, how wide and thick it is."""

    frame: str
    line: str
    width_mm: float
    thickness_mm: float


ARMS = (Arm("heddle", "arm_outer.1", 12.0, 5.0), Arm("shuttle", "arm_outer.1", 15.25, 5.0))
LONE_PLATE = Arm("bobbin", "deck_front.1", 10.0, 3.0)
EVERY = (*ARMS, LONE_PLATE)


@cache
def _assembly(frame: str, cache: Path) -> Assembly:
    return load(EXAMPLES / f"{frame}.toml", None, cache).assembly


@cache
def _study(frame: str, cache: Path) -> StrengthStudy:
    return frame_strength(_assembly(frame, cache))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("by_hand")


def _length(arm: Arm, assembly: Assembly) -> float:
    """Return the length from the outer bolt's centre to the rotor's axis [mm]."""
    bolt = next(line for line in assembly.lines if line.name == arm.line)
    motor = [line for line in assembly.lines if line.rotor == 1]
    x, y = (sum(values) / len(motor) for values in zip(*((m.a, m.b) for m in motor), strict=True))
    return math.hypot(x - bolt.a, y - bolt.b)


def _tip_mass(assembly: Assembly) -> float:
    """Return what one tip carries [t]."""
    found = {type(r): r.mass_g for r in carried_records(assembly) if isinstance(r, Motor | Propeller)}
    return (found[Motor] + found[Propeller] + NUT_AND_SCREWS_G) * T_PER_G


def _stiffness(arm: Arm, assembly: Assembly) -> float:
    """Return 3 E I / L^3 [N/mm]."""
    modulus = sheet_constants(plate_laminate(assembly.catalogue, "plate_woven_qi", arm.thickness_mm)).e_flex_x
    return 3 * modulus * arm.width_mm * arm.thickness_mm**3 / 12 / _length(arm, assembly) ** 3


def _case(study: StrengthStudy, name: str) -> CaseRow:
    return next(row for row in study.strength.cases if row.case == name)


def _times(study: StrengthStudy, case: str, kind: str) -> float:
    return next(row.times for row in study.strength.kinds if (row.case, row.kind) == (case, kind))


def _share(study: StrengthStudy, assembly: Assembly, case: str) -> float:
    """Return what of a blow on the tip goes down the arm: the rest accelerates what the tip carries."""
    meets = _case(study, case).effective_mass_g
    assert meets is not None
    return 1 - _tip_mass(assembly) / (meets * T_PER_G)


@pytest.mark.parametrize("arm", ARMS, ids=lambda arm: arm.frame)
def test_first_frequency_of_an_arm_alone(arm: Arm, folder: Path) -> None:
    """sqrt(k / m) / 2 pi with 33/140 of the arm's own mass; softer by slot, holes, shear, and a motor that tilts."""
    assembly, study = _assembly(arm.frame, folder), _study(arm.frame, folder)
    own = 33 / 140 * 1.55e-9 * arm.width_mm * arm.thickness_mm * _length(arm, assembly)
    by_hand = math.sqrt(_stiffness(arm, assembly) / (_tip_mass(assembly) + own)) / (2 * math.pi)
    first = next(row for row in study.strength.arm_modes if row.shape == "first arm bending")
    assert 0.65 * by_hand < first.frequency_hz < by_hand


@pytest.mark.parametrize("arm", EVERY, ids=lambda arm: arm.frame)
def test_compliance_of_a_tip(arm: Arm, folder: Path) -> None:
    """Twice the energy of 1 N: at least what the arm's own bending takes of what goes down it; the bases give too."""
    assembly, study = _assembly(arm.frame, folder), _study(arm.frame, folder)
    row, first = _case(study, "tip from above 1"), study.strength.kinds
    assert row.energy_j is not None
    force = min(k.times for k in first if k.case == row.case)
    compliance = 2 * row.energy_j * 1000 / force**2
    by_hand = _share(study, assembly, row.case) ** 2 / _stiffness(arm, assembly)
    assert by_hand < compliance < 5 * by_hand


@pytest.mark.parametrize("arm", EVERY, ids=lambda arm: arm.frame)
@pytest.mark.parametrize("case", ["tip from above 1", "full thrust"])
def test_force_that_breaks_the_arm(arm: Arm, case: str, folder: Path) -> None:
    """6 M / (w t^2) at the bolt against the first ply of a bent strip; the hole and its clamping cost up to half."""
    assembly, study = _assembly(arm.frame, folder), _study(arm.frame, folder)
    laminate = plate_laminate(assembly.catalogue, "plate_woven_qi", arm.thickness_mm)
    strengths = tuple(ply_strengths(assembly.catalogue, "plate_woven_qi", len(laminate.plies)))
    sheet = sheet_constants(laminate)
    strength = first_ply_stress(laminate, strengths, 0.0, (1, 0, 0)) * sheet.e_flex_x / sheet.e_x
    if case == "full thrust":
        thrust = study.strength.thrust_ratio * study.strength.mass_g * 9.80665e-3 / 4
        share = 1 - _tip_mass(assembly) / T_PER_G * 4 / study.strength.mass_g
        moment = thrust * share * _length(arm, assembly)
    else:
        moment = _share(study, assembly, case) * _length(arm, assembly)
    by_hand = strength * arm.width_mm * arm.thickness_mm**2 / 6 / moment
    assert by_hand / 2 < _times(study, case, "ply, max strain") < 1.1 * by_hand


@pytest.mark.parametrize("arm", ARMS, ids=lambda arm: arm.frame)
def test_bearing_and_shear_at_the_outer_bolt(arm: Arm, folder: Path) -> None:
    """An edgewise force is held by two bolts 16 mm apart: F (L + 16) / 16 at the outer, half of it in either base.

    Bearing is that by d t of a base of 2 mm; the screw is sheared by as much in either face (A_3 tau_u). The upper base
    takes 42 to 67 % of it by the slip table.
    """
    assembly, study = _assembly(arm.frame, folder), _study(arm.frame, folder)
    case = "tip edgewise 1"
    at_bolt = _share(study, assembly, case) * (_length(arm, assembly) + 16) / 16 / 2
    bearing = assembly.catalogue.laminate("plate_woven_qi").properties["bearing_mpa"].typical * 3.0 * 2.0 / at_bolt
    assert _times(study, case, "bearing") == pytest.approx(bearing, rel=0.3)
    shear = math.pi / 4 * 2.387**2 * 0.6 * 1220 / at_bolt  # M3, minor diameter; 12.9 has 1220 MPa
    assert _times(study, case, "screw, tension and shear") == pytest.approx(shear, rel=0.3)


@pytest.mark.parametrize("frame", ["heddle", "shuttle", "bobbin"])
def test_screws_by_stress_area_and_minor_diameter(frame: str, folder: Path) -> None:
    """M3 is 5.03 mm^2 by stress and 2.387 mm in its root, M2 2.07 and 1.509; class 12.9 has 1220 MPa (ISO 898-1)."""
    row = next(r for r in _study(frame, folder).strength.screws if r.material == "12.9")
    area, minor = {"M3": (5.03, 2.387), "M2": (2.07, 1.509)}[row.screw]
    assert row.tension_n == pytest.approx(area * 1220, rel=0.005)
    assert row.shear_n == pytest.approx(math.pi / 4 * minor**2 * 0.6 * 1220, rel=0.005)
