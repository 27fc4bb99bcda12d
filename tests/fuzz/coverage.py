"""``python -m tests.fuzz.coverage READER``: changed files led by what they reach in a reader.

Needs atheris (``python -m pip install atheris``), which keeps each change that reaches code no
other has reached, and changes it further. The changes are those of ``mutations.py``; answers are
judged as ``python -m tests.fuzz`` judges them. What follows the reader goes to libFuzzer:
``-max_total_time=300 -seed=4``. A file with a wrong answer is left in the folder.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.fuzz.mutations import BYTES_MOST, mutated


def main() -> int:
    """Runs until libFuzzer has enough; it ends the process itself."""
    try:
        import atheris
    except ImportError:
        print("needs atheris: python -m pip install atheris", file=sys.stderr)
        return 2
    name, *asked = sys.argv[1:] or ["plan"]
    here = os.getcwd()
    place = TemporaryDirectory()
    corpus = Path(place.name) / "corpus"
    corpus.mkdir()
    with atheris.instrument_imports(include=["renderer"]):
        from tests.fuzz.readers import READERS, fill
        from tests.fuzz.run import Tally, answer_to, watched

        kind, tally = READERS[name], Tally(name)
        fill(Path(place.name))
        os.chdir(place.name)
        for number, data in enumerate(kind.seeds()):
            (corpus / str(number)).write_bytes(data)
            Path(kind.name).write_bytes(data)
            with watched():  # what the reader needs is imported by its first file
                answer_to(kind.read, kind.name, tally)

    def one(data: bytes) -> None:
        Path(kind.name).write_bytes(data)
        with watched():
            wrong = answer_to(kind.read, kind.name, tally)
        if wrong:
            raise AssertionError(wrong)

    def changed(data: bytes, most: int, seed: int) -> bytes:
        return mutated(data, Random(seed))[: min(most, BYTES_MOST)]

    options = [f"-max_len={BYTES_MOST}", "-rss_limit_mb=4000", f"-artifact_prefix={here}/"]
    atheris.Setup([sys.argv[0], *options, *asked, str(corpus)], one, custom_mutator=changed)
    atheris.Fuzz()
    return 0


if __name__ == "__main__":
    sys.exit(main())
