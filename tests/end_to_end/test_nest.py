"""Nests in a process of their own: Ctrl-C from the first import to the last file."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FRAMES = [str(ROOT / "examples" / f"{name}.toml") for name in ("heddle", "bobbin")]
COMMAND = """import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell without a terminal may have it ignored
class Seen:  # says when the program itself begins to load: before that, Ctrl-C is Python's own matter
    def find_spec(self, name, path=None, target=None):
        if name == "platewright.cli.main":
            sys.meta_path.remove(self)
            print("started", flush=True)
sys.meta_path.insert(0, Seen())
from platewright.cli import main
sys.argv[0] = "platewright"
sys.exit(main())"""


def run(out, seconds):
    given = ["nest", *FRAMES, "--quantity", "2", "--out", str(out), "--seconds", str(seconds)]
    process = subprocess.Popen(
        [sys.executable, "-c", COMMAND, *given], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert process.stdout.readline() == "started\n"
    return process


def waited(process):
    _, err = process.communicate(timeout=120)
    assert "Traceback" not in err
    return process.returncode, err


@pytest.mark.parametrize("after", [0.0, 0.15, 0.4, 0.8])
def test_stopped_while_it_is_loaded_it_says_so(tmp_path, after):
    process = run(tmp_path / "sheets", 60)
    time.sleep(after)
    process.send_signal(signal.SIGINT)
    status, err = waited(process)
    assert (status, "interrupted" in err) in ((130, True), (0, True))
    assert [p.name for p in tmp_path.iterdir()] == ([] if status else ["sheets"])


def test_stopped_while_it_searches_the_best_so_far_is_written(tmp_path):
    out = tmp_path / "sheets"
    process = run(out, 60)
    deadline = time.monotonic() + 60
    while not (tmp_path / ".sheets.search").is_file():
        assert time.monotonic() < deadline
        time.sleep(0.02)
    time.sleep(1.0)
    process.send_signal(signal.SIGINT)
    status, err = waited(process)
    assert status == 0
    assert "this is the best that was found so far" in err
    report = json.loads((out / "nest.json").read_text(encoding="utf-8"))
    assert report["interrupted"]
    assert sum(len(sheet["pieces"]) for row in report["groups"] for sheet in row["sheets"]) == report["pieces"]
    assert [p.name for p in tmp_path.iterdir()] == ["sheets"]
