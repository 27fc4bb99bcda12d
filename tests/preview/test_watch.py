"""What counts as a change of a file, on slow clocks and with editors that empty it first."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from renderer.inputs import digest_of
from renderer.preview.watch import Watch


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "garden.plan.yaml"
    path.write_bytes(b"plan: 1\n")
    return path


def watching(path: Path) -> Watch:
    watch = Watch()
    watch.keep({str(path): digest_of(path.read_bytes())})
    return watch


def test_a_file_left_alone_is_no_change(file: Path) -> None:
    watch = watching(file)
    os.utime(file, (1, 1))  # copied back or touched: it says the same
    assert not any(watch.changed() for _ in range(3))


def test_a_change_is_told_once_it_has_settled(file: Path) -> None:
    watch = watching(file)
    file.write_bytes(b"")  # an editor empties the file and then fills it
    assert not watch.changed()
    file.write_bytes(b"plan: 2\n")
    assert not watch.changed()
    assert watch.changed()


def test_a_change_within_one_second_of_the_disk_is_seen(file: Path) -> None:
    now = file.stat().st_mtime_ns
    watch = watching(file)
    assert not watch.changed()
    file.write_bytes(b"plan: 2\n")
    os.utime(file, ns=(now, now))
    assert [watch.changed(), watch.changed()] == [False, True]


def test_a_file_that_changed_between_reading_and_watching_is_seen(file: Path) -> None:
    watch = Watch()
    watch.keep({str(file): digest_of(b"what was read")})
    assert [watch.changed(), watch.changed()] == [False, True]


def test_a_file_that_was_missing_and_one_that_goes(tmp_path: Path, file: Path) -> None:
    machine = tmp_path / "machine.yaml"
    watch = Watch()
    watch.keep({}, [str(machine), str(file)])
    assert not watch.changed()
    machine.write_bytes(b"label: m\n")
    assert [watch.changed(), watch.changed()] == [False, True]
    watch.keep({}, [str(machine), str(file)])
    file.unlink()
    assert [watch.changed(), watch.changed()] == [False, True]


def test_a_folder_changes_with_what_is_in_it(tmp_path: Path) -> None:
    watch = Watch()
    os.utime(tmp_path, (1, 1))
    watch.keep({}, [str(tmp_path)])
    assert not watch.changed()
    (tmp_path / "logo.svg").write_bytes(b"<svg/>")
    assert [watch.changed(), watch.changed()] == [False, True]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    watch = Watch()
    watch.keep({}, [str(tmp_path / "pipe")])
    assert not watch.changed()
