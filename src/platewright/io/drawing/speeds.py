"""Frequency against rotor speed: free vibrations of a frame, rays of the rotor's and blades' rates, where it flies."""

from __future__ import annotations

from collections.abc import Callable

from platewright.foundation.units import S_PER_MIN
from platewright.io.drawing.canvas import Canvas, number
from platewright.io.drawing.chart import round_ticks
from platewright.io.drawing.dimensions import spread
from platewright.study.strength_results import FrameStrength

__all__ = ["speeds_svg"]

_WIDTH, _LEFT, _RIGHT, _TOP, _TALL, _FOOT = 240.0, 18.0, 82.0, 22.0, 110.0, 19.0
_GRID, _MODE, _CARRIED = "#e2e2e2", "#1f5a96", "#9a9a9a"
_RAYS = (("once per turn", "#b3261e", 1.0, ""), ("blades", "#c77700", 0.0, "3 1.2"))
_STATES = {"hover": "#2e7d32", "cruise": "#00838f", "full throttle": "#6a1b9a"}
_NAME, _NAMED = 2.5, 24

Place = Callable[[float, float], tuple[float, float]]


def speeds_svg(strength: FrameStrength) -> str:
    """Return the diagram; a frame whose rotor speeds are not known has lines of its vibrations only.

    Parameters
    ----------
    strength : FrameStrength
        As solved.
    """
    modes = strength.modes
    fastest = max([1.08 * row.band_rpm[1] for row in strength.speeds], default=10_000.0)
    rates = [row.blade_rate_hz for row in strength.speeds if row.state == "hover"]
    rates += [row.rate_hz for row in strength.speeds]
    highest = 1.1 * max(rates, default=max((m.frequency_hz for m in modes), default=100.0))
    right, bottom = _WIDTH - _RIGHT, _TOP + _TALL

    def place(x: float, y: float) -> tuple[float, float]:
        return _LEFT + (right - _LEFT) * x / fastest, bottom - _TALL * y / highest

    canvas = Canvas(_WIDTH, bottom + _FOOT, f"{strength.frame}: vibration against rotor speed")
    canvas.text(6.0, 8.0, f"{strength.frame}: free vibration against rotor speed", size=4.0, bold=True)
    _axes(canvas, place, fastest, highest)
    note = f"The lowest {len(modes)} vibrations; pale: joints soft to stiff, speeds by their bands; grey: on mounts."
    canvas.text(6.0, bottom + 15.0, note, size=_NAME)
    _bands(canvas, place, strength)
    canvas.open_window("inside", _LEFT, _TOP, right - _LEFT, _TALL)
    for mode in modes:
        colour = _CARRIED if "." in mode.moves else _MODE
        (x0, y), (x1, _) = place(0.0, mode.frequency_hz), place(fastest, mode.frequency_hz)
        low, high = place(0.0, mode.soft_hz)[1], place(0.0, mode.stiff_hz)[1]
        canvas.rectangle(x0, high, x1 - x0, low - high, fill=colour, fill_opacity=0.02)
        canvas.line(x0, y, x1, y, stroke=colour, stroke_width=0.35)
    _rays(canvas, place, strength, fastest)
    canvas.close_window()
    _names(canvas, place, strength, fastest)
    canvas.rectangle(_LEFT, _TOP, right - _LEFT, _TALL, fill="none", stroke="#7f7f7f", stroke_width=0.2)
    return canvas.svg()


def _axes(canvas: Canvas, place: Place, fastest: float, highest: float) -> None:
    right, bottom = place(fastest, 0.0)
    for tick in round_ticks(0.0, fastest):
        x, _ = place(tick, 0.0)
        canvas.line(x, _TOP, x, bottom, stroke=_GRID)
        canvas.text(x, bottom + 3.8, number(tick, 0), size=2.6, anchor="middle")
    for tick in round_ticks(0.0, highest):
        _, y = place(0.0, tick)
        canvas.line(_LEFT, y, right, y, stroke=_GRID)
        canvas.text(_LEFT - 1.5, y + 0.9, number(tick, 0), size=2.6, anchor="end")
    canvas.text((_LEFT + right) / 2, bottom + 9.0, "rotor speed, rpm", size=2.8, anchor="middle")
    canvas.text(6.0, _TOP - 3.0, "Hz", size=2.8)


def _bands(canvas: Canvas, place: Place, strength: FrameStrength) -> None:
    """Draw where it hovers, cruises and turns at full throttle; names one above the other where they crowd."""
    last, height = -100.0, 0.0
    for row in sorted(strength.speeds, key=lambda r: r.speed_rpm):
        colour = _STATES.get(row.state, _MODE)
        x0, x, x1 = (place(v, 0.0)[0] for v in (row.band_rpm[0], row.speed_rpm, row.band_rpm[1]))
        canvas.rectangle(x0, _TOP, x1 - x0, _TALL, fill=colour, fill_opacity=0.12)
        canvas.line(x, _TOP, x, _TOP + _TALL, stroke=colour, stroke_width=0.25)
        height = height + 3.2 if x - last < 22.0 else 0.0
        last = x
        canvas.text(
            x, _TOP - 2.0 - height, f"{row.state} {row.speed_rpm:.0f}", size=_NAME, anchor="middle", fill=colour
        )


def _rays(canvas: Canvas, place: Place, strength: FrameStrength, fastest: float) -> None:
    if not strength.speeds:
        return
    row = strength.speeds[0]
    blades = row.blade_rate_hz / row.rate_hz
    for name, colour, factor, dash in _RAYS:
        times = factor or blades
        end = place(fastest, times * fastest / S_PER_MIN)
        canvas.line(*place(0.0, 0.0), *end, stroke=colour, stroke_width=0.6, stroke_dasharray=dash or "none")
        speed = min(0.8 * fastest, 0.9 * _highest(place) / times * S_PER_MIN)
        x, y = place(speed, times * speed / S_PER_MIN)
        text = name if factor else f"{name}, {number(blades, 0)} per turn"
        canvas.text(x - 1.5, y - 1.0, text, size=_NAME, anchor="end", fill=colour, halo=True)


def _highest(place: Place) -> float:
    """Return the frequency at the top of the frame."""
    y0, y1 = place(0.0, 0.0)[1], place(0.0, 1.0)[1]
    return _TALL / (y0 - y1)


def _names(canvas: Canvas, place: Place, strength: FrameStrength, fastest: float) -> None:
    """Name each vibration at the right, moved apart, with a line to its own height."""
    wanted = [place(0.0, m.frequency_hz)[1] for m in strength.modes[:_NAMED] if m.frequency_hz <= _highest(place)]
    order = sorted(range(len(wanted)), key=lambda n: wanted[n])
    places = spread([wanted[n] for n in order], _NAME * 1.25, _TOP, _TOP + _TALL)
    x = place(fastest, 0.0)[0]
    for n, y in zip(order, places, strict=True):
        mode = strength.modes[n]
        colour = _CARRIED if "." in mode.moves else _MODE
        canvas.polyline([(x, wanted[n]), (x + 3.0, y)], stroke=colour, stroke_width=0.2)
        canvas.text(x + 3.8, y + 0.9, f"{mode.frequency_hz:.0f} {mode.shape}", size=_NAME, fill="#1a1a1a")
