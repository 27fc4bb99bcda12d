"""Each step of writing a file is made to fail, or the process killed at it: old or new, but whole.

The way is that of SQLite's own tests of its pager (https://www.sqlite.org/testing.html, "I/O error
testing" and "crash testing"): the n-th call fails, for every n until a run goes through.
"""

from __future__ import annotations

import builtins
import errno
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from multiprocessing import get_context
from pathlib import Path
from typing import Any, BinaryIO

import pytest

from renderer.output import files
from renderer.output.files import OutputError, write_whole

OLD, NEW = b"old " * 50_000, b"new " * 70_000
PARTS = 7  # the new file is written in so many pieces
CALLS = ("open", "fsync", "chmod", "replace", "close")
UNIX = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and locks of files")


def filled(file: BinaryIO) -> None:
    step = len(NEW) // PARTS
    for start in range(0, len(NEW), step):
        file.write(NEW[start : start + step])


class Counted:
    """Calls ``fault`` instead of the n-th step of writing; counts the steps."""

    def __init__(self, number: int, fault: Callable[[], object]) -> None:
        self.left = number
        self.fault = fault
        self.names: list[str] = []

    def step(self, name: str) -> None:
        self.names.append(name)
        self.left -= 1
        if self.left == 0:
            self.fault()

    def wrapped(self, name: str, function: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any, **more: Any) -> Any:
            self.step(name)
            return function(*args, **more)

        return called

    def opened(self, *args: Any, **more: Any) -> Any:
        self.step("open file")
        return Watched(builtins.open(*args, **more), self)


class Watched:
    """A file whose writing and flushing count as steps."""

    def __init__(self, file: Any, counted: Counted) -> None:
        self._file, self._counted = file, counted

    def __enter__(self) -> Watched:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def __getattr__(self, name: str) -> Any:
        found = getattr(self._file, name)
        return self._counted.wrapped(name, found) if name in ("write", "flush", "close") else found


def watch(patch: pytest.MonkeyPatch, number: int, fault: Callable[[], object]) -> Counted:
    counted = Counted(number, fault)
    patch.setattr(files, "open", counted.opened, raising=False)
    for name in CALLS:
        patch.setattr(files.os, name, counted.wrapped(name, getattr(os, name)))
    return counted


