"""Values that wait in a temporary file: read back as they were; a full folder is named."""

from __future__ import annotations

import errno
import tempfile

import pytest

from renderer.batch.spill import Spill


def test_values_come_back_in_their_order() -> None:
    spill: Spill[str] = Spill()
    for value in (b"one", b"two, longer", b""):
        spill.add(value)
    assert list(spill.raw()) == [b"one", b"two, longer", b""]
    assert len(spill) == 3


def test_a_full_folder_for_temporary_files_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    spill: Spill[str] = Spill()

    class Full:
        def seek(self, _: int) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(spill, "_file", Full())
    with pytest.raises(OSError, match="No space left on device") as caught:
        spill.add(b"one")
    assert caught.value.filename == tempfile.gettempdir()
