"""Nest the plates of several frames on the shop's sheets, and write sheets, pictures and rests into a folder."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from platewright.app.load import load
from platewright.app.nest_files import NEST_FILE, write_nest
from platewright.app.nest_search import Search, best_start
from platewright.fabrication.nesting import nest_parts
from platewright.foundation.errors import GeometryError, RequestError
from platewright.io.folder import check_target, replaced_folder
from platewright.io.shop_file import find_shop_file, read_shop_file
from platewright.model.shop import ShopFile
from platewright.study.nest_results import KitCount, NestGroupRow, NestReport
from platewright.study.nesting import FrameOrder, NestJob, group_row, nest_jobs

__all__ = ["frame_orders", "nest", "nest_json", "run_nest"]

Progress = Callable[[str], None]
_ADAPTER = TypeAdapter(NestReport)
_MOST = 20_000  # pieces of one run
_DAY = 86_400  # the longest search [s]
_SEEDS = 2**32
_TRIES = 100_000


def nest(
    frames: Sequence[Path],
    quantities: Sequence[int],
    out: Path | None,
    shop: Path | None = None,
    seconds: float = 30.0,
    seed: int = 1,
    resume: bool = False,
    records: Path | None = None,
    progress: Progress | None = None,
    tries: int | None = None,
) -> NestReport:
    """Nest kits of frames.

    Parameters
    ----------
    frames : sequence of Path
        Design files.
    quantities : sequence of int
        Kits of each, or one number for all.
    out : Path or None
        The folder to write, whole or not at all; None to write nothing.
    shop : Path or None
        The shop file; the one beside the first design when None.
    seconds : float
        Time for the search [s].
    seed : int
        Of the search.
    resume : bool
        Go on from the nest that is in the folder, or that a run which was killed has left beside it, where it is of the
        same pieces and sheets.
    records : Path or None
        A folder of the user's own catalogue records.
    progress : callable or None
        Told what is being done.
    tries : int or None
        Orders of the pieces to try, instead of a search for a time; then the same seed gives the same nest.

    Raises
    ------
    DesignFileError
        If a design or the shop file is invalid.
    RequestError
        If an option is out of range, the quantities do not fit the frames, a sheet is missing or a part fits on none.
    OutputError
        If the folder cannot be written.

    Notes
    -----
    An interrupt from the keyboard ends the search, and the best so far is written.
    """
    say = progress or (lambda _: None)
    _check(seconds, seed, tries)
    if out is not None:
        check_target(out.absolute())
    orders = frame_orders(frames, quantities, records, say)
    catalogue = orders[0].assembly.catalogue
    settings = read_shop_file(find_shop_file(frames[0], shop), catalogue)
    search = Search(out)
    earlier = (*_earlier(out), *search.earlier()) if resume and out is not None else ()
    jobs = nest_jobs(orders, settings, catalogue)
    try:
        report = run_nest(orders, jobs, settings, seconds, seed, say, earlier, search, tries)
    except RequestError:  # what was found of other jobs is of no use
        search.forget()
        raise
    if out is not None:
        say("writing")
        with replaced_folder(out) as folder:
            write_nest(folder, report, jobs, nest_json(report))
        search.forget()
    return report


def frame_orders(
    frames: Sequence[Path], quantities: Sequence[int], records: Path | None, say: Progress
) -> list[FrameOrder]:
    """Load frames, each under the name of its file.

    Raises
    ------
    RequestError
        If the quantities do not fit the frames, or a name is there twice.
    """
    counts = list(quantities) * len(frames) if len(quantities) == 1 else list(quantities)
    if len(counts) != len(frames):
        msg = f"--quantity must be given once for all frames or once for each of the {len(frames)} (got {len(counts)})."
        raise RequestError(msg)
    if any(not 1 <= n <= 10_000 for n in counts):
        msg = f"--quantity must be 1 to 10000 kits (got {', '.join(map(str, counts))})."
        raise RequestError(msg)
    names = [path.stem for path in frames]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        msg = f"'{twice[0]}' is named twice; give its kits in one --quantity."
        raise RequestError(msg)
    orders = []
    for path, kits in zip(frames, counts, strict=True):
        say(f"reading {path.name}")
        orders.append(FrameOrder(path.stem, load(path, records).assembly, kits))
    pieces = sum(p.quantity * o.kits for o in orders for p in o.assembly.parts.values())
    if pieces > _MOST:
        msg = f"{pieces} pieces are more than the {_MOST} that one run may hold; nest fewer kits at once."
        raise RequestError(msg)
    return orders


def run_nest(
    orders: Sequence[FrameOrder],
    jobs: Sequence[NestJob],
    shop: ShopFile,
    seconds: float,
    seed: int,
    say: Progress,
    earlier: Sequence[NestGroupRow] = (),
    search: Search | None = None,
    tries: int | None = None,
) -> NestReport:
    """Nest jobs one after another, each with its share of the time by its pieces.

    Raises
    ------
    RequestError
        If a part fits on no sheet.
    """
    pieces = sum(job.pieces for job in jobs)
    kept = search or Search(None)
    rows: list[NestGroupRow] = []
    stopped = False
    for job in jobs:
        name = f"{job.thickness_mm:g} mm {job.material}"
        share = 0.0 if stopped else seconds * job.pieces / pieces
        start = best_start(job, earlier)

        def tell(what: str, name: str = name) -> None:
            say(f"{name}: {what}")

        keep = partial(kept.better, job)
        orders_tried = 0 if stopped and tries is not None else tries
        try:
            found = nest_parts(
                job.parts, job.stocks, job.spacing_mm, share, seed, time.monotonic, tell, start, keep, orders_tried
            )
        except GeometryError as error:
            raise RequestError(str(error)) from error
        stopped = stopped or found.interrupted
        rows.append(group_row(job, found))
        kept.done(rows[-1])
    sheets = [sheet for row in rows for sheet in row.sheets]
    return NestReport(
        tuple(KitCount(o.name, o.assembly.design.frame.revision, o.kits) for o in orders),
        shop.currency,
        seed,
        stopped,
        pieces,
        len(sheets),
        sum((s.price for s in sheets), start=Decimal(0)),
        tuple(rows),
    )


def nest_json(report: NestReport) -> str:
    """Return a nest as JSON; its form is `docs/reference/nest.schema.json`."""
    return json.dumps(_ADAPTER.dump_python(report, mode="json"), indent=2, allow_nan=False)


def _check(seconds: float, seed: int, tries: int | None) -> None:
    if not 0 <= seconds <= _DAY:
        msg = f"--seconds must be 0 to {_DAY} (got {seconds:g})."
        raise RequestError(msg)
    if not 0 <= seed < _SEEDS:
        msg = f"--seed must be 0 to {_SEEDS - 1} (got {seed})."
        raise RequestError(msg)
    if tries is not None and not 0 <= tries <= _TRIES:
        msg = f"--tries must be 0 to {_TRIES} (got {tries})."
        raise RequestError(msg)


def _earlier(out: Path) -> tuple[NestGroupRow, ...]:
    """Return the nests that a folder holds; none if there are none that can be read."""
    try:
        data = json.loads((out / NEST_FILE).read_text(encoding="utf-8"))
        return _ADAPTER.validate_python(data).groups
    except (OSError, ValueError, ValidationError, AttributeError):
        return ()