def no_room() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.fixture(params=["new", "old"])
def target(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Where to write: nothing there yet, or an old file."""
    path = tmp_path / "pack.pdf"
    if request.param == "old":
        path.write_bytes(OLD)
    return path


def state(target: Path) -> bytes | None:
    return target.read_bytes() if target.exists() else None


@pytest.mark.parametrize("data", [NEW, filled], ids=["bytes", "function"])
def test_whatever_step_fails_the_file_is_old_or_new(target: Path, data: Any) -> None:
    before = state(target)
    for number in range(1, 60):
        with pytest.MonkeyPatch.context() as patch:
            counted = watch(patch, number, no_room)
            try:
                write_whole(target, data)
            except OutputError as error:
                assert "pack.pdf: No space left on device" in str(error)
                assert state(target) == before, counted.names
            else:
                assert state(target) == NEW, counted.names
            assert os.listdir(target.parent) in ([], ["pack.pdf"]), counted.names
        if counted.left > 0:
            break
        target.unlink(missing_ok=True)
        if before is not None:
            target.write_bytes(before)
    assert counted.left > 0  # a run without a fault ends the row
    wanted = {"open file", "write", "flush", "fsync", "replace"}
    assert wanted <= set(counted.names) and number > (PARTS if data is filled else 1) + 4


def killed_at(number: int, target: Path) -> int:
    """Runs the writing in a process of its own that is killed at a step; how it ended."""
    child = os.fork()
    if child == 0:
        with pytest.MonkeyPatch.context() as patch:
            watch(patch, number, lambda: os.kill(os.getpid(), signal.SIGKILL))
            write_whole(target, filled)
            os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@UNIX
def test_killed_at_any_step_leaves_one_part_file_that_the_next_run_removes(target: Path) -> None:
    before = state(target)
    for number in range(1, 60):
        ended = killed_at(number, target)
        if ended == 0:
            break
        assert ended == -signal.SIGKILL
        assert state(target) in (before, NEW)
        parts = [name for name in os.listdir(target.parent) if name != target.name]
        assert len(parts) <= 1
        write_whole(target.with_name("other.pdf"), b"other")
        left = set(os.listdir(target.parent)) - {target.name}
        assert left == {"other.pdf"}, (number, parts)
        target.with_name("other.pdf").unlink()
        if state(target) != before:
            target.unlink()
            if before is not None:
                target.write_bytes(before)
    assert number > PARTS + 5


def again_and_again(path: str, mark: bytes, times: int) -> None:
    for _ in range(times):
        write_whole(path, lambda file: [file.write(mark * 1000) for _ in range(20)])


@UNIX
def test_two_runs_on_one_file_leave_one_of_them_whole(tmp_path: Path) -> None:
    target = tmp_path / "pack.pdf"
    write_whole(target, b"a" * 20_000)
    context = get_context("fork")
    runs = [
        context.Process(target=again_and_again, args=(str(target), mark, 60))
        for mark in (b"a", b"b")
    ]
    for run in runs:
        run.start()
    seen = set()
    while any(run.is_alive() for run in runs):
        data = target.read_bytes()
        assert len(data) == 20_000 and len(set(data)) == 1
        seen.add(data[:1])
    assert [run.exitcode for run in runs] == [0, 0]
    assert seen <= {b"a", b"b"} and os.listdir(tmp_path) == ["pack.pdf"]


def test_a_folder_that_goes_half_way_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "day"
    folder.mkdir()

    def gone(file: BinaryIO) -> None:
        file.write(b"half")
        shutil.rmtree(folder)

    with pytest.raises(OutputError, match=r"day.pack\.pdf: No such file or directory"):
        write_whole(folder / "pack.pdf", gone)
    assert not folder.exists()


def test_a_part_file_that_is_being_written_stays(tmp_path: Path) -> None:
    def meanwhile(file: BinaryIO) -> None:
        file.write(b"long")
        write_whole(tmp_path / "short.pdf", b"short")
        file.write(b" work")

    write_whole(tmp_path / "long.pdf", meanwhile)
    assert (tmp_path / "long.pdf").read_bytes() == b"long work"
    assert sorted(os.listdir(tmp_path)) == ["long.pdf", "short.pdf"]


SCRIPT = """
import sys
from renderer.output.files import OutputError, write_whole
try:
    write_whole(sys.argv[1], b"new " * 70_000)
except OutputError as error:
    print(error)
    sys.exit(3)
"""


def faults() -> Iterator[tuple[str, str]]:
    for call in ("fsync", "rename,renameat,renameat2", "fchmod,chmod,fchmodat", "write"):
        for error in ("ENOSPC", "EIO"):
            yield call, error


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not installed")
@pytest.mark.parametrize(("call", "error"), [*faults()])
def test_the_kernel_refuses_a_call(tmp_path: Path, call: str, error: str) -> None:
    """The same seen from outside Python: strace lets the system call itself fail."""
    target = tmp_path / "pack.pdf"
    target.write_bytes(OLD)
    inject = f"inject={call}:error={error}:when=1"
    command = ["strace", "-f", "-o", os.devnull, "-e", f"trace={call}", "-e", inject]
    done = subprocess.run(
        [*command, sys.executable, "-c", SCRIPT, str(target)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if "PTRACE" in done.stderr or "Operation not permitted" in done.stderr:
        pytest.skip("this machine does not let strace trace")
    reason = os.strerror(getattr(errno, error))
    assert done.returncode == 3, done.stderr
    assert f"cannot write {target}: {reason}" in done.stdout
    assert target.read_bytes() == OLD and os.listdir(tmp_path) == ["pack.pdf"]
