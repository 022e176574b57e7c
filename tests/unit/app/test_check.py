"""The check as an action: files in, JSON out, exit statuses; the command in-process."""

import json
from pathlib import Path

import jsonschema
import pytest

from frames import column, plate, two_plates
from platewright.app.check import check, check_json, invalid_json, only
from platewright.app.check_schema import check_schema, check_schema_text
from platewright.cli import main
from platewright.foundation.errors import DesignFileError, Problem, RequestError

ROOT = Path(__file__).parents[3]
SCREW, BUTTON = "screw M3 socket 12.9", "screw M3 button 10.9"
HEAD = 'format = 1\n[frame]\nname = "Sample"\n[rotors]\nfore_aft_mm = 200\nlateral_mm = 200\n'
GOOD = two_plates(SCREW, "base", "standoff M3x20", "deck", BUTTON)
BAD = (plate("base", 2.2), column("post", SCREW, "base"))
VALIDATOR = jsonschema.Draft202012Validator(check_schema())


@pytest.fixture
def frame(tmp_path, monkeypatch):
    """Return a function that writes a design and returns its path; the outline cache is in the same folder."""
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))

    def write(*pieces, head=HEAD):
        path = tmp_path / "frame.toml"
        path.write_text(head + "\n".join(pieces), encoding="utf-8")
        return path

    return write


def run(capsys, *words):
    status = main(["check", *map(str, words)])
    return status, capsys.readouterr()


@pytest.mark.parametrize(("pieces", "status", "word"), [(GOOD, 0, "ok"), (BAD, 1, "fails")])
def test_json_of_a_valid_design_follows_its_schema(frame, capsys, pieces, status, word):
    found, streams = run(capsys, frame(*pieces), "--json")
    data = json.loads(streams.out)
    VALIDATOR.validate(data)
    assert (found, data["status"]) == (status, word)
    assert streams.err == ""


def test_json_of_an_invalid_file_follows_the_same_schema(frame, capsys):
    status, streams = run(capsys, frame('[[place]]\nid = "base"\npart = "nothing"'), "--json")
    data = json.loads(streams.out)
    VALIDATOR.validate(data)
    assert (status, data["status"]) == (1, "invalid")
    assert [p["code"] for p in data["problems"]] == ["reference.part"]
    assert data["problems"][0]["line"] is not None


def test_the_schema_refuses_what_it_should():
    broken = [
        {},
        {"status": "fine"},
        {"status": "ok"},
        {"status": "invalid"},
        {"status": "invalid", "problems": [], "frame": "x"},
    ]
    assert [b for b in broken if VALIDATOR.is_valid(b)] == []
    jsonschema.Draft202012Validator.check_schema(check_schema())


def test_committed_schema_is_fresh():
    """Write it anew with `sh scripts/schema`."""
    assert (ROOT / "docs/reference/check.schema.json").read_text(encoding="utf-8") == check_schema_text()


def test_margin_is_given_with_every_finding(frame):
    result = check(frame(*BAD))
    rows = json.loads(check_json(result))["findings"]
    assert [row["margin"] for row in rows] == [f.margin for f in result.findings]


def test_only_keeps_a_family_or_a_code(frame, capsys):
    result = check(frame(*BAD))
    codes = {f.code for f in result.findings}
    assert {"screw.no_thread", "part.sheet"} <= codes
    assert {f.code for f in only(result, ["screw"]).findings} == {c for c in codes if c.startswith("screw.")}
    assert {f.code for f in only(result, ["part.sheet"]).findings} == {"part.sheet"}
    assert only(result, ["screw.no_thread,part"]).findings == only(result, ["screw.no_thread", "part"]).findings
    with pytest.raises(RequestError, match="no finding has the code 'scr'; did you mean screw"):
        only(result, ["scr"])


def test_only_decides_the_exit_status_too(frame, capsys):
    path = frame(*BAD)
    assert run(capsys, path, "--only", "screw")[0] == 1
    status, streams = run(capsys, path, "--only", "part", "--json")
    assert (status, json.loads(streams.out)["status"]) == (0, "ok")


def test_tables_name_the_findings_and_end_with_the_verdict(frame, capsys):
    status, streams = run(capsys, frame(*BAD))
    assert status == 1
    assert streams.out.splitlines()[0].startswith("Sample")
    for code in ("screw.no_thread", "part.sheet"):
        assert code in streams.out
    assert streams.out.rstrip().splitlines()[-1].startswith("fails: 1 fail, ")
    assert run(capsys, frame(*GOOD))[1].out.rstrip().splitlines()[-1] == "ok: 0 fail, 0 warn, 0 note"


