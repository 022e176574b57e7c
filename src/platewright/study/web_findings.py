"""Findings about webs and inside corners of cut parts: what breaks while it is cut, and what a cutter cannot reach."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.assembly.assemble import Assembly, FinishedPart
from platewright.fit.webs import InsideCorner, Web, inside_corners, webs
from platewright.foundation.findings import Finding, Severity

__all__ = ["SLIGHT", "usual_web", "web_findings"]

_WEB_RULE = "edge_distance.web_between_cutouts_mm"
_CUTTER = "checks.cutter_mm: a round cutter leaves its own radius (plane geometry)"
_ADVICE = {
    True: ("openings have", "take a smaller cutter, or make the opening wider"),
    False: ("the outline has", "round them with fillet_mm, relieve them, or take a smaller cutter"),
}
SLIGHT = 0.005  # less is rounding of an outline [mm]


def web_findings(assembly: Assembly) -> Iterator[Finding]:
    """Yield what is found about the webs and inside corners of all parts."""
    for finished in assembly.parts.values():
        yield from _webs(assembly, finished)
        yield from _corners(assembly, finished)


def usual_web(assembly: Assembly, finished: FinishedPart) -> float:
    """Return the width below which a web of a part is said: the usual, or the plate's thickness [mm]."""
    return max(assembly.catalogue.rule(_WEB_RULE).value, finished.part.thickness_mm)


def _webs(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    """Warn below the limit; note what is less than usual or than the plate is thick; one finding for all of a part."""
    rule, limit = assembly.catalogue.rule(_WEB_RULE), assembly.design.checks.web_mm
    thickness = finished.part.thickness_mm
    usual = usual_web(assembly, finished)
    where = f"part {finished.part.id}"
    found = webs(finished.outline, max(limit, usual))
    narrow = [w for w in found if w.width < limit - SLIGHT]
    if narrow:
        advice = "move the opening, or make the plate wider there"
        text = f"{_webs_in_words(narrow)} than {limit:g} mm: {_web(narrow[0])}; {advice}."
        why = f"limit checks.web_mm, the least of {_WEB_RULE} ({rule.source})"
        yield Finding("web.narrow", Severity.WARN, where, text, narrow[0].width, limit, "mm", why)
    thin = [w for w in found if limit - SLIGHT <= w.width < usual - SLIGHT]
    if thin:
        text = f"{_webs_in_words(thin)} than the usual {rule.value:g} mm or the plate's {thickness:g}: {_web(thin[0])}."
        why = f"{_WEB_RULE} ({rule.source}), {rule.note}"
        yield Finding("web.narrow", Severity.NOTE, where, text, thin[0].width, usual, "mm", why)


def _corners(assembly: Assembly, finished: FinishedPart) -> Iterator[Finding]:
    """Warn of corners sharper than the cutter's radius, those of openings and those of the outline apart."""
    cutter = assembly.design.checks.cutter_mm
    found = inside_corners(finished.outline, cutter / 2 - 1e-3)
    for in_opening, (what, advice) in _ADVICE.items():
        corners = [c for c in found if c.in_opening == in_opening]
        if corners:
            count = f"{len(corners)} inside corners" if len(corners) > 1 else "an inside corner"
            text = f"{what} {count} sharper than the {cutter:g} mm cutter leaves: {_corner(corners[0])}; {advice}."
            radius, where = min(c.radius for c in corners), f"part {finished.part.id}"
            yield Finding("corner.radius", Severity.WARN, where, text, radius, cutter / 2, "mm", _CUTTER)


def _webs_in_words(found: list[Web]) -> str:
    return f"{len(found)} webs are narrower" if len(found) > 1 else "a web is narrower"


def _web(web: Web) -> str:
    x, y = web.opening
    to = "the edge" if web.neighbour is None else f"that at ({web.neighbour[0]:.1f}, {web.neighbour[1]:.1f})"
    return f"{web.width:.2f} mm between the opening at ({x:.1f}, {y:.1f}) and {to}"


def _corner(corner: InsideCorner) -> str:
    how = f"radius {corner.radius:.2f} mm" if corner.radius else "sharp"
    return f"{how} at ({corner.x:.1f}, {corner.y:.1f})"
