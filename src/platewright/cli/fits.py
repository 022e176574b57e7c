"""`platewright fits`: does it fit, one sentence for each thing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from platewright.app.fits import fit_answers, fits_json
from platewright.cli.tables import screen

__all__ = ["fits"]

_SIGNS = {"fits": "[green]✓ yes[/green]  ", "tight": "[yellow]! tight[/yellow]", "no": "[red]✗ no[/red]   "}
_Names = Annotated[list[str] | None, Parameter(consume_multiple=True)]


def fits(
    frame: Path,
    /,
    *,
    propeller: _Names = None,
    motor: _Names = None,
    boards: _Names = None,
    camera: _Names = None,
    action_camera: _Names = None,
    battery: _Names = None,
    antenna: _Names = None,
    receiver: _Names = None,
    gps: _Names = None,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Say whether things fit a frame as it is cut, each in a sentence with what is left; exit status 1 if one does not.

    Parameters
    ----------
    frame
        The design file.
    propeller
        Propellers, such as 5in or prop_5in.
    motor
        Motors, such as 2306 or motor_2306.
    boards
        Board patterns, such as 20 or 30.5x30.5, or boards such as fc_30.
    camera
        Flight cameras, such as micro or camera_micro.
    action_camera
        Action cameras, such as thumb or action_thumb.
    battery
        Batteries, such as 6s_1300 or lipo_6s_1300.
    antenna
        Antennas, such as receiver_tube or antenna_5g8_micro; a tube is tried in the place of a tube, a head of a head.
    receiver
        Receivers, such as receiver_small.
    gps
        Position receivers, such as gps_with_compass.
    json
        Print JSON instead of sentences.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    words = {
        "propeller": propeller,
        "motor": motor,
        "boards": boards,
        "camera": camera,
        "action_camera": action_camera,
        "battery": battery,
        "antenna": antenna,
        "receiver": receiver,
        "gps": gps,
    }
    asked = {option: names for option, names in words.items() if names}
    if not asked:
        print(
            "name something to try: --propeller, --motor, --boards, --camera, --action-camera, --battery, --antenna, "
            "--receiver or --gps.",
            file=sys.stderr,
        )
        return 2
    answers = fit_answers(frame, asked, catalogue)
    if json:
        print(fits_json(answers))
    else:
        console = screen()
        for answer in answers:
            console.print(_SIGNS[answer.verdict], end=" ")
            console.print(answer.sentence, markup=False, soft_wrap=True)
    return 1 if any(a.verdict == "no" for a in answers) else 0
