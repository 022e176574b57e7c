"""The files of an order: a DXF, a drawing and a picture of each part, the table, the page, the sums, the manifest."""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from platewright.app.load import Loaded
from platewright.app.nest_files import countersinks_of
from platewright.app.sheets import part_facts
from platewright.assembly.assemble import FinishedPart
from platewright.foundation.cautions import CAUTIONS
from platewright.foundation.units import MM_PER_M
from platewright.geometry.loops import cut_length, outline_area
from platewright.io.drawing.cutting import cutting_svg
from platewright.io.drawing.marks import mark_strokes
from platewright.io.dxf import write_part_dxf
from platewright.io.folder import SENT, write_manifest
from platewright.io.order_readme import OrderFacts, OrderLine, order_csv_rows, order_readme
from platewright.io.pdf.part_sheet import part_sheet_pdf
from platewright.model.catalogue import Strap
from platewright.study.cut_places import countersink_words, part_cutting
from platewright.study.identity import identity_of, same_part

__all__ = ["REVISION", "SHOWN", "OrderedFrame", "write_order"]

REVISION = "order_revision"
SHOWN = 12  # digits of a revision that are printed
_CHAMFER, _SLOT_EDGE = "finish.edge_chamfer_mm", "finish.edge_break_strap_slots_mm"
_SUMS = "checksums.sha256"


@dataclass(frozen=True)
class OrderedFrame:
    """A frame under the name of its file, with its kits."""

    name: str
    loaded: Loaded
    kits: int


@dataclass(frozen=True)
class _Wanted:
    """A part with everything that orders it: frame, part there, pieces."""

    uses: tuple[tuple[OrderedFrame, FinishedPart, int], ...]

    @property
    def name(self) -> str:
        """Frames and part, for its files."""
        frames = "+".join(dict.fromkeys(order.name for order, _, _ in self.uses))
        parts = "+".join(dict.fromkeys(finished.part.id for _, finished, _ in self.uses))
        return f"{frames}_{parts}"


def write_order(
    folder: Path,
    ordered: Sequence[OrderedFrame],
    revision: str,
    fails: Sequence[str],
    say: Callable[[str], None],
) -> tuple[OrderLine, ...]:
    """Write an order into an empty folder; return what is ordered, the same parts of several frames once."""
    lines = tuple(_write_part(folder, wanted, say) for wanted in _parts(ordered))
    _write_tables(folder, ordered, lines, revision, fails)
    return lines


def _parts(ordered: Sequence[OrderedFrame]) -> list[_Wanted]:
    """Parts of all frames, the same ones together, by material and thickness."""
    found: list[list[tuple[OrderedFrame, FinishedPart, int]]] = []
    for each in ordered:
        for finished in each.loaded.assembly.parts.values():
            if not finished.quantity:
                continue
            use = each, finished, finished.quantity * each.kits
            same = (g for g in found if same_part(identity_of(finished), identity_of(g[0][1])) is not None)
            group = next(same, None)
            if group is None:
                found.append([use])
            else:
                group.append(use)
    groups = [_Wanted(tuple(group)) for group in found]
    return sorted(groups, key=lambda w: (w.uses[0][1].part.thickness_mm, w.uses[0][1].part.material))


def _write_part(folder: Path, wanted: _Wanted, say: Callable[[str], None]) -> OrderLine:
    say(f"part {wanted.name}")
    each, finished, _ = wanted.uses[0]
    assembly, part = each.loaded.assembly, finished.part
    frame, quantity = assembly.design.frame, sum(n for _, _, n in wanted.uses)
    sheet = f"{part.thickness_mm:g}mm_{part.material}"
    files = (f"{sheet}/{wanted.name}_x{quantity}.dxf", f"drawings/{wanted.name}.pdf", f"pictures/{wanted.name}.svg")
    for name in files:
        (folder / name).parent.mkdir(exist_ok=True)
    cutting = part_cutting(assembly, finished)
    write_part_dxf(
        folder / files[0],
        finished.outline,
        part_id=part.id,
        title=f"{frame.name} {part.id}",
        thickness_mm=part.thickness_mm,
        material=assembly.catalogue.laminate(part.material).name,
        quantity=quantity,
        revision=frame.revision,
        strokes=[stroke for mark in part.marks for stroke in mark_strokes(mark)],
        countersinks=countersinks_of(finished),
        grain_deg=part.grain_deg,
    )
    (folder / files[1]).write_bytes(part_sheet_pdf(finished, part_facts(assembly, finished)))
    (folder / files[2]).write_bytes(cutting_svg(finished, cutting).encode())
    drilled = sorted({round(c.diameter, 3) for c in cutting.plan.cuts if c.kind == "drill"})
    return OrderLine(
        wanted.name,
        "+".join(dict.fromkeys(order.name for order, _, _ in wanted.uses)),
        part.material,
        assembly.catalogue.laminate(part.material).name,
        float(part.thickness_mm),
        assembly.catalogue.thickness_tolerance_mm(part.thickness_mm),
        quantity,
        cut_length(finished.outline),
        outline_area(finished.outline),
        len(finished.outline.circles),
        cutting.bit_mm,
        tuple(drilled),
        countersink_words(finished),
        _edges(each.loaded, finished),
        *files,
    )


def _edges(loaded: Loaded, finished: FinishedPart) -> str:
    """Return which edges of a part are broken: arms all round, slots of straps."""
    catalogue = loaded.catalogue
    words = []
    if finished.part.kind == "arm":
        words.append(f"all round, {catalogue.rule(_CHAMFER).value:g} mm at 45 deg on both faces")
    places = {i.place.id for i in loaded.assembly.instances.values() if i.part.id == finished.part.id}
    for equipment in loaded.assembly.design.equipment:
        strapped = any(isinstance(r, Strap) for i in equipment.use.values() for r in catalogue.find(i))
        if strapped and places & set(equipment.through):
            words.append(f"slots of the {equipment.id}, {catalogue.rule(_SLOT_EDGE).value:g} mm, or they cut it")
    return "; ".join(words)


def _write_tables(
    folder: Path, ordered: Sequence[OrderedFrame], lines: Sequence[OrderLine], revision: str, fails: Sequence[str]
) -> None:
    catalogue = ordered[0].loaded.catalogue
    designs = [o.loaded.assembly.design for o in ordered]
    kits = ", ".join(f"{o.kits} x {d.frame.name} {d.frame.revision}" for o, d in zip(ordered, designs, strict=True))
    facts = OrderFacts(
        designs[0].frame.workshop,
        kits,
        revision[:SHOWN],
        catalogue.rule("tolerance.routed_profile_mm").value,
        catalogue.rule("tolerance.routed_hole_mm").value,
        tuple(f"{text}." for text in fails),
    )
    text = io.StringIO()
    csv.writer(text).writerows(order_csv_rows(lines))
    (folder / "order.csv").write_bytes(text.getvalue().encode())
    (folder / "README.txt").write_bytes(order_readme(facts, lines).encode())
    sums = [
        f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.relative_to(folder)}\n"
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    ]
    (folder / _SUMS).write_bytes("".join(sums).encode())
    manifest: dict[str, object] = {
        REVISION: revision,
        SENT: None,
        "kits": {o.name: o.kits for o in ordered},
        "pieces": sum(line.quantity for line in lines),
        "cut_length_m": round(sum(line.quantity * line.cut_length_mm for line in lines) / MM_PER_M, 3),
        "cautions": list(CAUTIONS),
    }
    write_manifest(folder, manifest)
