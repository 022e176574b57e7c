"""The whole text of a starting design."""

from __future__ import annotations

import json
import re

from platewright.app.brief.brief import Brief
from platewright.app.brief.equipment import equipment_text
from platewright.app.brief.kit import Kit
from platewright.app.brief.layout import Layout
from platewright.app.brief.one_piece import one_piece_columns, one_piece_parts, one_piece_places
from platewright.app.brief.parameters import parameter_lines
from platewright.app.brief.separate import separate_columns, separate_parts, separate_places
from platewright.app.brief.top import top_columns, top_parts, top_places

__all__ = ["design_text"]

_PARTS = """\
# Woven quasi-isotropic plate throughout: equally stiff in every direction (common practice, no source). Numbers inside
# the outlines are widths of ribs and rails, which leave 2 mm and more beside slots and bolts, and fillets wider
# than any router bit (common practice, no source)."""


def design_text(brief: Brief, kit: Kit, layout: Layout) -> str:
    """Return the design file."""
    if layout.separate:
        parts, places, columns = separate_parts(), separate_places(), separate_columns(layout)
        how = "four separate arms, keyed between two base plates"
    else:
        parts, places, columns = one_piece_parts(layout), one_piece_places(), one_piece_columns(layout)
        how = "one base plate with its arms"
    sections = (
        _head(brief, kit, layout, how),
        _rule("parts"),
        _PARTS,
        parts,
        top_parts(kit, layout),
        _rule("places: what stands where"),
        places,
        top_places(layout),
        _rule("bolt lines: each stack reads along its axis, upwards or to the left"),
        columns,
        top_columns(layout),
        _rule("what it carries"),
        equipment_text(kit, layout),
    )
    whole = "\n\n".join(s.strip("\n") for s in sections) + "\n"
    return re.sub(r"\n{3,}", "\n\n", whole)


def _rule(title: str) -> str:
    return f"# ---- {title} ".ljust(118, "-")


def _drive(kit: Kit) -> str:
    if kit.kv_rpm_per_v is None:
        return ""
    why = "the usual one turns tips past Mach 0.7 (common practice, no source)"
    return f"""[drive]
kv_rpm_per_v = {kit.kv_rpm_per_v:g}  # winding to order: {why}
"""


def _head(brief: Brief, kit: Kit, layout: Layout, how: str) -> str:
    numbers = "\n".join(parameter_lines(layout.parameters))
    title = f"{brief.propeller_in:g} inch {brief.style} frame"
    return f"""# {brief.name}: a {title} with {how}.
# A starting design: every number has its reason beside it, and is yours to change. x forward, y left, z up; lengths in
# mm. Holes, heights and the lengths of most screws are computed from the stacks of the bolt lines.

format = 1

[frame]
name = {json.dumps(brief.name, ensure_ascii=False)}
description = "{title}, {how}"
frame_class = "{kit.frame_class.id}"
style = "{brief.style}"

# Change these first, then run platewright check.
[parameters]
{numbers}
{_bolt_parameters(layout)}
[rotors]
fore_aft_mm = "fore_aft_mm"
lateral_mm = "lateral_mm"

{_drive(kit)}"""


def _bolt_parameters(layout: Layout) -> str:
    """Return where the arm bolts fall: only these need the computed bearing of the arms."""
    if not layout.separate:
        return ""
    return """
# Where the arm bolts fall in the base plates.
inner_x_mm = "root_mm + bolt_inner_mm * cos(arm.bearing_deg)"
inner_y_mm = "root_mm + bolt_inner_mm * sin(arm.bearing_deg)"
outer_x_mm = "root_mm + bolt_outer_mm * cos(arm.bearing_deg)"
outer_y_mm = "root_mm + bolt_outer_mm * sin(arm.bearing_deg)"
"""
