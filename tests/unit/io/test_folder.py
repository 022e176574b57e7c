"""Output folders are exchanged whole; another's folder and an order that was sent are never written over."""

import json
import os

import pytest

from platewright.foundation.errors import OutputError
from platewright.io.files import make_folder, write_whole
from platewright.io.folder import MANIFEST, SENT, replaced_folder, write_manifest


def written(out, text, **facts):
    with replaced_folder(out) as folder:
        (folder / "a.txt").write_text(text, encoding="utf-8")
        write_manifest(folder, facts)


def test_a_folder_of_ours_is_replaced(tmp_path):
    out = tmp_path / "out"
    written(out, "old")
    written(out, "new")
    assert (out / "a.txt").read_text(encoding="utf-8") == "new"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_an_order_that_was_sent_is_never_replaced(tmp_path):
    out = tmp_path / "out"
    written(out, "old", **{SENT: "2026-03-04"})
    with pytest.raises(OutputError, match="'out' holds an order that was sent on 2026-03-04"):
        written(out, "new")
    assert (out / "a.txt").read_text(encoding="utf-8") == "old"


def test_an_order_that_is_sent_while_another_is_written_stays(tmp_path):
    out = tmp_path / "out"
    written(out, "old")

    def write_while_the_old_one_goes_out():
        with replaced_folder(out) as folder:
            (folder / "a.txt").write_text("new", encoding="utf-8")
            write_manifest(out, {SENT: "2026-03-04"})

    with pytest.raises(OutputError, match="was sent on"):
        write_while_the_old_one_goes_out()
    assert (out / "a.txt").read_text(encoding="utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(
    ("manifest", "words"), [("{", "cannot be read"), ('{"name": "an app"}', "no build wrote"), ("[]", "no build wrote")]
)
def test_a_manifest_that_is_not_ours_is_respected(tmp_path, manifest, words):
    out = tmp_path / "out"
    out.mkdir()
    (out / MANIFEST).write_text(manifest, encoding="utf-8")
    with pytest.raises(OutputError, match=words):
        written(out, "new")
    assert (out / MANIFEST).read_text(encoding="utf-8") == manifest


def test_an_interrupt_between_the_two_renames_puts_the_old_folder_back(tmp_path, monkeypatch):
    out = tmp_path / "out"
    written(out, "old")
    real = os.replace

    def replace(source, target):
        real(source, target)
        if str(target).endswith(".old"):
            raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(KeyboardInterrupt):
        written(out, "new")
    monkeypatch.undo()
    assert (out / "a.txt").read_text(encoding="utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_manifests_say_what_wrote_them(tmp_path):
    written(tmp_path / "out", "text", kits=3)
    manifest = json.loads((tmp_path / "out" / MANIFEST).read_text(encoding="utf-8"))
    assert manifest["kits"] == 3
    assert manifest["platewright"]
    assert set(manifest["files"]) == {"a.txt"}


def test_a_file_that_cannot_be_finished_leaves_nothing_behind(tmp_path, monkeypatch):
    path = tmp_path / "a.svg"
    write_whole(path, b"old")

    def full(source, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.svg"]


def test_a_folder_that_cannot_be_made_is_said_in_a_sentence(tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(OutputError, match="'file' cannot be written"):
        make_folder(tmp_path / "file")
