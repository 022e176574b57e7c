"""Findings and rows about cameras: width, free height at each tilt, the lens, and what is in the picture."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from platewright.assembly.assemble import Assembly
from platewright.fit.camera import CameraRoom, camera_rooms, in_the_way
from platewright.fit.headroom import Headroom, Underside, headrooms, in_their_planes, largest_tilt
from platewright.fit.interference import prisms_of
from platewright.fit.solids import Prism
from platewright.fit.view import Seen, eyes_of, seen_by
from platewright.foundation.findings import Finding, Severity
from platewright.geometry.curves import Floats
from platewright.model.catalogue.electronics import Camera
from platewright.study.camera_results import CameraClassRow, CameraRow, HeadroomRow, ViewRow
from platewright.study.level_findings import bows

__all__ = ["camera_fit", "cameras", "views"]

_TILTS_DEG = tuple(range(0, 61, 5))
_HEIGHT_RULE = "camera_use.clear_height_rule"
_LENS_RULE = "camera_use.lens_behind_front_plate_edge_min_mm"
_SLIGHT = 1e-6  # lengths closer than this are one length [mm]

Prisms = Mapping[str, Sequence[Prism]]


def cameras(assembly: Assembly, prisms: Prisms) -> tuple[tuple[CameraRow, ...], list[Finding]]:
    """Return the place of every flight camera, and what is found about it.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    underside = _as_built(assembly)
    rows, found = [], []
    for room in camera_rooms(assembly, prisms):
        classes = assembly.catalogue.of_class(Camera)
        own, *others = headrooms(assembly, prisms, room, [room.camera.record, *classes], _tilts(room), underside)
        rows.append(_row(assembly, prisms, room, own, list(zip(classes, others, strict=True))))
        found += [*_width(assembly, room), *_height(assembly, room, own), *_lens(assembly, room)]
    return tuple(rows), found


def views(assembly: Assembly, prisms: Prisms) -> tuple[tuple[ViewRow, ...], list[Finding]]:
    """Return what every camera sees of its craft, and what is found about it.

    Parameters
    ----------
    assembly, prisms
        As in `cameras`.
    """
    seen = [seen_by(assembly, prisms, eye) for eye in eyes_of(assembly)]
    return tuple(_view_row(s) for s in seen), [f for s in seen for f in _in_view(s)]


def camera_fit(assembly: Assembly, record: Camera) -> CameraClassRow | None:
    """Return whether a camera fits in the place of the design's first, at its tilt; None where it has none.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    record : Camera
        The camera in question.
    """
    prisms = prisms_of(assembly)
    rooms = camera_rooms(assembly, prisms)
    if not rooms:
        return None
    (heights,) = headrooms(assembly, prisms, rooms[0], [record], _tilts(rooms[0]), _as_built(assembly))
    return _class_row(assembly, prisms, rooms[0], record, heights)


def _as_built(assembly: Assembly) -> Underside:
    """Heights of undersides: along the curve of a bowed plate, else in its plane."""
    bent = {bow.instance: bow for bow in bows(assembly)}
    flat = in_their_planes(assembly)

    def heights(name: str, xs: Floats) -> Floats:
        return bent[name].heights(xs) if name in bent else flat(name, xs)

    return heights


def _tilts(room: CameraRoom) -> list[float]:
    """Return the tilts at which heights are wanted: its own first [rad]."""
    return [room.tilt, *(math.radians(a) for a in _TILTS_DEG)]


def _row(
    assembly: Assembly,
    prisms: Prisms,
    room: CameraRoom,
    heights: Sequence[Headroom],
    classes: Sequence[tuple[Camera, Sequence[Headroom]]],
) -> CameraRow:
    now, *others = heights
    return CameraRow(
        room.body.name,
        room.plates,
        room.gap,
        math.degrees(room.tilt),
        now.under,
        now.over,
        _finite(now.free),
        room.lens_behind,
        room.foremost,
        tuple(
            HeadroomRow(float(a), h.needed, _finite(h.free), _finite(h.play))
            for a, h in zip(_TILTS_DEG, others, strict=True)
        ),
        tuple(_class_row(assembly, prisms, room, record, found) for record, found in classes),
    )


def _class_row(
    assembly: Assembly, prisms: Prisms, room: CameraRoom, record: Camera, heights: Sequence[Headroom]
) -> CameraClassRow:
    now, *others = heights
    steepest = largest_tilt(others, room.z)
    width_play = None if room.gap is None else room.gap - record.side_plate_gap_mm
    roomy = (width_play is None or width_play >= -_SLIGHT) and now.play_about(room.z) >= -_SLIGHT
    blocked = in_the_way(assembly, prisms, room, record, room.tilt) if roomy else ()
    return CameraClassRow(
        record.id,
        record.size,
        roomy and not blocked,
        record.side_plate_gap_mm,
        width_play,
        now.needed,
        _finite(now.play),
        _finite(now.play_about(room.z)),
        None if steepest is None else round(math.degrees(steepest), 6),
        blocked,
    )


