"""`platewright fly`: a frame in the air, as tables, JSON and pictures."""

from __future__ import annotations

from pathlib import Path

from platewright.app.fly import fly as fly_design
from platewright.app.fly import fly_json, write_flight
from platewright.cli.fly_tables import print_flight
from platewright.cli.tables import screen

__all__ = ["fly"]


def fly(
    frame: Path,
    /,
    *,
    speeds: int | None = None,
    json: bool = False,
    out: Path | None = None,
    catalogue: Path | None = None,
) -> int:
    """Say how a frame flies: power and tilt against speed, what spacing buys, what plates cost in the air, control.

    Parameters
    ----------
    frame
        The design file.
    speeds
        Number of speeds from 0 to 45 m/s; 19 unless given.
    json
        Print JSON instead of tables.
    out
        A folder for the numbers as JSON and for pictures (SVG, PNG): power, stance, authority, control,
        wakes, download.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    study = fly_design(frame, catalogue, speeds=speeds)
    if out is not None:
        write_flight(study, out)
    if json:
        print(fly_json(study.result))
        return 0
    print_flight(study.result, screen())
    return 0
