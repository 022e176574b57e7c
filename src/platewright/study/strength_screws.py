"""What the screws of a frame's main thread carry in each material."""

from __future__ import annotations

from platewright.assembly.assemble import Assembly
from platewright.foundation.units import MM_PER_M
from platewright.structure.screws import ScrewLimits, energy_to_fracture
from platewright.study.strength_results import ScrewMaterialRow

__all__ = ["screw_rows"]

_FREE_THREAD = 5.0  # over which a screw may stretch, for comparing materials only [mm]


def screw_rows(assembly: Assembly) -> tuple[ScrewMaterialRow, ...]:
    """Return what the frame's main thread carries in each material."""
    sizes = [s.word.size for s in assembly.screws if not s.line.is_equipment]
    if not sizes:
        return ()
    thread = assembly.catalogue.thread(max(set(sizes), key=sizes.count))
    rows = []
    for name in ("12.9", "10.9", "A2-70", "titanium-5", "aluminium-7075"):
        material = assembly.catalogue.screw_class(name)
        limits = ScrewLimits.of(
            thread.stress_area_mm2, thread.minor_d_ext_mm, material.strength_min_mpa, material.shear_strength_mpa
        )
        stretch = material.elongation_min_pct
        energy = None
        if stretch is not None and material.yield_min_mpa is not None:
            energy = energy_to_fracture(
                thread.stress_area_mm2, _FREE_THREAD, material.yield_min_mpa, material.strength_min_mpa, stretch / 100
            )
        steel = assembly.catalogue.screw_class("12.9").density_g_cm3
        rows.append(
            ScrewMaterialRow(
                f"M{thread.d_mm:g}",
                name,
                limits.tension,
                limits.shear,
                stretch,
                None if energy is None else energy / MM_PER_M,
                material.elastic_modulus_mpa * thread.stress_area_mm2 / _FREE_THREAD,
                thread.mass_g_per_mm * _FREE_THREAD * material.density_g_cm3 / steel,
            )
        )
    return tuple(rows)
