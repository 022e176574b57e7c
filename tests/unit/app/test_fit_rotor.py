"""Fits from the command line, on the shipped thrust-stand rows and on wrong tables."""

import json
from importlib import resources

import pytest

from platewright.cli import main

STAND = str(resources.files("platewright.catalogue") / "rotor" / "thrust_stand_5in.csv")


def fit(capsys, *words):
    assert main([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_motor_whose_nominal_kv_is_wrong(capsys):
    """The rows' own note says that motor-I turns like 1560 rpm/V, not 2400."""
    found = fit(capsys, "fit-motor", STAND, "--motor", "motor-I-1806-2400kv")
    assert found["values"]["kv_rpm_per_v"] == pytest.approx(1560, rel=0.05)
    assert found["limited_lines"] == []


def test_rows_cut_short_by_the_bench_are_left_out(capsys):
    found = fit(capsys, "fit-motor", STAND, "--motor", "motor-D-2204-2300kv")
    assert 2000 < found["values"]["kv_rpm_per_v"] < 2600
    assert 100 < found["values"]["resistance_mohm"] < 500
    strong = fit(capsys, "fit-motor", STAND, "--motor", "motor-M-unknown-size-2300kv")
    assert len(strong["limited_lines"]) == 2  # 10.66 and 10.93 A at full command, where the bench gives no more than 11
    assert strong["rows_used"] + len(strong["outlier_lines"]) == 8


def test_propeller_with_rows_of_the_wrong_sign(capsys):
    found = fit(capsys, "fit-propeller", STAND, "--propeller", "prop-F", "--diameter-in", "5")
    assert len(found["outlier_lines"]) >= 19
    assert 0.1 < found["values"]["ct"] < 0.25
    assert found["values"]["cp"] is None


def test_no_load_current_is_not_made_up(capsys):
    """Five rows, each with a propeller of its own, leave nothing to tell I0 by."""
    found = fit(capsys, "fit-motor", STAND, "--motor", "motor-A-2205-2600kv")
    assert found["values"]["no_load_current_a"] is None
    assert found["values"]["kv_rpm_per_v"] == pytest.approx(2400, rel=0.03)
    told = fit(capsys, "fit-motor", STAND, "--motor", "motor-G-2206-2000kv")
    assert 0.2 < told["values"]["no_load_current_a"] < 1.5
    assert 0 < told["values"]["kv_error_pct"] < 6


def test_rows_left_out_are_shown_with_how_far_off_they_are(tmp_path, capsys):
    file = tmp_path / "own.csv"
    rows = [f"{n},{3.2e-8 * n * n * (1.4 if n == 9000 else 1)}" for n in range(6000, 20000, 1000)]
    file.write_text("speed_rpm,thrust_n\n" + "\n".join([*rows, "100,2.0", "7000,0"]) + "\n")
    assert main(["fit-propeller", str(file), "--diameter-in", "5"]) == 0
    printed = capsys.readouterr().out
    assert "left out, far from the fit: lines 5 (+40.0 %), 16 (more than ten times it)" in printed
    assert "left out, a reading is not above 0: line 17" in printed
    assert main(["fit-motor", STAND, "--motor", "motor-M-unknown-size-2300kv"]) == 0
    assert "below full command: lines 535 to 544, 546 to 555," in capsys.readouterr().out


def test_a_table_without_rows_and_one_that_is_not_there(tmp_path, capsys):
    file = tmp_path / "own.csv"
    file.write_text("speed_rpm,thrust_n\n")
    assert main(["fit-propeller", str(file), "--diameter-in", "5"]) == 1
    assert "must hold 5 rows with positive thrust and speed or more (got 0)" in capsys.readouterr().err
    assert main(["fit-propeller", str(tmp_path / "none.csv"), "--diameter-in", "5"]) == 1
    assert "must be a CSV table (there is no such file)" in capsys.readouterr().err


def test_table_is_printed(capsys):
    assert main(["fit-propeller", STAND, "--propeller", "prop-A", "--diameter-in", "5"]) == 0
    printed = capsys.readouterr().out
    assert "these rows do not tell" in printed
    assert "air of 1.2 kg/m3" in printed


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "speed_rpm,thrust_gf\n9000,100\n18000,400\n",
            "must hold 5 rows with positive thrust and speed or more (got 2)",
        ),
        ("rpm,thrust_gf\n9000,100\n", "must have a column speed_rpm with that unit"),
        ("speed_rpm,thrust_gf\n9000,much\n", "own.csv:2: thrust_gf must be a number (got 'much')"),
        ("", "must have a column speed_rpm"),
        (
            "speed_rpm,thrust_n\n" + "".join(f"{n},{3.2e-5 * n * n}\n" for n in range(100, 340, 20)),
            "looks like revolutions",
        ),
    ],
)
def test_a_table_that_cannot_be_used_is_one_sentence(tmp_path, capsys, text, sentence):
    file = tmp_path / "own.csv"
    file.write_text(text)
    assert main(["fit-propeller", str(file), "--diameter-in", "5"]) == 1
    message = capsys.readouterr().err
    assert sentence in message
    assert message.count("\n") == 1


ROWS = [(n, 3.2e-8 * n * n) for n in range(6000, 20000, 1500)]


def _text(parted_by, comma):
    lines = [parted_by.join(("speed_rpm", "thrust_n", "propeller"))]
    for speed, thrust in ROWS:
        number = f"{thrust:.4f}"
        number = number.replace(".", ",") if comma else number
        lines.append(parted_by.join((str(speed), f'"{number}"' if comma and parted_by == "," else number, "Größe 5")))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize(("parted_by", "comma"), [(",", False), (",", True), (";", True), (";", False), ("\t", True)])
def test_tables_of_spreadsheets_are_read_alike(tmp_path, capsys, encoding, parted_by, comma):
    file = tmp_path / "own.csv"
    file.write_bytes(_text(parted_by, comma).encode(encoding))
    found = fit(capsys, "fit-propeller", str(file), "--propeller", "Größe 5", "--diameter-in", "5")
    assert found["rows_used"] == len(ROWS)
    assert found["values"]["ct"] == pytest.approx(3.2e-8 * 3600 / 1.2 / 0.127**4, rel=1e-3)


def test_a_thousand_and_a_decimal_comma_are_not_guessed(tmp_path, capsys):
    file = tmp_path / "own.csv"
    file.write_text('speed_rpm,thrust_n\n"12,000",4.6\n')
    assert main(["fit-propeller", str(file), "--diameter-in", "5"]) == 1
    assert "own.csv:2: speed_rpm must be a number (got '12,000')" in capsys.readouterr().err


def test_which_motor_must_be_said(capsys):
    assert main(["fit-motor", STAND]) == 1
    assert "--motor must say which motor to fit: the table holds motor-A" in capsys.readouterr().err
    assert main(["fit-motor", STAND, "--motor", "motor-D-2204"]) == 1
    assert "unknown motor 'motor-D-2204' in the table; it holds motor-D-2204-2300kv" in capsys.readouterr().err
