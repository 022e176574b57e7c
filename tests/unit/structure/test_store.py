"""Arrays kept in a folder."""

import os

import numpy as np
import pytest

from platewright.structure.store import ArrayStore, code_version

KEPT = {"a": np.arange(6.0).reshape(2, 3), "b": np.array([3, 1])}


def test_what_is_written_is_read(tmp_path):
    store = ArrayStore(tmp_path / "not" / "yet")
    assert store.read("key") is None
    store.write("key", KEPT)
    got = store.read("key")
    assert sorted(got) == ["a", "b"]
    assert all((got[k] == KEPT[k]).all() and got[k].dtype == KEPT[k].dtype for k in KEPT)
    assert [p.name for p in (tmp_path / "not" / "yet").iterdir()] == ["key.npz"]


@pytest.mark.parametrize("damage", ["cut", "flipped", "empty", "text"])
def test_a_damaged_file_counts_as_absent(tmp_path, damage):
    store = ArrayStore(tmp_path)
    store.write("key", KEPT)
    path = tmp_path / "key.npz"
    whole = bytearray(path.read_bytes())
    at = whole.find(KEPT["a"].tobytes()) + 9
    assert at > 9
    whole[at] ^= 0xFF
    path.write_bytes({"cut": bytes(whole[:200]), "flipped": bytes(whole), "empty": b"", "text": b"PK nothing"}[damage])
    assert store.read("key") is None
    store.write("key", KEPT)
    assert store.read("key") is not None


def test_a_folder_that_cannot_be_written_is_left_alone(tmp_path):
    (tmp_path / "file").write_text("in the way")
    store = ArrayStore(tmp_path / "file")
    store.write("key", KEPT)
    assert store.read("key") is None


def test_the_oldest_go_when_all_are_too_large(tmp_path):
    one = {"a": np.zeros(1000)}
    store = ArrayStore(tmp_path, largest=20_000)
    for n, name in enumerate(("first", "second")):
        store.write(name, one)
        os.utime(tmp_path / f"{name}.npz", (1000 + n, 1000 + n))
    assert store.read("first") is not None
    store.write("third", one)
    assert sorted(p.stem for p in tmp_path.iterdir()) == ["first", "third"]


def test_the_version_follows_the_source(tmp_path):
    file = tmp_path / "own.py"
    file.write_text("a = 1\n")
    other = tmp_path / "other.py"
    other.write_text("a = 2\n")
    assert code_version(file) != code_version(other) != code_version()
    assert code_version() == code_version()