def _width(assembly: Assembly, room: CameraRoom) -> Iterator[Finding]:
    record = room.camera.record
    if room.gap is None or room.gap >= record.side_plate_gap_mm - _SLIGHT:
        return
    fails = room.gap < record.body_width_mm - _SLIGHT
    text = (
        f"{'does not fit' if fails else 'is tight'} between {' and '.join(room.plates)}, {room.gap:.2f} mm apart; the "
        f"{record.size} class is {record.body_width_mm:g} mm wide and wants {record.side_plate_gap_mm:g} mm: set the "
        "plates wider, or take a smaller class."
    )
    severity = Severity.FAIL if fails else Severity.WARN
    why = f"side_plate_gap_mm of {record.id} ({record.source.partition(';')[0]})"
    yield Finding("camera.width", severity, room.body.name, text, room.gap, record.side_plate_gap_mm, "mm", why)


def _height(assembly: Assembly, room: CameraRoom, heights: Sequence[Headroom]) -> Iterator[Finding]:
    """Warn where its own tilt does not go about the line it turns on; fail where no tilt does."""
    now, *others = heights
    have = now.play_about(room.z) + now.needed
    if now.play_about(room.z) >= -_SLIGHT:
        return
    never = all(h.play < -_SLIGHT for h in others)
    free = f"{now.free:.2f} mm between {now.under} and {now.over}" if math.isfinite(now.free) else _open(now)
    advice = "raise the plate over it, or take a smaller class"
    if not never and now.play >= -_SLIGHT:
        advice = "move the line it turns on to the middle of the free height"
    text = (
        f"needs {now.needed:.2f} mm of height at {math.degrees(room.tilt):.0f} deg and has {have:.2f} mm about the "
        f"line it turns on ({free}): {advice}."
    )
    severity = Severity.FAIL if never else Severity.WARN
    why = f"{_HEIGHT_RULE} ({assembly.catalogue.rule(_HEIGHT_RULE).source})"
    yield Finding("camera.height", severity, room.body.name, text, have, now.needed, "mm", why)


def _lens(assembly: Assembly, room: CameraRoom) -> Iterator[Finding]:
    rule = assembly.catalogue.rule(_LENS_RULE)
    if room.lens_behind is None or room.lens_behind >= rule.value - _SLIGHT:
        return
    side = "behind" if room.lens_behind >= 0 else "in front of"
    text = (
        f"its lens stands {abs(room.lens_behind):.2f} mm {side} {room.foremost}, the foremost plate; {rule.value:g} mm "
        "behind it a plate takes the knock: move the camera back, or draw the plate farther forward."
    )
    why = f"{_LENS_RULE} ({rule.source})"
    yield Finding("camera.lens", Severity.WARN, room.body.name, text, room.lens_behind, rule.value, "mm", why)


def _in_view(seen: Seen) -> Iterator[Finding]:
    if seen.either <= 0:
        return
    most = ", ".join(f"{owner} {100 * share:.1f} %" for owner, share in list(seen.owners.items())[:3])
    eye = seen.eye
    text = (
        f"sees its own craft in {100 * seen.either:.1f} % of the image at {_degrees(eye.axes[2, 2])} deg of tilt "
        f"({most}); {eye.projection} projection, {2 * math.degrees(eye.half_angle):.0f} deg across."
    )
    yield Finding(
        "camera.view", Severity.NOTE, eye.camera, text, 100 * seen.either, None, "%", "rays through the image"
    )


def _view_row(seen: Seen) -> ViewRow:
    eye = seen.eye
    return ViewRow(
        eye.camera,
        eye.projection,
        2 * math.degrees(eye.half_angle),
        2 * math.degrees(eye.half_height_angle),
        math.degrees(eye.tolerance),
        math.degrees(math.asin(eye.axes[2, 2])),
        100 * seen.propellers,
        100 * seen.body,
        100 * seen.either,
        tuple((owner, 100 * share) for owner, share in seen.owners.items()),
    )


def _degrees(sine: float) -> str:
    return f"{math.degrees(math.asin(sine)):.0f}"


def _open(room: Headroom) -> str:
    return f"above {room.under}, open above" if room.under else f"under {room.over}, open below"


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
