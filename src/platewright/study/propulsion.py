"""The propeller of a design at work, from the best source there is for it."""

from __future__ import annotations

import functools
from pathlib import Path

from platewright.assembly.assemble import Assembly
from platewright.model.catalogue import Propeller, load_prediction_bands
from platewright.rotor.working import BANDS, WorkingPropeller, tabulate_propeller
from platewright.study.propellers import propeller_model, propeller_size, wind_tunnel_tables

__all__ = ["frame_propeller", "propeller_at_work"]


def frame_propeller(assembly: Assembly) -> WorkingPropeller | None:
    """Return the propeller of a frame at work; None where the design has none.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    """
    for equipment in assembly.design.equipment:
        for name in equipment.use.values():
            record = assembly.catalogue.find(name)[0]
            if isinstance(record, Propeller):
                low, high = record.pitch_range_in
                return propeller_at_work(record.diameter_in, (low + high) / 2, max(record.blades))
    return None


@functools.cache
def propeller_at_work(
    diameter_in: float, pitch_in: float, blades: int, *, overlay: Path | None = None
) -> WorkingPropeller:
    """Return thrust and torque of a propeller against speed and inflow, with bands and source.

    Parameters
    ----------
    diameter_in, pitch_in : float
        As printed on it [in].
    blades : int
        Number of blades.
    overlay : Path or None
        A user's own folder of catalogue records.

    Examples
    --------
    >>> made = propeller_at_work(5.0, 4.3, 3).at(2000.0, axial=10.0)
    >>> round(float(made.thrust), 1)
    4.8
    """
    size, model = propeller_size(diameter_in, pitch_in, blades), propeller_model(overlay)
    bands = {
        (b.span, b.quantity): b.nine_tenths_pct / 100
        for b in load_prediction_bands()
        if b.knowledge == "a" and b.span in BANDS
    }
    source = (
        f"its diameter, pitch and blades, by the model of {len(wind_tunnel_tables(overlay))} wind-tunnel propellers"
    )
    return tabulate_propeller(lambda w, j: model.predict(size, w, j), size.diameter, blades, source, bands)
