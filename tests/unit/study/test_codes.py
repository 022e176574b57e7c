"""Every finding can be had: one small design for each code, with the severity and the numbers it must carry."""

import pytest

from frames import column, equipment, findings, part, place, plate, record, two_plates
from platewright.study.codes import FINDING_CODES

SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
NUT = (SCREW, "base", "nut M3 hex")
POST = (SCREW, "base", "standoff M3x20", "deck", BUTTON)
HIGH = (SCREW, "base", "standoff M3x25", "deck", BUTTON)
ARMS = part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_mm=[10, 10])
MOTOR = equipment("motor", {"m": "motor_2207"}, at="rotors", stack=[SCREW, "arm", "motor.m"])
ROTORS = (ARMS, MOTOR, equipment("p", {"p": "prop_5in", "nut": "prop_nut_m5_right_low"}, at="rotors", on="motor"))
PACK = (
    *(plate("base", 4, (120, 90)), plate("deck", 2, (120, 90)), column("post", *POST, at=[50, 35])),
    equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, 3]),
)
FLYING = (
    plate("deck", 2, (120, 90)),
    column("post", SCREW, "arm", "standoff M3x15", "deck", BUTTON, at=[[35, 0]], of="arm", mirror=""),
    equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[0, 0, 3]),
    *ROTORS,
)
# the battery far ahead of the rotors' middle
FORWARD = (*FLYING[:2], equipment("battery", {"b": "lipo_6s_1100"}, on="deck", at_mm=[100, 0, 3]), *ROTORS)
ONE_WAY = 'fore_aft_mm = 200\nlateral_mm = 200\nturns = ["cw", "cw", "cw", "cw"]'
SHARP = {"shape": "rectangle", "at_mm": [25, 0], "length_mm": 8, "width_mm": 20, "corner_mm": 0}
# a standoff on the arm's end, under another rotor's blades
TOWER = column("tower", SCREW, "arm", "standoff M3x20", at=[[59, 0]], of="arm", mirror="")

BOLTED_ARMS = (
    *(ARMS, MOTOR),
    column("bolt", SCREW, "base", "arm", "nut M3 insert", at=[[2, 0], [14, 0]], of="arm", mirror=""),
)
# bolted arms on a base that flies: their bending and twist lie near hover and its blades
SHAKEN = (
    plate("base", 4, (120, 90)),
    *BOLTED_ARMS,
    *(ROTORS[2], equipment("battery", {"b": "lipo_6s_1100"}, on="base", at_mm=[0, 0, 3])),
)
PUSHED = record("load_case", id="pushed", loads=[{"place": "deck", "at_mm": [0, 0], "force_n": 9000}])


def side_by_side(apart):
    """Two plates on a base, their edges some distance from one another; negative where they overlap."""
    first, second = (place(n, "wing", at_mm=[0, sign * (20 + apart / 2)]) for n, sign in (("left", 1), ("right", -1)))
    bolts = [
        column(f"{n}_bolt", SCREW, "base", n, "nut M3 hex", at=[[12, y], [-12, y], [0, y + 5]], mirror="")
        for n, y in (("left", 20), ("right", -20))
    ]
    return plate("base", 2, (100, 120)), part("wing", 2, (40, 40)), first, second, *bolts


LONG_PLATES = (plate("base", 4, (140, 60)), plate("deck", 2, (140, 60)))
WINGS = part("wing", 2, (40, 40)) + place("left", "wing", at_mm=[0, 30]) + place("right", "wing", at_mm=[0, -30])
UNEVEN = "at_mm = [[100, 80], [-100, 100], [-100, -100], [100, -80]]"
# three plates: the lower covers one screw's head and is held by the other, which the upper covers
LOCKED = (
    plate("lower", 2),
    plate("base", 3),
    plate("upper", 2),
    column("up", SCREW, "base", "spacer M3x10", "spacer M3x10", "upper", "nut M3 hex", at=[25, 10]),
    column("down", "nut M3 hex", "lower", "spacer M3x10", "base", SCREW, at=[20, 20]),
    equipment(
        "boards", {"fc": "fc_20"}, stack=["screw M2 socket 12.9", "base", "boards.fc in grommet", "nut M2 insert"]
    ),
)


