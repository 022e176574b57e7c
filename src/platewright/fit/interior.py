"""What is inside a frame and hangs together, looked for once: packs, boards, leads and wires, and their soft bodies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from platewright.assembly.assemble import Assembly
from platewright.fit.battery import Pack, packs_of
from platewright.fit.boards import BoardPlace, board_places
from platewright.fit.leads import Lead, motor_leads
from platewright.fit.soft_bodies import SoftBodies, soft_bodies
from platewright.fit.solids import Prism
from platewright.fit.wires import Run, wire_runs

__all__ = ["Interior", "interior_of"]


@dataclass(frozen=True)
class Interior:
    """Batteries, screwed boards, leads of motors, runs of wire, and straps and leads as bodies."""

    packs: tuple[Pack, ...]
    boards: tuple[BoardPlace, ...]
    leads: tuple[Lead, ...]
    runs: tuple[Run, ...]
    soft: SoftBodies

    @property
    def power(self) -> tuple[Run, ...]:
        """All wires that carry power, leads of motors among them."""
        motors = (Run("power", w.motor, w.board, w.path, w.length, ()) for w in self.leads)
        return (*(run for run in self.runs if run.kind == "power"), *motors)


def interior_of(assembly: Assembly, prisms: Mapping[str, Sequence[Prism]]) -> Interior:
    """Return what is inside a frame.

    Parameters
    ----------
    assembly : Assembly
        The frame.
    prisms : mapping
        Of all bodies by name.
    """
    packs, boards, leads = packs_of(assembly, prisms), board_places(assembly, prisms), motor_leads(assembly)
    runs = wire_runs(assembly, prisms, boards)
    soft = soft_bodies(assembly, packs, leads, runs)
    return Interior(tuple(packs), tuple(boards), tuple(leads), tuple(runs), soft)
