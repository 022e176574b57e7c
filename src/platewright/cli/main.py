"""Entry point: parses arguments, calls the app, turns errors into sentences and exit statuses.

Exit status 0: done, no failing finding. 1: a failing finding, an invalid file, or an output that could not be written.
2: wrong usage. 130: interrupted.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Sequence
from types import FrameType
from typing import Any

from cyclopts import App, Group, Parameter
from cyclopts.exceptions import CycloptsError

from platewright import __version__
from platewright.foundation.errors import DesignFileError, PlatewrightError

__all__ = ["main"]

app = App(
    name="platewright",
    version=f"platewright {__version__}",
    help="From one design file of a carbon-plate multirotor frame to a kit that can be cut.",
    default_parameter=Parameter(negative_iterable=()),  # no --empty-... beside each option that may be repeated
    suppress_keyboard_interrupt=False,  # main says what it means
)
# Each command is imported when it is called: drawings and solvers take their time to load.
_COMMANDS = {
    "Design": {
        "new": "Write a complete, commented starting design from a brief.",
        "check": "Check a design: whether it fits, holds and flies; masses, stack-ups, order of assembly, tools.",
        "mass": "Show what weighs how much, and what each parameter and screw material costs.",
        "show": "Show pictures of a design, in files or in the terminal.",
        "build": "Write cut files, drawings, models, parts list and manifest into a folder.",
        "fits": "Say whether a propeller, motor, camera, battery, antenna or board fits, each in a sentence.",
        "compare": "Compare two designs, or a variant with its parent: parts, columns, masses, hardware, findings.",
        "service": "Show how each thing a pilot changes comes off: screws, tools, minutes, steps, pictures.",
        "read": "Read a drawing that others made: plates, patterns of holes, and what is not explained.",
        "catalogue": "List, search and show parts with their sources.",
    },
    "Strength and flight": {
        "part": "Solve one part alone: displacements, reactions, ply stresses, frequencies.",
        "strength": "Say what breaks first in flight and in each kind of crash, and what vibrates at which speed.",
        "fly": "Say how a frame flies: power and tilt against speed, what spacing buys, what plates cost in the air.",
        "motors": "Compare motors and propellers on a frame: lift, current, heat, torque for mass, response.",
        "fit-propeller": "Fit a propeller's static coefficients to a thrust-stand table.",
        "fit-motor": "Fit a motor's Kv, resistance and no-load current to a thrust-stand table.",
    },
    "Cutting and ordering": {
        "cost": "Say what a kit costs, by batch, by part and by choice, with the shop's own prices.",
        "nest": "Nest the plates of several kits on the shop's own sheets: cut files, pictures, yields, rests.",
        "order": "Write the package for a supplier: cut files by thickness, drawings, order, page for the cutter.",
        "line": "Say which parts of several frames are one, which nearly are, and what a merge saves.",
        "plan": "Say what to order today, what stock ties up, and what sharing parts saves.",
    },
    "The shop": {
        "stock": "Keep the stock: items, deliveries, checks, kits, sales, returns, counts.",
        "pack": "Pack a kit: bags by step of assembly, packing list, labels, parcel, customs line.",
        "revise": "Freeze a design as its next revision, with why and what changed; list the revisions.",
        "breakages": "Say what broken parts tell: rates by revision and lot, lives, where they break.",
    },
}
for _order, (_title, _commands) in enumerate(_COMMANDS.items()):
    _group = Group(_title, sort_key=_order)
    for _name, _help in _commands.items():
        _module = _name.replace("-", "_")
        app.command(f"platewright.cli.{_module}:{_module}", name=_name, help=_help, group=_group)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    arguments : sequence of str or None
        Words of the command line; those of the process when None.

    Returns
    -------
    int
        Exit status.
    """
    os.environ.setdefault("OMP_NUM_THREADS", "1")  # before NumPy loads: matrices of a frame are too small to share out
    status = _run(arguments)
    if arguments is None and any(thread.daemon for thread in threading.enumerate()):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)  # a library's search that cannot be stopped must not meet an interpreter that is ending
    return status


def _run(arguments: Sequence[str] | None) -> int:
    stopped = _Stopped()
    try:
        with stopped:
            status = app(arguments, exit_on_error=False, print_error=True, result_action="return_value")
    except CycloptsError:
        return 2
    except DesignFileError as error:
        count = len(error.problems)
        print(error, file=sys.stderr)
        print(f"{count} problem{'s' if count != 1 else ''}; nothing was written.", file=sys.stderr)
        return 1
    except PlatewrightError as error:
        print(error, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return _interrupted()
    except ImportError:
        if not stopped.asked:  # an interrupt that meets a library while it is loaded comes out as this
            raise
        return _interrupted()
    except BrokenPipeError:
        return 0
    return int(status or 0)


class _Stopped:
    """Remembers, while a command runs, whether Ctrl-C was pressed; `KeyboardInterrupt` is raised as ever."""

    def __init__(self) -> None:
        self.asked = False
        self._before: Any = None

    def __enter__(self) -> None:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.getsignal(signal.SIGINT)
            if self._before is signal.default_int_handler:
                signal.signal(signal.SIGINT, self._note)

    def __exit__(self, *_: object) -> None:
        if self._before is signal.default_int_handler:
            signal.signal(signal.SIGINT, self._before)

    def _note(self, number: int, frame: FrameType | None) -> None:
        self.asked = True
        signal.default_int_handler(number, frame)


def _interrupted() -> int:
    print("interrupted; nothing was changed.", file=sys.stderr)
    return 130
