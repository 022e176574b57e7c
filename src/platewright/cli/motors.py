"""`platewright motors`: other motors and propellers on a frame, in numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from rich import box
from rich.table import Table
from rich.text import Text

from platewright.app.motors import motors as run_motors
from platewright.app.motors import motors_json
from platewright.cli.tables import screen
from platewright.study.motor_choice import MotorRow

__all__ = ["motors"]

_COLUMNS: tuple[tuple[str, Callable[[MotorRow], str]], ...] = (
    ("g", lambda r: f"{r.motor_mass_g:.1f}"),
    ("Kv", lambda r: f"{r.kv_rpm_per_v:.0f}"),
    ("mohm", lambda r: f"{r.resistance_mohm:.0f}"),
    ("mN m/√W", lambda r: f"{r.torque_per_loss_mnm:.1f}"),
    ("for each g", lambda r: f"{r.torque_per_loss_per_g:.3f}"),
    ("most mN m/g", lambda r: f"{r.torque_per_mass_mnm_g:.1f}"),
)
_FLOWN: tuple[tuple[str, Callable[[MotorRow], str]], ...] = (
    ("craft g", lambda r: f"{r.craft_mass_g:.0f}"),
    ("hover W", lambda r: f"{r.hover_power_w:.0f}"),
    ("thrust/weight", lambda r: f"{r.thrust_to_weight:.1f}"),
    ("full A", lambda r: _of(r.full_current_a, r.current_max_a)),
    ("loss W", lambda r: f"{r.full_loss_w:.0f} of {r.shed_w:.0f}"),
    ("g cm²", lambda r: f"{r.inertia_g_cm2:.0f}"),
    ("response ms", lambda r: "" if r.response_ms is None else f"{r.response_ms:.0f}"),
    ("tip Mach", lambda r: f"{r.tip_mach:.2f}"),
)


def motors(frame: Path, /, *, json: bool = False, catalogue: Path | None = None) -> int:
    """Compare motors on a frame: lift, current, heat, torque for their mass, time to change speed.

    Parameters
    ----------
    frame
        The design file.
    json
        Print JSON instead of tables.
    catalogue
        A folder of your own catalogue records, laid over the shipped ones.
    """
    result = run_motors(frame, catalogue)
    if json:
        print(motors_json(result))
        return 0
    console = screen()
    console.print(_table(f"{result.frame}: motors with its propeller", result.motors, "motor"))
    console.print(_table("Propellers with its motor", result.propellers, "propeller"))
    for row in (*result.motors, *result.propellers):
        if row.why_not and row.is_own:
            console.print(Text(f"{row.motor} with {row.propeller}: {row.why_not}"))
    console.print(Text(f"> the design's own; (*) outside the usual range of the class, which is advice. {_LEGEND}"))
    console.print(Text(f"Assumed: {'; '.join(result.assumptions)}."))
    return 0


_LEGEND = (
    "mN m/√W: torque for the square root of a watt lost in the winding; full A and loss W: at full throttle, of what "
    "the class bears (! beyond it) and of what the bell sheds for ever; response: at full throttle from the speed of "
    "hover to nine tenths of the full one."
)


def _of(value: float, most: float) -> str:
    return f"{value:.0f} of {most:.0f}" + (" !" if value > most else "")


def _table(title: str, rows: Sequence[MotorRow], what: str) -> Table:
    table = Table(title=title, title_justify="left", pad_edge=False, box=box.SIMPLE_HEAD)
    table.add_column("")
    table.add_column(what, no_wrap=True)
    for name, _ in (*_COLUMNS, *_FLOWN):
        table.add_column(name, justify="right")
    for row in rows:
        name = getattr(row, what) + ("" if row.usual else " (*)")
        made = [show(row) for _, show in _COLUMNS]
        flown = ["cannot hover", *[""] * (len(_FLOWN) - 1)] if row.why_not else [show(row) for _, show in _FLOWN]
        table.add_row(">" if row.is_own else "", name, *made, *flown)
    return table
