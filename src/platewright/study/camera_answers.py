"""Whether a flight camera fits where the frame carries one: between its plates, under its deck, clear of the rest."""

from __future__ import annotations

from platewright.assembly.assemble import Assembly
from platewright.model.catalogue import Camera
from platewright.study.camera_findings import camera_fit
from platewright.study.camera_results import CameraClassRow
from platewright.study.fit_answers import FitAnswer, Verdict, no_place

__all__ = ["camera_answer"]

_LOOSE = 1.0  # play beside a camera that must be taken up with washers or spacers [mm] (common practice, no source)
_SLIGHT = 0.005  # what prints as nothing [mm]


def camera_answer(assembly: Assembly, camera: Camera) -> FitAnswer:
    """Return whether a camera fits.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    camera : Camera
        The camera.
    """
    row = camera_fit(assembly, camera)
    if row is None:
        return no_place(assembly, "camera", camera.id, "a flight camera")
    plays = [p for p in (row.width_play_mm, row.axis_play_mm) if p is not None]
    lacks = _lacks(camera, row)
    verdict: Verdict = "fits" if row.fits else "tight" if lacks[0] else "no"
    name, frame = f"{camera.title},", assembly.design.frame.name
    if verdict == "fits":
        text = f"{name} fits {frame}: {_room(row)}."
    else:
        how = f"goes into {frame}, but" if verdict == "tight" else f"does not fit {frame}:"
        text = f"{name} {how} {lacks[1]}."
    return FitAnswer("camera", camera.id, verdict, text, min(plays, default=None), "width and height")


def _room(row: CameraClassRow) -> str:
    said = []
    if row.width_play_mm is not None:
        spare = f"{row.width_play_mm:.1f} mm beside it"
        said.append(f"{spare}, to be taken up with washers or spacers" if row.width_play_mm > _LOOSE else spare)
    if row.axis_play_mm is not None:
        said.append(f"{row.axis_play_mm:.1f} mm over and under it")
    if row.tilts_to_deg is not None:
        said.append(f"room to tilt to {row.tilts_to_deg:.0f} deg")
    return "; ".join(said) or "it stands in the open"


def _lacks(camera: Camera, row: CameraClassRow) -> tuple[bool, str]:
    """Return whether it can be mounted all the same, and what is missing."""
    if row.width_play_mm is not None and row.width_play_mm < -_SLIGHT:
        gap = row.needs_gap_mm + row.width_play_mm
        text = (
            f"its plates stand {gap:.1f} mm apart and its class wants {row.needs_gap_mm:.1f} mm, "
            f"{-row.width_play_mm:.1f} mm more"
        )
        return gap >= camera.body_width_mm, text
    if row.axis_play_mm is not None and row.axis_play_mm < -_SLIGHT:
        text = f"it needs {row.needs_height_mm:.1f} mm of height at the frame's tilt, {-row.axis_play_mm:.1f} mm more"
        if row.tilts_to_deg is not None:
            return True, f"{text}; it tilts to {row.tilts_to_deg:.0f} deg only"
        return False, f"{text}, and at no other tilt it has enough about the line it turns on"
    return False, f"{' and '.join(row.in_the_way)} is in its way"
