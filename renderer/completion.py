"""Completion of commands, options and files for a shell, by shtab from the very arguments."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

# What stands for a file or a folder in the help, and what a shell offers for it.
FILES = {"bash": "_shtab_compgen_files", "zsh": "_files"}
FOLDERS = {"bash": "_shtab_compgen_dirs", "zsh": "_files -/"}
OFFERED = {
    **dict.fromkeys(("JOB", "OLD", "NEW", "FILE", "PDF"), FILES),
    **dict.fromkeys(("FOLDER", "DIR"), FOLDERS),
}


class NoShtab(Exception):
    """The library that writes completions is not installed."""

    def __str__(self) -> str:
        return "completion needs the library shtab: pip install 'pegline[completion]'"


def completion(parser: argparse.ArgumentParser, shell: str) -> str:
    """The script that a shell reads. Raises NoShtab where the library is missing."""
    try:
        import shtab
    except ImportError:
        raise NoShtab from None
    for action in _actions(parser):
        if isinstance(action.metavar, str) and action.metavar in OFFERED:
            action.complete = OFFERED[action.metavar]  # type: ignore[attr-defined]
    script: str = shtab.complete(parser, shell=shell)
    return script


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """The arguments of a parser and of all its commands."""
    for action in parser._actions:
        yield action
        if isinstance(action.choices, dict):
            for each in action.choices.values():
                yield from _actions(each)
