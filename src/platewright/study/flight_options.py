"""What changing the body would do to the air: a lower deck, taller side plates, open and panelled sides.

Only the shapes that the air meets are changed; mass, centre of gravity and discs stay, so that what is shown is the
air's part alone. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import affinity

from platewright.rotor.trim_records import Airframe
from platewright.study.flight_bodies import AirBody
from platewright.study.flight_model import FlightModel, airframe_of

__all__ = ["BodyOption", "body_options"]

STEP = 10.0
"""By which the deck is lowered and side plates grow [mm]."""
_PANEL = 2.0  # thickness of panels [mm]
_BETWEEN = ("side", "camera", "standoff")
_BENEATH = 1.0


@dataclass(frozen=True)
class BodyOption:
    """A variant of the body and its model."""

    name: str
    model: FlightModel

    @property
    def airframe(self) -> Airframe:
        """For trim."""
        return self.model.airframe


def body_options(model: FlightModel) -> tuple[BodyOption, ...]:
    """Return the variants that make sense for a frame.

    Parameters
    ----------
    model : FlightModel
        The frame as it is.
    """
    bodies = model.bodies
    made: list[tuple[str, tuple[AirBody, ...]]] = []
    decks, bases = ([b for b in bodies if b.kind == kind] for kind in ("deck", "base"))
    sides = [b for b in bodies if b.kind == "side"]
    room = min(d.bottom for d in decks) - max(b.top for b in bases) if decks and bases else 0.0
    if room > 2 * STEP:
        made.append((f"deck {STEP:.0f} mm lower", tuple(_lowered(b, min(d.bottom for d in decks)) for b in bodies)))
    if sides:
        made.append((f"side plates {STEP:.0f} mm taller", tuple(_taller(b) if b.kind == "side" else b for b in bodies)))
        made.append(("no side plates", tuple(b for b in bodies if b.kind != "side")))
    if room > STEP:
        low, high = max(b.top for b in bases), min(d.bottom for d in decks)
        made.append(("sides closed with panels", (*bodies, *_panels(decks, low, high))))
    return tuple(BodyOption(name, _model(model, changed)) for name, changed in made)


def _model(model: FlightModel, bodies: tuple[AirBody, ...]) -> FlightModel:
    frame = model.airframe
    return airframe_of(bodies, model.discs, frame.mass, model.centre, frame.blade_angle)


def _lowered(body: AirBody, deck: float) -> AirBody:
    """Move down what lies on the deck or hangs just under it; what stands below ends lower."""
    if body.bottom >= deck - _BENEATH:
        front, side = (affinity.translate(g, yoff=-STEP) for g in (body.front, body.side))
        return replace(body, front=front, side=side, bottom=body.bottom - STEP, top=body.top - STEP)
    if body.kind in _BETWEEN and body.top > deck - STEP:
        return _cut(body, deck - STEP)
    return body


def _cut(body: AirBody, height: float) -> AirBody:
    below = [shapely.box(-1e4, -1e4, 1e4, height)] * 2
    front, side = (shapely.intersection(g, b) for g, b in zip((body.front, body.side), below, strict=True))
    return replace(body, front=front, side=side, top=height)


def _taller(body: AirBody) -> AirBody:
    """Let a plate on edge grow upwards, with the same outline at its new top."""
    views = []
    for view in (body.front, body.side):
        steps = [affinity.translate(view, yoff=s) for s in (0.0, STEP / 2, STEP)]
        views.append(shapely.union_all(steps))
    return replace(body, front=views[0], side=views[1], top=body.top + STEP)


def _panels(decks: Sequence[AirBody], low: float, high: float) -> list[AirBody]:
    """Return a plate on edge along each side of the deck, as long as it."""
    x0, y0, x1, y1 = shapely.total_bounds([d.plan for d in decks]).tolist()
    made = []
    for name, y in (("panel.right", y0), ("panel.left", y1 - _PANEL)):
        plan, front = shapely.box(x0, y, x1, y + _PANEL), shapely.box(y, low, y + _PANEL, high)
        side = shapely.box(x0, low, x1, high)
        made.append(AirBody(name, "side", "panel", _PANEL, plan, front, side, low, high))
    return made
