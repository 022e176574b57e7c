"""Tables of a frame's strength: load cases, braces, vibration, slip, screws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from rich.table import Table

from platewright.cli.kind_table import kind_table
from platewright.cli.tables import new_table
from platewright.study.belief_results import ScrewChoice
from platewright.study.strength_results import BowRow, CaseRow, FrameStrength, ScrewMaterialRow

__all__ = ["case_tables", "other_tables"]

_SHOWN_MODES = 16


def case_tables(result: FrameStrength) -> Iterator[Table]:
    """Yield the tables of load cases: margins of known loads, energies of hits."""
    yield _steady(result)
    yield _hits(result)


def other_tables(result: FrameStrength) -> Iterator[Table | str]:
    """Yield all other tables that have rows, with a sentence under some."""
    if result.kinds:
        yield kind_table(result)
        yield (
            "Margin: by what the load may be multiplied; in hits: by what that blow's load at first failure may be. "
            "Plies are judged at the characteristic distance, 1.016 mm off bolted rims and sharp inside corners."
        )
    if result.strikes:
        yield _strikes(result)
    if result.without_braces:
        yield _braces(result)
    yield _modes(result)
    if result.arm_modes:
        yield _arms(result)
    if result.speeds:
        yield _speeds(result)
        yield f"Speeds from {result.speeds_from}."
    else:
        yield f"Rotor speeds: {result.speeds_from}."
    if result.shakes:
        yield _shakes(result)
        yield f"Shaken by {result.shaken_by}."
    if result.board_places:
        yield _board(result)
        yield (
            "Local bending: the rate against the mean of all these bolts, which a rigid plate would share; larger than "
            "the rate itself where bolts turn against each other."
        )
    if result.slip:
        yield _slip(result)
    for bow in result.bows:
        yield _bow(bow)
        yield bow_verdict(bow)
    if result.screws:
        yield _screws(result)
    if result.screw_choices:
        yield _choices(result)
    for belief in result.beliefs:
        band = f"{belief.band[0]:.2f} to {belief.band[1]:.2f}"
        yield (
            f"Makers hold that {belief.belief}. On this frame: {belief.verdict}. Compared: {belief.compared}, "
            f"{belief.value:.2f} ({band} over joints), above {belief.limit:g} it holds. {belief.words}."
        )


def bow_verdict(bow: BowRow) -> str:
    """Return whether a bow keeps the screws of its plate from turning loose, in one sentence."""
    share = [100 * row.bow_n / row.clamp_n for row in bow.screws if row.clamp_n > 0]
    pulled = [row for row in bow.screws if row.bow_n > 0]
    text = f"The bow changes what clamps its faces by {-max(share):+.0f} to {-min(share):+.0f} %"
    torque = [row.safety for row in bow.screws if row.safety is not None]
    alone = [row.safety_by_bow_alone for row in pulled if row.safety_by_bow_alone is not None]
    if torque:
        text += f"; with the torque shown they hold {min(torque):.3g} times the slip at full thrust"
    if alone:
        holds = "holds" if min(alone) >= pulled[0].wanted else "does not hold"
        text += (
            f". Finger-tight, the bow {holds} the screws it pulls ({min(alone):.2f} times), and leaves those it "
            "presses without tension"
        )
    return f"{text}."


def _steady(result: FrameStrength) -> Table:
    table = new_table(
        "Known loads: margin until something fails",
        "case",
        "margin",
        "band",
        "fails first",
        "next, at times that",
        words=("fails first", "next, at times that"),
    )
    for row in result.cases:
        if row.margin is not None and row.margin_band is not None:
            band = f"{row.margin_band[0]:.3g} to {row.margin_band[1]:.3g}"
            table.add_row(row.case, f"{row.margin:.3g}", band, _first(row), f"{row.next_failure}, {row.next_by:.2f}")
    return table


def _hits(result: FrameStrength) -> Table:
    table = new_table(
        "Hits: energy that the frame takes up until something fails",
        "case",
        "J",
        "band",
        "meets a mass of g",
        "fails first",
        "next, at times the load",
        words=("fails first", "next, at times the load"),
    )
    for row in result.cases:
        if row.energy_j is not None and row.energy_band_j is not None and row.effective_mass_g is not None:
            band = f"{row.energy_band_j[0]:.2g} to {row.energy_band_j[1]:.2g}"
            meets = f"{row.effective_mass_g:.0f}"
            other = f"{row.next_failure}, {row.next_by:.2f}"
            table.add_row(row.case, f"{row.energy_j:.2g}", band, meets, _first(row), other)
    return table


def _strikes(result: FrameStrength) -> Table:
    table = new_table(
        "Hits in time: energy of the mass that is met, when something fails first",
        *("case", "J", "contact soft to hard", "slowly", "fails first"),
        words=("fails first",),
    )
    slow = {row.case: row.energy_j for row in result.cases}
    for row in result.strikes:
        band = f"{row.energy_band_j[0]:.2g} to {row.energy_band_j[1]:.2g}"
        table.add_row(row.case, f"{row.energy_j:.2g}", band, f"{slow[row.case]:.2g}", row.first_failure)
    return table


def _first(row: CaseRow) -> str:
    """Name what fails first, and what would with other joints where that differs."""
    others = {row.first_failure_soft: "soft joints", row.first_failure_stiff: "stiff joints"}
    more = [f"{what} with {when}" for what, when in others.items() if what != row.first_failure]
    return f"{row.first_failure} ({'; '.join(more)})" if more else row.first_failure


def _braces(result: FrameStrength) -> Table:
    names = ("case", "mm per N", "without", "J", "without", "then fails first")
    table = new_table("Without the braces", *names, words=("then fails first",))
    for row in result.without_braces:
        table.add_row(
            row.case,
            f"{row.compliance_with:.3g}",
            f"{row.compliance_without:.3g}",
            f"{row.energy_with_j:.2g}",
            f"{row.energy_without_j:.2g}",
            row.first_failure_without,
        )
    return table


def _modes(result: FrameStrength) -> Table:
    names = ("mode", "Hz", "joints soft to stiff", "shape", "moves most", "share %")
    table = new_table("Free vibration", *names, words=("shape", "moves most"))
    for n, mode in enumerate(result.modes[:_SHOWN_MODES]):
        band = f"{mode.soft_hz:.0f} to {mode.stiff_hz:.0f}"
        row = (str(n + 1), f"{mode.frequency_hz:.0f}", band, mode.shape, mode.moves, f"{mode.share_percent:.0f}")
        table.add_row(*row)
    return table


def _arms(result: FrameStrength) -> Table:
    table = new_table(
        "Arms alone, held at their bolts, with what their tips carry", "arm", "Hz", "shape", words=("shape",)
    )
    for row in result.arm_modes:
        table.add_row(row.place, f"{row.frequency_hz:.0f}", row.shape)
    return table


def _speeds(result: FrameStrength) -> Table:
    table = new_table("Rotor speeds", "state", "rpm", "band", "once per turn Hz", "modes", "blades Hz", "modes")
    for row in result.speeds:
        at = (_runs(row.modes_at_rate), _runs(row.modes_at_blade_rate))
        band = f"{row.band_rpm[0]:.0f} to {row.band_rpm[1]:.0f}"
        rates = (f"{row.rate_hz:.0f}", at[0], f"{row.blade_rate_hz:.0f}", at[1])
        table.add_row(row.state, f"{row.speed_rpm:.0f}", band, *rates)
    return table


def _runs(numbers: Sequence[int]) -> str:
    """Write sorted whole numbers, those in a row as the first to the last."""
    rows = [[number for _, number in same] for _, same in groupby(enumerate(numbers), lambda at: at[1] - at[0])]
    return ", ".join(f"{row[0]} to {row[-1]}" if len(row) > 1 else str(row[0]) for row in rows) or "-"


def _shakes(result: FrameStrength) -> Table:
    table = new_table(
        "Shaking by unbalanced propellers",
        *("state", "thing", "m/s2", "at its screws", "deg/s", "its plate m/s2", "deg/s", "passed on"),
    )
    for row in result.shakes:
        passed = f"{row.acceleration_m_s2 / row.plate_m_s2:.2f}" if row.plate_m_s2 > 0 else "-"
        own = (row.acceleration_m_s2, row.edge_m_s2, row.rate_deg_s, row.plate_m_s2, row.plate_deg_s)
        table.add_row(row.state, row.thing, *(f"{value:.2g}" for value in own), passed)
    return table


def _board(result: FrameStrength) -> Table:
    table = new_table(
        "The plate at each bolt of the flight controller", "state", "bolt", "m/s2", "deg/s", "local bending deg/s"
    )
    for row in result.board_places:
        own = (row.acceleration_m_s2, row.rate_deg_s, row.bending_deg_s)
        table.add_row(row.state, f"{row.line} on {row.plate}", *(f"{value:.2g}" for value in own))
    return table


def _slip(result: FrameStrength) -> Table:
    wanted = result.slip[0].wanted
    table = new_table(
        f"Slip of clamped faces at full thrust, wanted {wanted:g} and more; the eight nearest to slipping",
        "line",
        "faces",
        "clamped N",
        "across N",
        "safety",
        "share of an edgewise hit %",
    )
    for row in result.slip[:8]:
        share = "-" if row.share_percent is None else f"{row.share_percent:.0f}"
        table.add_row(row.line, row.plates, f"{row.clamp_n:.0f}", f"{row.shear_n:.1f}", f"{row.safety:.3g}", share)
    return table


def _bow(bow: BowRow) -> Table:
    low, high = bow.used_band_percent
    table = new_table(
        f"{bow.plate} bowed by {bow.sagitta_mm:.2f} mm uses {bow.used_percent:.0f} % of its strength ({low:.0f} to "
        f"{high:.0f}, {bow.how}); its screws at full thrust, {bow.screws[0].wanted:g} times wanted",
        *("line", "gap mm", "bow N", "band", "torque N", "clamps N", "across N", "safety", "by the bow alone"),
    )
    for row in bow.screws:
        band = f"{row.bow_band_n[0]:+.0f} to {row.bow_band_n[1]:+.0f}"
        across = "-" if row.shear_n is None else f"{row.shear_n:.1f}"
        held = [f"{s:.3g}" if s is not None else "-" for s in (row.safety, row.safety_by_bow_alone)]
        table.add_row(
            *(row.line, f"{row.gap_mm:+.2f}", f"{row.bow_n:+.1f}", band, f"{row.clamp_n:.0f}", f"{row.left_n:.0f}"),
            *(across, *held),
        )
    return table


def _screws(result: FrameStrength) -> Table:
    size = result.screws[0].screw
    table = new_table(
        f"An {size} screw in other materials, over 5 mm of free thread",
        "material",
        "tension N",
        "shear N",
        "elongation %",
        "J until it breaks",
        "N/mm",
        "g",
    )
    for row in result.screws:
        table.add_row(*_material(row), f"{row.mass_g:.2f}")
    return table


def _choices(result: FrameStrength) -> Table:
    table = new_table(
        "The arm screws in other materials: by how many times the load of the first other failure they break",
        *("material", "tension N", "shear N", "elongation %", "J over one diameter", "N/mm", "times later", "joints"),
        "breaks first",
        words=("breaks first",),
    )
    for row in result.screw_choices:
        band = f"{row.band[0]:.2f} to {row.band[1]:.2f}"
        table.add_row(*_material(row), f"{row.times_later:.2f}", band, row.breaks_first)
    return table


def _material(row: ScrewMaterialRow | ScrewChoice) -> list[str]:
    """Cells that say what a screw of a material bears."""
    return [
        row.material,
        f"{row.tension_n:.0f}",
        f"{row.shear_n:.0f}",
        "-" if row.elongation_percent is None else f"{row.elongation_percent:.0f}",
        "-" if row.energy_j is None else f"{row.energy_j:.2f}",
        f"{row.stiffness_n_per_mm:.0f}",
    ]
