"""What a kit costs, and what each choice of the design costs, by running the study again on the changed design."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from pydantic import TypeAdapter

from platewright.app.load import Loaded, load, reassemble
from platewright.foundation.errors import DesignFileError, RequestError
from platewright.io.shop_file import find_shop_file, read_shop_file
from platewright.model.design import Design, Part
from platewright.model.shop import ShopFile
from platewright.study.check import mass_report
from platewright.study.cost import cost_report
from platewright.study.cost_results import ChoiceCost, CostReport

__all__ = ["cost", "cost_json"]

_ADAPTER = TypeAdapter(CostReport)
_TYPICAL = 10  # kits of the batch for which choices are costed, where the shop makes such a batch


def cost(
    path: Path,
    shop: Path | None = None,
    batches: Sequence[int] | None = None,
    choices: bool = True,
    records: Path | None = None,
    cache: Path | None = None,
) -> CostReport:
    """Cost a frame's kit.

    Parameters
    ----------
    path : Path
        The design file.
    shop : Path or None
        The shop file; the one beside the design when None.
    batches : sequence of int or None
        Kits made at once; those of the shop file when None.
    choices : bool
        Whether to cost changes of the design too.
    records, cache
        As in `load`.

    Raises
    ------
    DesignFileError
        If the design or the shop file is invalid.
    RequestError
        If the shop has no sheet of a material and thickness, or a batch is out of range.
    """
    if batches and not all(1 <= n <= 100_000 for n in batches):
        msg = f"--quantity must be 1 to 100000 kits (got {', '.join(map(str, batches))})."
        raise RequestError(msg)
    loaded = load(path, records, cache)
    settings = read_shop_file(find_shop_file(path, shop), loaded.catalogue)
    report = cost_report(loaded.assembly, settings, batches)
    if not choices:
        return report
    sizes = [b.kits for b in report.batches]
    kits = _TYPICAL if _TYPICAL in sizes else sizes[0]
    return replace(report, choices=tuple(_choices(loaded, settings, kits)), choices_kits=kits)


def cost_json(report: CostReport) -> str:
    """Return a cost as JSON; its form is `docs/reference/cost.schema.json`."""
    return json.dumps(_ADAPTER.dump_python(report, mode="json"), indent=2, allow_nan=False)


def _choices(loaded: Loaded, shop: ShopFile, kits: int) -> Iterator[ChoiceCost]:
    """Each part one sheet thicker and thinner, as the shop has them, and one more kind of part."""
    before = cost_report(loaded.assembly, shop, [kits]).batches[0].total
    mass = mass_report(loaded.assembly).bare.mass_g
    design = loaded.assembly.design
    for n, part in enumerate(design.part):
        sold = sorted({s.thickness_mm for s in shop.sheet if s.material == part.material})
        thinner = [t for t in sold if t < part.thickness_mm - 1e-6][-1:]
        thicker = [t for t in sold if t > part.thickness_mm + 1e-6][:1]
        for thickness in (*thinner, *thicker):
            words = f"{part.id} {thickness - part.thickness_mm:+g} mm"
            changed = part.model_copy(update={"thickness_mm": thickness})
            yield _choice(loaded, _with_part(design, n, changed), shop, kits, words, before, mass)
    more = cost_report(loaded.assembly, shop, [kits], more_designs=1).batches[0].total
    yield ChoiceCost("one more kind of part, nothing else changed", more - before, 0.0, "")


def _with_part(design: Design, n: int, part: Part) -> Design:
    return design.model_copy(update={"part": (*design.part[:n], part, *design.part[n + 1 :])})


def _choice(
    loaded: Loaded, design: Design, shop: ShopFile, kits: int, words: str, before: Decimal, mass: float
) -> ChoiceCost:
    try:
        assembly = reassemble(loaded, design)
        after = cost_report(assembly, shop, [kits]).batches[0].total
    except DesignFileError as error:
        return ChoiceCost(words, None, None, error.problems[0].message)
    except RequestError as error:
        return ChoiceCost(words, None, None, str(error))
    return ChoiceCost(words, after - before, mass_report(assembly).bare.mass_g - mass, "")
