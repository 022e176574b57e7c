"""`platewright service`: how a thing comes off and goes back, as steps, with pictures."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.console import Console
from rich.table import Table

from platewright.app.service import service_json, service_study, write_service_pictures
from platewright.cli.tables import new_table, screen
from platewright.study.results import ServiceRow

__all__ = ["service", "service_table"]


def service(
    frame: Path,
    /,
    *,
    thing: Annotated[list[str] | None, Parameter(consume_multiple=True)] = None,
    out: Path | None = None,
    ppi: float = 144.0,
    json: bool = False,
    catalogue: Path | None = None,
) -> int:
    """Show how each thing a pilot changes comes off: screws, what else comes loose, tools, minutes, steps.

    Parameters
    ----------
    frame
        The design file.
    thing
        Only these: a plate such as arm, a piece of equipment such as motor, or one role of it such as stack.fc.
    out
        A folder for one picture per thing, or a file ending in .svg or .png for a single thing.
    ppi
        Pixels per inch of a PNG.
    json
        Print JSON instead of tables.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    study = service_study(frame, thing or (), catalogue)
    if json:
        print(service_json(study))
    else:
        console = screen()
        console.print(f"[bold]{study.frame}[/bold]: service")
        console.print(service_table(study.rows))
        for row in study.rows if thing else ():
            _steps(row, console)
    if out is not None:
        for path in write_service_pictures(study, out, ppi):
            print(path)
    return 0 if all(row.possible for row in study.rows) else 1


def service_table(rows: Sequence[ServiceRow]) -> Table:
    """Return a table of what it takes to change each thing."""
    title = "Service: screws out and back to change a thing"
    table = new_table(title, "thing", "tools", "screws", "minutes", "what else it moves", left=2, last=True)
    for r in rows:
        name = r.thing if len(r.copies) == 1 else f"{r.thing} {_copies(r)}"
        if not r.possible:
            table.add_row(name, "", "locked", "", f"held by {r.held_by}")
            continue
        minutes = f"{r.minutes:.1f}\n{r.minutes_low:.1f} to {r.minutes_high:.1f}"
        table.add_row(name, "\n".join(r.tools), str(r.screws), minutes, _also(r))
    return table


def _also(row: ServiceRow) -> str:
    """Say in one phrase what a change opens, moves and leaves."""
    said = [f"opens {', '.join(row.other_joints)}"] if row.other_joints else []
    said += [f"{', '.join(row.set_aside)} set aside"] if row.set_aside else []
    said += [f"{', '.join(row.loosened)} loose"] if row.loosened else []
    boards = "boards stay" if row.boards_stay else "boards come loose"
    return "; ".join([*said, f"{boards} ({', '.join(row.eased)} out)" if row.eased else boards])


def _copies(row: ServiceRow) -> str:
    numbers = [c.rpartition(".")[2] for c in row.copies]
    return f"{', '.join(numbers)} alike"


def _steps(row: ServiceRow, console: Console) -> None:
    console.print(f"[bold]{row.copies[0]}[/bold], out; back in the other order:")
    for step in row.steps:
        screws = f": {', '.join(step.screws)}" if step.screws else ""
        console.print(f"  {step.number}. {step.action} {step.what}{screws}")
    proof = "no smaller set of screws does it" if row.proven else "the fewest found; smaller sets were not all tried"
    console.print(f"  {row.screws} screws ({row.own_screws} of its own): {proof}.")
    console.print(f"  {row.minutes:.1f} min ({row.minutes_low:.1f} to {row.minutes_high:.1f}), out and back:")
    for line in row.basis:
        console.print(f"    {line}")
