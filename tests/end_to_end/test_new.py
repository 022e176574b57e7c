"""`platewright new` from the command line: it writes, says why, and hands on to check."""

import pytest

from platewright.cli.main import main


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
    monkeypatch.setenv("COLUMNS", "200")


@pytest.mark.parametrize("size", ["3", "7"])  # the tutorial, which is run too, has 5
def test_new_then_check(size, tmp_path, capsys):
    path = tmp_path / "kestrel_mk-2.toml"
    assert main(["new", str(path), "--propeller-in", size]) == 0
    said = capsys.readouterr().out
    assert f"Next: platewright check {path}" in said
    assert "motor" in said
    assert 'name = "Kestrel mk 2"' in path.read_text()
    assert main(["check", str(path)]) == 0
    assert "ok: 0 fail" in capsys.readouterr().out


def test_every_option(tmp_path, capsys):
    path = tmp_path / "f.toml"
    words = ["--propeller-in", "5", "--fore-aft-mm", "170", "--lateral-mm", "165", "--style", "long-range"]
    words += ["--camera", "nano", "--boards", "20x20", "--cells", "4", "--name", "Far"]
    assert main(["new", str(path), *words]) == 0
    assert "170 x 165 mm" in capsys.readouterr().out


def test_an_existing_file_is_not_overwritten(tmp_path, capsys):
    path = tmp_path / "f.toml"
    path.write_text("precious")
    assert main(["new", str(path), "--propeller-in", "5"]) == 1
    assert "exists already" in capsys.readouterr().err
    assert path.read_text() == "precious"


def test_a_size_out_of_range_is_one_sentence(tmp_path, capsys):
    assert main(["new", str(tmp_path / "f.toml"), "--propeller-in", "12"]) == 1
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "got 12" in error
    assert list(tmp_path.iterdir()) == []


def test_a_misspelt_style_is_wrong_usage(tmp_path):
    assert main(["new", str(tmp_path / "f.toml"), "--propeller-in", "5", "--style", "freestile"]) == 2