def camera(size, height=15, length=30, standoff=20, tilt=0, posts="standoff M3x30"):
    """A camera between cheeks that end at x = 30 + length, under a deck."""
    m3, m2 = "screw M3x6 button 10.9", "screw M2 button 10.9"
    return (
        plate("base", 2, (130, 80)),
        plate("deck", 2, (130, 80)),
        column("post", SCREW, "base", posts, "deck", BUTTON, at=[20, 35]),
        part("cheek", 2, (length, 12))
        + place("cheek", "cheek", at_mm=[30 + length / 2, 12], stands="xz", mirror="y", foot="base"),
        column(
            *("tie", m3, "cheek.right", f"standoff M3x{standoff}", "cheek.left", m3),
            **{"at": [34, 9], "mirror": "", "axis": "y", "foot": "base", "sets_level": ["cheek"]},
        ),
        equipment(
            "camera",
            {"camera": f"camera_{size}"},
            axis="y",
            at_mm=[50, height],
            foot="base",
            tilt_deg=tilt,
            stack=[m2, "cheek.right", "camera.camera", "cheek.left", m2],
        ),
    )


M2 = "screw M2 socket 12.9"
LOW = column("post", SCREW, "base", "standoff M3x20", "deck", BUTTON, at=[50, 40])
WIDE = (plate("base", 2, (120, 100)), plate("deck", 2, (120, 100)), LOW)


def two_boards(*between):
    """A stack that ends close under a deck."""
    stack = [M2, "base", "spacer M2x4", "b.esc in grommet", *between, "b.fc in grommet", "nut M2 insert"]
    return (*WIDE, equipment("b", {"esc": "esc_20_45A", "fc": "fc_20"}, stack=stack))


def walls(x, y):
    """Plates on edge about a board."""
    size = (2 * y, 30)
    return (
        plate("side", 2, (2 * x, 30), at_mm=[0, 12], stands="xz", mirror="y", foot="base", offset_mm=y),
        plate("end", 2, size, at_mm=[0, 12], stands="yz", mirror="x", foot="base", offset_mm=x),
    )


def walled():
    """A board with 4 mm beside it all round."""
    stack = [M2, "base", "spacer M2x2", "b.fc in grommet", "nut M2 insert"]
    return (*WIDE, *walls(18.5, 18.5), equipment("b", {"fc": "fc_20"}, stack=stack))


def boxed():
    """A video transmitter in a box of plates."""
    stack = [M2, "base", "spacer M2x2", "b.vtx in grommet", "nut M2 insert"]
    return (*WIDE, *walls(18, 18), equipment("b", {"vtx": "vtx_20"}, stack=stack))


def wired():
    """A controller between transmitter and connector, a receiver with a compass on the deck over it."""
    fc = [M2, "base", "spacer M2x2", "b.esc in grommet", "spacer M2x2", "b.fc in grommet", "nut M2 insert"]
    vtx = [M2, "base", "spacer M2x2", "v.vtx in grommet", "nut M2 insert"]
    return (
        *WIDE,
        equipment("b", {"esc": "esc_20_20A", "fc": "fc_20"}, at_mm=[25, 0], stack=fc),
        equipment("v", {"vtx": "vtx_20"}, at_mm=[-15, 0], stack=vtx),
        equipment("plug", {"p": "connector_60a"}, on="base", at_mm=[-50, 0]),
        equipment("gps", {"g": "gps_with_compass"}, on="deck", at_mm=[0, 0]),
    )


def one(*stack, **keys):
    return plate("base"), column("post", *stack, **{"at": [0, 0], "mirror": "", **keys})


def motor(*stack):
    return ARMS, equipment("motor", {"m": "motor_2207"}, at="rotors", stack=stack)


