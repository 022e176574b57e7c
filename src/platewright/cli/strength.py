"""`platewright strength`: the structure of a whole frame, as tables, JSON and pictures."""

from __future__ import annotations

from pathlib import Path

from platewright.app.strength import strength_json, strength_study, write_strength_pictures
from platewright.app.what_to_change import ChangeStudy, change_json
from platewright.app.what_to_change import what_to_change as studies
from platewright.cli.change_tables import change_tables
from platewright.cli.strength_tables import case_tables, other_tables
from platewright.cli.tables import screen

__all__ = ["strength"]


def strength(
    frame: Path,
    /,
    *,
    thrust_ratio: float | None = None,
    in_time: bool = False,
    json: bool = False,
    out: Path | None = None,
    catalogue: Path | None = None,
    what_to_change: bool = False,
    number: tuple[str, ...] = (),
) -> int:
    """Say what breaks first in flight and in each kind of crash, and what vibrates at which rotor speed.

    Parameters
    ----------
    frame
        The design file.
    thrust_ratio
        Full static thrust by weight; that of the motor's class unless given.
    in_time
        Also step each hit in time, as a free craft that runs into something; takes some seconds.
    json
        Print JSON instead of tables.
    out
        A folder for JSON, contour pictures (SVG, PNG) and deformed shapes (GLB) of each case and mode.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    what_to_change
        Move each thickness and parameter a step and say what that does to mass, stiffness, vibration and hits, and what
        one gram buys; takes a second or two for each, and Ctrl-C shows what was found until then.
    number
        With `--what-to-change`, a number to move; may be given several times. All of them unless given.
    """
    if what_to_change:
        return _change(frame, catalogue, number, json)
    study = strength_study(frame, catalogue, thrust_ratio, in_time=in_time)
    if out is not None:
        write_strength_pictures(study, out)
    if json:
        print(strength_json(study.strength), end="")
        return 0
    console = screen()
    result = study.strength
    console.print(
        f"[bold]{result.frame}[/bold]: {result.mass_g:.0f} g ready to fly, full thrust {result.thrust_ratio:.1f} times "
        "the weight; bands cover strengths of plates and joints from soft to stiff"
    )
    for table in (*case_tables(result), *other_tables(result)):
        console.print(table)
    if result.crash_index is not None:
        index = result.crash_index
        band = f"{index.band[0]:.0f} to {index.band[1]:.0f}"
        console.print(
            f"Crash index {index.value:.0f} ({band}) over {index.kinds_of_hits} kinds of hits: 100 times the geometric "
            "mean of their energies by flying mass, per 1 J/kg. An index of our own, to rank designs that carry the "
            "same things; no height and no speed follows from it."
        )
    for limit in result.limits:
        console.print(f"- {limit}")
    return 0


def _change(frame: Path, catalogue: Path | None, numbers: tuple[str, ...], as_json: bool) -> int:
    """Show what to change, as far as it gets until it is interrupted."""
    study: ChangeStudy | None = None
    status, shown = 0, screen(errors=True)

    def tell(done: int, count: int, name: str) -> None:
        waiting.update(f"{done} of {count}: {name}")

    with shown.status("reading") as waiting:
        try:
            for found in studies(frame, catalogue, only=numbers, progress=tell):
                study = found
        except KeyboardInterrupt:
            status = 130
    if study is None:
        raise KeyboardInterrupt
    if as_json:
        print(change_json(study), end="")
        return status
    console = screen()
    console.print(f"[bold]{study.frame}[/bold]: what to change")
    for piece in change_tables(study):
        console.print(piece)
    return status
