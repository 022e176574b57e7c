"""Service of a frame: how things come off, as rows, JSON and pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter

from platewright.app.load import load
from platewright.app.show import write_picture
from platewright.assembly.assemble import Assembly
from platewright.assembly.order import assembly_order
from platewright.foundation.errors import OutputError, RequestError, nearest_names
from platewright.io.drawing.service import service_svg
from platewright.io.files import make_folder
from platewright.study.results import ServiceRow
from platewright.study.service_findings import service_names, service_rows

__all__ = ["ServiceStudy", "service_json", "service_study", "write_service_pictures"]

_BUDGET = 2000  # smaller sets of screws tried to prove a result [-]
_ROWS = TypeAdapter(tuple[ServiceRow, ...])


@dataclass(frozen=True)
class ServiceStudy:
    """A frame with how its things come off."""

    frame: str
    assembly: Assembly
    rows: tuple[ServiceRow, ...]


def service_study(path: Path, things: Sequence[str] = (), records: Path | None = None) -> ServiceStudy:
    """Find how things of a design come off.

    Parameters
    ----------
    path : Path
        The design file.
    things : sequence of str
        Which; all that a pilot changes when empty.
    records : Path or None
        A folder of the user's own catalogue records.

    Raises
    ------
    RequestError
        If there is no such thing; the message names the nearest.
    """
    assembly = load(path, records).assembly
    order = assembly_order(assembly)
    known = service_names(assembly, order.covered)
    for name in things:
        if name not in known:
            near = nearest_names(name, known) or sorted(known)
            msg = f"unknown thing '{name}'; did you mean {' or '.join(repr(n) for n in near)}?"
            raise RequestError(msg)
    rows = service_rows(assembly, order.covered, things, every_copy=True, budget=_BUDGET)
    return ServiceStudy(assembly.design.frame.name, assembly, rows)


def service_json(study: ServiceStudy) -> str:
    """Return the rows as JSON, in the form that `check --json` has them."""
    return _ROWS.dump_json(study.rows, indent=2).decode()


def write_service_pictures(study: ServiceStudy, out: Path, ppi: float = 144.0) -> tuple[Path, ...]:
    """Write one picture per thing into a folder, or that of a single thing into a file.

    Raises
    ------
    OutputError
        If a file is named for several things, or something cannot be written.
    """
    if out.suffix in (".svg", ".png"):
        if len(study.rows) != 1:
            msg = f"'{out.name}' takes one picture of {len(study.rows)}; name a folder, or one --thing."
            raise OutputError(msg)
        write_picture(service_svg(study.assembly, study.rows[0]), out, ppi)
        return (out,)
    make_folder(out)
    written = []
    for row in study.rows:
        path = out / f"service_{row.copies[0] if len(row.copies) > 1 else row.thing}.svg"
        write_picture(service_svg(study.assembly, row), path)
        written.append(path)
    return tuple(written)
