"""Files appear whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import BinaryIO

import pytest

from renderer.output import files
from renderer.output.files import OutputError, write_whole


def test_a_file_is_written_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    write_whole(tmp_path / "pack.pdf", b"new")
    assert (tmp_path / "pack.pdf").read_bytes() == b"new"
    assert os.listdir(tmp_path) == ["pack.pdf"]


def test_an_old_file_is_replaced_and_keeps_its_rights(tmp_path: Path) -> None:
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"old and longer")
    target.chmod(0o640)
    write_whole(str(target), b"new")
    assert target.read_bytes() == b"new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_a_new_file_has_the_rights_of_any_new_file(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")
    write_whole(tmp_path / "pack.pdf", b"new")
    modes = {path.stat().st_mode for path in tmp_path.iterdir()}
    assert len(modes) == 1


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_the_old_file_stays_where_writing_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"old")

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, step, fail)
    with pytest.raises(OutputError, match=r"pack\.pdf: No space left on device"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["pack.pdf"]


def test_an_interrupt_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(files.os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "pack.pdf", b"new")
    assert os.listdir(tmp_path) == []


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"folder .*away does not exist"):
        write_whole(tmp_path / "away" / "pack.pdf", b"new")


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="it is a folder"):
        write_whole(tmp_path, b"new")
    (tmp_path / "plain").write_bytes(b"")
    with pytest.raises(OutputError, match="is a file, not a folder"):
        write_whole(tmp_path / "plain" / "pack.pdf", b"new")


def test_a_folder_that_may_not_be_written_to_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files.os, "access", lambda *_: False)
    with pytest.raises(OutputError, match="cannot be written to"):
        write_whole(tmp_path / "pack.pdf", b"new")


def test_a_link_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.pdf").write_bytes(b"old")
    (tmp_path / "link.pdf").symlink_to("real.pdf")
    write_whole(tmp_path / "link.pdf", b"new")
    assert (tmp_path / "link.pdf").is_symlink()
    assert (tmp_path / "real.pdf").read_bytes() == b"new"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_written_to_as_it_is(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        write_whole(pipe, b"new")
        assert os.read(reader, 100) == b"new"
    finally:
        os.close(reader)
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_function_writes_the_file_piece_by_piece(tmp_path: Path) -> None:
    write_whole(tmp_path / "pack.pdf", lambda file: [file.write(part) for part in (b"a", b"b")])
    assert (tmp_path / "pack.pdf").read_bytes() == b"ab"


def test_a_function_that_fails_leaves_nothing(tmp_path: Path) -> None:
    def fail(file: BinaryIO) -> None:
        file.write(b"half")
        raise ValueError("no page")

    (tmp_path / "pack.pdf").write_bytes(b"old")
    with pytest.raises(ValueError, match="no page"):
        write_whole(tmp_path / "pack.pdf", fail)
    assert (tmp_path / "pack.pdf").read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["pack.pdf"]


def test_a_file_that_is_protected_from_writing_stays(tmp_path: Path) -> None:
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"signed")
    target.chmod(0o444)
    with pytest.raises(OutputError, match="it is write-protected; remove the protection"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"signed"
    assert os.listdir(tmp_path) == ["pack.pdf"]