# code -> severity, whether it carries a value and a limit, design, tables
DESIGNS = {
    "access.head": (
        "fail",
        True,
        (*two_plates(*POST), column("a", "deck access 3", SCREW, "base", "nut M3 hex", at=[0, 0], mirror="")),
        {},
    ),
    "battery.hard": (
        "fail",
        True,
        (*PACK, column("tip", "screw M3x10 socket 12.9", "deck", "nut M3 thin", at=[0, 0], mirror="")),
        {},
    ),
    "battery.lead": (
        "fail",
        True,
        (
            plate("deck", 2, (120, 90)),
            column("post", SCREW, "arm", "standoff M3x15", "deck", BUTTON, at=[[35, 0]], of="arm", mirror=""),
            equipment("battery", {"b": "lipo_2s_450"}, on="deck", at_mm=[0, 0, 3]),
            *ROTORS,
        ),
        {"rotors": "fore_aft_mm = 130\nlateral_mm = 130"},
    ),
    "battery.strap": ("warn", False, PACK, {}),
    "board.air": ("warn", True, boxed(), {}),
    "board.gap": ("warn", True, two_boards("spacer M2x3"), {}),
    "board.pattern": (
        "fail",
        False,
        (
            plate("base"),
            equipment(
                "s",
                {"a": "fc_30", "b": "vtx_20"},
                stack=[SCREW, "base", "s.a in grommet", "s.b in grommet", "nut M3 hex"],
            ),
        ),
        {},
    ),
    "board.plug": ("warn", True, walled(), {}),
    "body.near": ("warn", True, side_by_side(0.15), {}),
    "body.overlap": ("fail", True, side_by_side(-1), {}),
    "camera.height": ("fail", True, camera("micro", posts="standoff M3x18"), {}),
    "camera.lens": ("warn", True, camera("micro"), {}),
    "camera.view": ("note", False, camera("micro", length=60), {}),
    "camera.width": ("fail", True, camera("mini"), {}),
    "antenna.near": (
        "warn",
        True,
        (*PACK, equipment("aerial", {"a": "antenna_receiver_tube"}, on="deck", at_mm=[42, 0], through=["deck"])),
        {},
    ),
    "antenna.shadow": (
        "note",
        False,
        (
            plate("base"),
            equipment("aerial", {"a": "antenna_receiver_tube"}, on="base", at_mm=[0, 0], through=["base"]),
        ),
        {},
    ),
    "antenna.sky": (
        "warn",
        True,
        (
            *two_plates(*POST),
            equipment("gps", {"gps": "gps_with_compass"}, on="base", at_mm=[0, 0]),
        ),
        {},
    ),
    "carbon.can": ("note", True, (plate("base"), equipment("can", {"c": "cap_6s"}, on="base", at_mm=[0, 0])), {}),
    "carbon.pad": (
        "warn",
        True,
        (
            plate("base"),
            equipment(
                "boards",
                {"fc": "fc_20"},
                stack=["screw M2 socket 12.9", "base", "washer M2", "boards.fc", "nut M2 hex"],
            ),
        ),
        {},
    ),
    "corner.radius": ("warn", True, (part("base", 4, cutouts=[SHARP]), place("base", "base")), {}),
    "cut.bridge": ("note", False, (part("base", 2, (5.5, 5)), place("base", "base")), {}),
    "cut.corner": ("note", True, (part("base", 4, cutouts=[{**SHARP, "corner_mm": 1.01}]), place("base", "base")), {}),
    "cut.deep": ("warn", True, (part("base", 9), place("base", "base")), {}),
    "cut.fabric": (
        "note",
        True,
        (part("arm", 5, (120, 15), kind="arm", material="plate_woven_0_90", grain_deg=45), place("arm", "arm")),
        {},
    ),
    "cut.hole": ("note", True, one("screw M2 socket 12.9", "base", "nut M2 hex"), {}),
    "cut.sink": (
        "warn",
        True,
        (plate("base", 1.5), column("post", "screw M3 countersunk 10.9", "base", "nut M3 hex", at=[0, 0], mirror="")),
        {},
    ),
    "cut.slot": ("warn", True, (part("base", 4, cutouts=[{**SHARP, "width_mm": 2.05}]), place("base", "base")), {}),
    "cut.tab": (
        "note",
        True,
        (
            plate("base"),
            part("fin", 2, (40, 20)) + place("fin", "fin", at_mm=[0, 10], stands="xz", foot="base", offset_mm=0),
            record("tab", id="fin_tabs", of="fin", into=["base"], along_mm=[0], length_mm=8),
        ),
        {},
    ),
    "disc.body": ("warn", True, (*ROTORS, TOWER), {}),
    "disc.disc": ("fail", True, ROTORS, {"rotors": "fore_aft_mm = 160\nlateral_mm = 120"}),
    "flight.download": ("warn", True, FLYING, {}),
    "flight.trim": ("warn", True, (*FORWARD, "[drive]\nkv_rpm_per_v = 650"), {}),
    "ground.disc": ("note", True, ROTORS, {}),
    "handling.balance": ("fail", False, FLYING, {"rotors": ONE_WAY}),
    "handling.centre": ("warn", True, FORWARD, {}),
    "handling.weak": ("warn", True, (*FORWARD, "[drive]\nkv_rpm_per_v = 650"), {}),
    "hole.edge": ("warn", True, one(*NUT, at=[27, 0]), {}),
    "hole.idle": (
        "note",
        False,
        (
            plate("base", 2, (100, 120)),
            WINGS,
            column("both", SCREW, "base", "left", "nut M3 hex", at=[0, 30], mirror=""),
            column("other", SCREW, "base", "right", "nut M3 hex", at=[12, -30], mirror=""),
        ),
        {},
    ),
    "hole.near_miss": ("warn", False, (*one(*NUT), column("two", *NUT, at=[1, 0], mirror="")), {}),
    "hole.outside": ("fail", False, one(*NUT, at=[40, 0]), {}),
    "hole.touches": ("fail", False, one(*NUT, at=[29, 0]), {}),
    "hover.battery": ("note", True, FLYING, {}),
    "hover.board": ("warn", True, (*FLYING, equipment("esc", {"e": "esc_20_20A"}, on="deck", at_mm=[40, 0, 3])), {}),
    "hover.lift": ("fail", False, (*FLYING, "[drive]\nkv_rpm_per_v = 150"), {}),
    "hover.motor": ("warn", True, (*FLYING, "[drive]\nkv_rpm_per_v = 3500"), {}),
    "hover.propeller": ("warn", True, (*FLYING, '[drive]\npropeller = "acro_7in"'), {}),
    "hover.ratio": ("warn", True, (*FLYING, "[drive]\nkv_rpm_per_v = 600"), {}),
    "hover.speed": ("warn", True, (*FLYING, "[drive]\nkv_rpm_per_v = 3500"), {}),
    "key.not_shared": (
        "fail",
        False,
        (
            part("arm", 5, (300, 30)) + place("arm", "arm", to="rotors", root_radius_mm=0.01),
            record("key", id="k", of="arm"),
        ),
        {"rotors": UNEVEN},
    ),
    "lead.edge": ("note", False, wired(), {}),
    "lead.gps": ("warn", True, wired(), {}),
    "lead.video": ("note", True, wired(), {}),
    "level.bow": (
        "note",
        True,
        (*LONG_PLATES, column("long", *HIGH, at=[60, 20], sets_level=["deck"]), column("short", *POST, at=[20, 20])),
        {},
    ),
    "level.gap": (
        "warn",
        True,
        (*LONG_PLATES, column("long", *HIGH, at=[60, 20], sets_level=["deck"]), column("short", *POST, at=[20, 20])),
        {},
    ),
    "level.supports": (
        "warn",
        False,
        (
            *LONG_PLATES,
            column("front", *POST, at=[60, 20], mirror="y", sets_level=["deck"]),
            column("rear", *POST, at=[-60, 20], mirror="y"),
        ),
        {},
    ),
    "level.tilt": (
        "note",
        False,
        (
            *LONG_PLATES,
            column("short", *POST, at=[-60, 20], mirror="y"),
            column("long", *HIGH, at=[60, 20], mirror="y"),
        ),
        {},
    ),
    "mass.class": ("note", True, one(*NUT), {"frame": 'frame_class = "5in"'}),
    "mass.target": ("warn", True, one(*NUT), {"frame": "mass_target_g = 5"}),
    "mix_up.length": (
        "warn",
        True,
        (
            plate("base", 2),
            column("a", "screw M3x5 socket 12.9", "base", "standoff M3x15", at=[0, 0], mirror=""),
            column("b", "screw M3x6 socket 12.9", "base", "standoff M3x15", at=[15, 0], mirror=""),
        ),
        {},
    ),
    "nut.spanner": ("warn", True, (*one(*NUT), column("two", *NUT, at=[6, 0], mirror="")), {}),
    "part.faces": (
        "warn",
        False,
        (
            *one("screw M3 countersunk 10.9", "base", "nut M3 hex"),
            column("two", "nut M3 hex", "base", "screw M3 countersunk 10.9", at=[15, 0], mirror=""),
        ),
        {},
    ),
    "part.sheet": ("warn", False, (plate("base", 2.2),), {}),
    "propeller.mount": (
        "fail",
        False,
        (ARMS, MOTOR, equipment("prop", {"p": "prop_5in"}, at="rotors", on="motor")),
        {},
    ),
    "propeller.thread": (
        "warn",
        True,
        (ARMS, MOTOR, equipment("prop", {"p": "prop_5in", "n": "prop_nut_m5_right_low"}, at="rotors", on="motor")),
        {},
    ),
    "screw.covered": (
        "note",
        False,
        (
            plate("belly", 2, (260, 260)),
            ARMS,
            column("c", SCREW, "belly", "arm", "nut M3 hex", at=[20, 0], mirror="", of="arm"),
            MOTOR,
        ),
        {},
    ),
    "screw.direction": (
        "fail",
        False,
        (*two_plates("base", SCREW, "deck", "nut M3 hex"), column("hold", *POST, at=[25, 0], mirror="x")),
        {},
    ),
    "screw.engagement": ("fail", True, motor("screw M3x7 socket 12.9", "arm", "motor.m"), {}),
    "screw.full_thread": (
        "note",
        False,
        one("screw M3x25 socket 12.9", "base", "standoff M3x15 passed", "nut M3 hex"),
        {},
    ),
    "screw.gap": (
        "warn",
        False,
        (*two_plates(*POST), column("bad", SCREW, "base", "gap", "deck", "nut M3 hex", at=[0, 0], mirror="")),
        {},
    ),
    "screw.length": ("note", False, motor("screw M3x7 socket 12.9", "arm", "motor.m"), {}),
    "screw.no_driver": (
        "fail",
        False,
        (
            plate("low", 4),
            plate("mid"),
            plate("top"),
            column("lower", "nut M3 hex", "low", "spacer M3x10", "mid", SCREW, "gap", "top", at=[10, 0], mirror="x"),
            column("upper", "low", "gap", SCREW, "mid", "spacer M3x10", "top", "nut M3 hex", at=[0, 15], mirror="y"),
        ),
        {},
    ),
    "screw.no_thread": ("fail", False, one(SCREW, "base"), {}),
    "screw.thread": ("fail", False, motor("screw M2 socket 12.9", "arm", "motor.m"), {}),
    "screw.tips": (
        "warn",
        True,
        two_plates("screw M3x12 socket 12.9", "base", "standoff M3x15", "deck", "screw M3x8 button 10.9"),
        {},
    ),
    "screw.too_long": ("fail", True, motor("screw M3x10 socket 12.9", "arm", "motor.m"), {}),
    "service.locked": ("fail", False, LOCKED, {}),
    "strength.bow": (
        "warn",
        True,
        (*LONG_PLATES, column("long", *HIGH, at=[60, 20], sets_level=["deck"]), column("short", *POST, at=[20, 20])),
        {},
    ),
    "strength.margin": ("fail", True, (*two_plates(*POST), PUSHED), {}),
    "strength.model": ("warn", False, (plate("base", 4),), {}),
    "strength.screw": (
        "note",
        False,
        (plate("base", 6), plate("deck", 6), column("post", "screw M2 button 10.9", "base", "deck", "nut M2 hex")),
        {},
    ),
    # so little pressure is allowed under heads that the screws clamp hardly
    "strength.slip": ("warn", True, (plate("base", 4), *BOLTED_ARMS), {"checks": "bearing_pressure_mpa = 5"}),
    "vibration.blades": ("note", True, SHAKEN, {}),
    "vibration.rate": ("note", True, SHAKEN, {}),
    "web.narrow": ("warn", True, (part("base", 2, cutouts=[SHARP]), place("base", "base")), {}),
}


def test_there_is_a_design_for_every_code():
    assert DESIGNS.keys() == FINDING_CODES.keys()


@pytest.mark.parametrize("code", DESIGNS)
def test_a_design_gives_its_finding(code):
    severity, judged, pieces, tables = DESIGNS[code]
    found = findings(code, *pieces, **tables)
    assert severity in {f.severity for f in found}
    finding = next(f for f in found if f.severity == severity)
    assert finding.where
    assert finding.message.endswith((".", "]"))
    assert (finding.value is not None and finding.limit is not None) == judged
    if judged:
        assert finding.unit in ("mm", "g", "%", "times", "A", "W", "s", "rad/s²", "Mach", "inch", "cells")
        assert finding.why
        # a finding that only informs may be within its limit; one that warns is beyond it, or just on it (mix-ups)
        assert severity == "note" or finding.margin <= 1e-9


def test_a_good_frame_has_no_finding():
    found = [f for code in FINDING_CODES for f in findings(code, *two_plates(*POST))]
    assert found == []
