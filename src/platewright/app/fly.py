"""A frame in the air: fly it, write its numbers as JSON and its pictures as SVG and PNG."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
from pydantic import TypeAdapter

from platewright.app.load import load
from platewright.app.show import write_picture
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RequestError, RotorError
from platewright.io.drawing.air import download_svg, wakes_svg
from platewright.io.drawing.flight import authority_svg, power_svg, stance_svg
from platewright.io.drawing.handling import control_svg
from platewright.io.folder import replaced_folder, write_manifest
from platewright.rotor.vertical import lift
from platewright.study.flight import FlyStudy, fly_frame
from platewright.study.flight_results import FlyResult
from platewright.study.flight_rows import FLIES
from platewright.study.flight_runs import SPEEDS
from platewright.study.hover import craft_of
from platewright.study.powertrain import frame_powertrain

__all__ = ["fly", "fly_json", "write_flight"]

_ADAPTER = TypeAdapter(FlyResult)
_LEAST, _MOST = 2, 200


def fly(path: Path, records: Path | None = None, cache: Path | None = None, speeds: int | None = None) -> FlyStudy:
    """Fly a design.

    Parameters
    ----------
    path, records, cache
        As in `load`.
    speeds : int or None
        Number of speeds from 0 to 45 m/s.

    Raises
    ------
    DesignFileError
        If the file is invalid.
    RequestError
        If the design has no motor, propeller or battery, or the number of speeds is out of range.
    RotorError
        If the frame cannot hover.
    """
    if speeds is not None and not _LEAST <= speeds <= _MOST:
        msg = f"the number of speeds must lie between {_LEAST} and {_MOST} (got {speeds})."
        raise RequestError(msg)
    grid = SPEEDS if speeds is None else np.linspace(SPEEDS[0], SPEEDS[-1], speeds)
    assembly = load(path, records, cache).assembly
    study = fly_frame(assembly, grid)
    if study is None:
        msg = f"'{path.name}' cannot be flown: it must carry a motor, a propeller and a battery; add what is missing."
        raise RequestError(msg)
    if study.result.forward.rows[0].state != FLIES:
        raise RotorError(_why(path, assembly, study))
    return study


def _why(path: Path, assembly: Assembly, study: FlyStudy) -> str:
    """Say why a frame cannot hover: what the battery or the voltage lacks, else how far beyond full throttle it is."""
    train = frame_powertrain(assembly)
    try:
        if train is not None:
            lift(craft_of(train))
    except RotorError as error:
        return f"'{path.name}' cannot be flown: {error}"
    state, used = study.result.forward.rows[0].state, float(study.runs.sweep_flight.used[0, 0])
    much = f" ({100 * used:.0f} % of the speed that it gives)" if used > 1 else ""
    return (
        f"'{path.name}' cannot hover at half charge: {state}{much}; take more cells, a higher Kv, a larger propeller, "
        "a stronger battery or less mass."
    )


def fly_json(result: FlyResult) -> str:
    """Return a result as JSON; its form is `docs/reference/fly.schema.json`."""
    return json.dumps(_ADAPTER.dump_python(result, mode="json"), indent=2, allow_nan=False)


def write_flight(study: FlyStudy, folder: Path) -> tuple[str, ...]:
    """Write numbers and pictures into a folder, whole or not at all.

    Parameters
    ----------
    study : FlyStudy
        From `fly`.
    folder : Path
        Where to; a folder that an earlier call wrote is replaced.

    Returns
    -------
    tuple of str
        Names of the files.

    Raises
    ------
    OutputError
        If the folder holds other files or cannot be written.
    """
    with replaced_folder(folder) as fresh:
        for name, svg in _pictures(study).items():
            for ending in (".svg", ".png"):
                write_picture(svg, fresh / f"{name}{ending}")
        (fresh / "fly.json").write_text(fly_json(study.result) + "\n", encoding="utf-8")
        write_manifest(fresh, {"frame": study.result.frame, "revision": study.result.revision})
        return tuple(sorted(p.name for p in fresh.iterdir()))


def _pictures(study: FlyStudy) -> dict[str, str]:
    result, model, runs = study.result, study.model, study.runs
    case = runs.in_keys(0)
    flown = [n for n in range(runs.key_speeds.size) if runs.keys.applies[case, n]]
    skews = [(float(runs.key_speeds[n]), runs.keys.skew[case, n].tolist()) for n in flown]
    handling = {} if result.handling is None else {"control": control_svg(result.frame, result.handling)}
    return handling | {
        "power": power_svg(result),
        "stance": stance_svg(result),
        "authority": authority_svg(result),
        "wakes": wakes_svg(result.frame, model.bodies, model.discs, skews),
        "download": download_svg(result.frame, model.bodies, model.discs, model.washed, model.mass_g),
    }
