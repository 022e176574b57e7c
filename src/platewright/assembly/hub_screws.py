"""Screws that hold a propeller on a T-mount: two M2 screws through the hub into the motor's bell.

They are named in the propeller's `use` as a role of their own, `screw = "m2_socket"`; their length follows from the
hub. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass

from platewright.model.catalogue import Catalogue
from platewright.model.catalogue.fasteners import Screw
from platewright.model.catalogue.power import Propeller
from platewright.model.design import Equipment

__all__ = ["HUB_SCREW_SPACING", "N_HUB_SCREWS", "HubScrews", "hub_screws"]

N_HUB_SCREWS = 2
HUB_SCREW_SPACING = 5.0  # between the two holes of a T-mount [mm] (common practice, no source)


@dataclass(frozen=True)
class HubScrews:
    """The two screws of one propeller.

    Parameters
    ----------
    screw : Screw
        The record.
    length : float
        Chosen standard length [mm].
    engagement, least, most : float
        Thread in the bell, and what is wanted of it [mm].
    """

    screw: Screw
    length: float
    engagement: float
    least: float
    most: float

    @property
    def name(self) -> str:
        """What to order."""
        return f"screw {self.screw.thread}x{self.length:g} {self.screw.style}"


def hub_screws(equipment: Equipment, catalogue: Catalogue) -> HubScrews | None:
    """Screws of a propeller on a T-mount; None where its `use` names no screw.

    Parameters
    ----------
    equipment : Equipment
        The propeller.
    catalogue : Catalogue
        Where its records are.
    """
    records = [catalogue.find(i)[0] for i in equipment.use.values()]
    screw = next((r for r in records if isinstance(r, Screw)), None)
    hub = next((r for r in records if isinstance(r, Propeller)), None)
    if screw is None or hub is None:
        return None
    rule = catalogue.rule("motor_mounting.t_mount_screw_engagement_mm")
    least, most = rule.low or rule.value, rule.high or rule.value
    series = catalogue.lengths(screw.thread).series_mm
    length = next((v for v in series if v - hub.hub_height_mm >= least - 1e-9), series[-1])
    return HubScrews(screw, length, length - hub.hub_height_mm, least, most)
