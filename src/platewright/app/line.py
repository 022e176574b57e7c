"""Several designs as one product line: the report, as JSON, and pictures of nearly same parts on one another."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from platewright.app.load import load
from platewright.app.show import write_picture
from platewright.foundation.errors import RequestError
from platewright.geometry.loops import transform_outline
from platewright.io.drawing.difference import difference_svg
from platewright.io.files import make_folder
from platewright.io.shop_file import find_shop_file, read_shop_file
from platewright.model.catalogue import Catalogue
from platewright.study.compare import outline_difference
from platewright.study.line import LineStudy, line_study
from platewright.study.line_results import LineOptions, LineReport, PartUse

__all__ = ["line", "line_json", "write_near_pictures"]

_ADAPTER = TypeAdapter(LineReport)


def line(
    paths: Sequence[Path], options: LineOptions | None = None, shop: Path | None = None, records: Path | None = None
) -> LineStudy:
    """Compare the designs of a product line.

    Parameters
    ----------
    paths : sequence of Path
        Two design files or more.
    options : LineOptions or None
        What near means, and what stock is reckoned with; the usual when None.
    shop : Path or None
        The shop file; the one beside the first design, if there is one, when None.
    records : Path or None
        A folder of the user's own catalogue records.

    Raises
    ------
    DesignFileError
        If a design or the shop file is invalid.
    RequestError
        If an option is out of range, or there are fewer than two frames.
    """
    chosen = options or LineOptions()
    _check(chosen)
    assemblies = [load(path, records).assembly for path in paths]
    return line_study(assemblies, _with_shop(chosen, paths[0], shop, assemblies[0].catalogue) if paths else chosen)


def line_json(report: LineReport) -> str:
    """Return a report as JSON."""
    data: dict[str, Any] = _ADAPTER.dump_python(report, mode="json")
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)


def write_near_pictures(study: LineStudy, out: Path) -> tuple[Path, ...]:
    """Write a picture of each nearly same pair, the first laid on the second.

    Raises
    ------
    OutputError
        If the folder or a picture cannot be written.
    """
    make_folder(out)
    written = []
    for near in study.outlines:
        first, second = near.pair.first, near.pair.second
        names = (f"{first.frame} {first.part}", f"{second.frame} {second.part}")
        moved = transform_outline(near.first, near.motion)
        title = f"{names[0]} on {names[1]}"
        svg = difference_svg(title, names, moved, near.second, outline_difference(moved, near.second))
        path = out / f"near_{_file(first)}_{_file(second)}.svg"
        write_picture(svg, path)
        written.append(path)
    return tuple(written)


def _with_shop(options: LineOptions, design: Path, given: Path | None, catalogue: Catalogue) -> LineOptions:
    try:
        path = find_shop_file(design, given)
    except RequestError:
        return options
    shop = read_shop_file(path, catalogue)
    money = float(shop.labour.design_min) / 60 * float(shop.labour.rate_per_h)
    return replace(options, design_money=round(money, 2), currency=shop.currency)


def _check(options: LineOptions) -> None:
    problems = {
        "--within-mm must be above 0, and 10 at most": 0 < options.within_mm <= 10,
        "--lead-days must be 0 to 1000": 0 <= options.lead_time_days <= 1000,
        "--service-percent must lie between 50 and 100": 50 <= options.service_percent < 100,
        "--least-pieces must be 1 to 100000": 1 <= options.least_pieces <= 100_000,
    }
    for sentence, holds in problems.items():
        if not holds:
            msg = f"{sentence}."
            raise RequestError(msg)


def _file(use: PartUse) -> str:
    return re.sub(r"[^a-z0-9]+", "_", f"{use.frame}_{use.part}".lower()).strip("_")
