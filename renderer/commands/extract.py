"""``pegline extract``: the plan that a print holds."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from renderer.commands.common import write_file
from renderer.explain import Usage
from renderer.terminal import EXIT_FINE, report_written, write_out

if TYPE_CHECKING:
    import argparse

    from renderer.archive.extract import Recovered


def run_extract(arguments: argparse.Namespace) -> int:
    """The plan files that go along in a print, written to a folder; names each with its code."""
    from renderer.archive.extract import recover

    recovered = recover(arguments.files)
    paths = _places(recovered, arguments.output)
    for name, path in paths.items():
        if os.path.exists(path) and not _holds(path, recovered.files[name]):
            raise Usage(f"{path}: another file of this name is there already; name another folder")
    for name, path in paths.items():
        write_file(path, recovered.files[name])
        report_written(path)
    told = (
        f"{paths[plan.name]}: {plan.number} {plan.revision} {plan.code}" for plan in recovered.plans
    )
    write_out("".join(f"{line}\n" for line in told))
    return EXIT_FINE


def _places(recovered: Recovered, output: str) -> dict[str, str]:
    """The path of each file, in the folder or beside the plan's own path that was asked for."""
    if Path(output).suffix.lower() not in (".yaml", ".yml", ".json") or os.path.isdir(output):
        return {name: os.path.join(output, name) for name in recovered.files}
    if len(recovered.plans) > 1:
        names = ", ".join(plan.name for plan in recovered.plans)
        raise Usage(f"{output}: there are several plans, {names}; name a folder for them")
    folder = os.path.dirname(output)
    paths = {name: os.path.join(folder, name) for name in recovered.files}
    return paths | {recovered.plans[0].name: output}


def _holds(path: str, data: bytes) -> bool:
    try:
        with open(path, "rb") as file:
            return file.read(len(data) + 1) == data
    except OSError:
        return False