def test_a_narrow_terminal_gets_findings_line_by_line(frame, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    pieces = (plate("base"), column("post", "screw M3x10 socket 12.9", "base", "nut M3 hex"))
    lines = run(capsys, frame(*pieces), "--only", "screw.too_long")[1].out.splitlines()
    assert lines[1] == "· note  screw.too_long  post: M3x10 socket"
    assert "  value 5.72 mm, limit 4.00 mm, margin -1.72 mm" in lines
    assert max(map(len, lines)) <= 80


def test_notes_can_be_left_out(frame, capsys):
    head = HEAD.replace('"Sample"\n', '"Sample"\nframe_class = "5in"\n')
    path = frame(*GOOD, head=head)
    assert "mass.class" in run(capsys, path)[1].out
    assert "mass.class" not in run(capsys, path, "--no-notes")[1].out


def test_a_stud_has_its_row(frame, capsys):
    path = frame(*two_plates(SCREW, "base", "standoff M3x20 studded", "deck", "nut M3 thin"))
    status, streams = run(capsys, path)
    assert status == 0
    assert "stud" in streams.out


@pytest.mark.parametrize(
    ("pieces", "code"),
    [
        ((plate("base"), plate("deck")), "level.unknown"),
        ((plate("base"), column("post", SCREW, "spacer M3x5", "nut M3 hex")), "level.unknown"),
        (
            ('[[part]]\nid = "p"\nkind = "other"\nmaterial = "plate_woven_qi"\nthickness_mm = 2\n'
             'polygons = [{points_mm=[[0,0],[5,0],[0,5]]},{points_mm=[[20,0],[25,0],[20,5]]}]\n'
             '[[place]]\nid = "p"\npart = "p"',),
            "part.outline",
        ),
        (
            ('[[part]]\nid = "p"\nkind = "other"\nmaterial = "plate_woven_qi"\nthickness_mm = 2\ndrawing = "p.dxf"\n'
             '[[place]]\nid = "p"\npart = "p"',),
            "drawing.unreadable",
        ),
    ],
)  # fmt: skip
def test_what_only_shows_when_the_frame_is_built_is_a_problem_of_the_file(frame, pieces, code):
    path = frame(*pieces)
    (path.parent / "p.dxf").write_text("this is no drawing\n", encoding="utf-8")
    with pytest.raises(DesignFileError) as caught:
        check(path)
    assert [p.code for p in caught.value.problems] == [code]
    assert caught.value.problems[0].file == "frame.toml"


def test_a_level_that_depends_on_itself_is_refused(frame):
    spacer = plate("pad", 2).replace("thickness_mm = 2", 'thickness_mm = "1 + level.deck.bottom_mm / 20"')
    path = frame(
        plate("base"), spacer, plate("deck"), column("p", SCREW, "base", "pad", "spacer M3x5", "deck", "nut M3 hex")
    )
    with pytest.raises(DesignFileError) as caught:
        check(path)
    assert {p.code for p in caught.value.problems} <= {"level.circular", "expression.early"}


def test_an_invalid_file_is_listed_on_stderr(frame, capsys):
    status, streams = run(capsys, frame('[[place]]\nid = "base"\npart = "nothing"'))
    assert status == 1
    assert streams.out == ""
    assert "[reference.part]" in streams.err
    assert streams.err.rstrip().endswith("1 problem; nothing was written.")


def test_a_missing_file_is_one_sentence(tmp_path, capsys):
    status, streams = run(capsys, tmp_path / "none.toml")
    assert status == 1
    assert "[file.missing]" in streams.err
    assert "Traceback" not in streams.err


def test_problems_as_json_keep_file_line_and_path():
    text = invalid_json([Problem("value.range", "part[0].thickness_mm", "must be more.", "a.toml", 3)])
    data = json.loads(text)
    VALIDATOR.validate(data)
    assert data["problems"] == [
        {"code": "value.range", "file": "a.toml", "line": 3, "path": "part[0].thickness_mm", "message": "must be more."}
    ]


@pytest.mark.parametrize("name", ["bobbin", "heddle", "shuttle"])
def test_examples_have_no_failing_finding_and_follow_the_schema(name):
    result = check(ROOT / "examples" / f"{name}.toml")
    VALIDATOR.validate(json.loads(check_json(result)))
    assert [f for f in result.findings if f.severity == "fail"] == []


def test_strength_is_solved_unless_other_codes_are_asked_for(frame):
    path = frame(*GOOD)
    cache = path.parent / "cache"
    assert check(path, cache=cache).strength is not None
    assert check(path, cache=cache, codes=["strength.slip"]).strength is not None
    assert check(path, cache=cache, codes=["fit", "screw"]).strength is None
    with pytest.raises(RequestError, match="no finding has the code 'strenght'; did you mean strength"):
        check(path, cache=cache, codes=["strenght"])


def test_strength_of_a_frame_that_cannot_be_solved_is_a_finding_beside_all_others(frame):
    result = check(frame(plate("base", 2.2)))
    assert result.strength is None
    codes = {f.code: f.severity for f in result.findings}
    assert codes["strength.model"] == "warn"
    assert "part.sheet" in codes
