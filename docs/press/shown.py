"""What the pages show is what happens: their files written, their commands run as at a terminal.

A fenced block with the language ``pycon`` is a session of Python, run as a doctest. One with the
language ``console`` holds commands, each after ``$ ``, and under each what
it prints; a line ``...`` stands for any lines. A block with a caption is a file of that name, and a
file that a page includes from ``files/`` is there too. The pages of one way share one folder.

``python -m docs.press.shown`` runs all ways and writes what was printed under each command that has
no ``...`` under it, so that a change of words needs no typing.
"""

from __future__ import annotations

import doctest
import io
import os
import re
import select
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from unittest import mock
from urllib.request import urlopen

import renderer

DOCS = Path(__file__).resolve().parent.parent
FILES = DOCS / "files"


@dataclass(frozen=True, slots=True)
class Way:
    """Pages that are read one after the other, in one folder; ``has`` is in it from the start."""

    pages: tuple[str, ...]
    has: tuple[str, ...] = ()


_CREW = ("measure", "plan", "print", "lay", "hand-over", "years-later")
WAYS = {
    "start": Way(("start.md",)),
    "crew": Way(tuple(f"crew/{name}.md" for name in _CREW)),
    "trainer": Way(("trainer.md",)),
    "python": Way(("python.md",), ("machine.yaml", "garden.plan.yaml")),
    "day": Way(("file/day.md",), ("machine.yaml", "garden.plan.yaml", "lawn.plan.yaml")),
    "layout": Way(("file/layout.md",), ("machine.yaml", "garden.plan.yaml")),
    "owner": Way(("owner.md",), ("machine.yaml", "garden-built.plan.yaml")),
}
_FENCE = re.compile(r"^(`{3,})([^\n]*)\n(.*?)^\1\n", re.DOTALL | re.MULTILINE)
_CAPTION = re.compile(r"^:caption: (.*)\n", re.MULTILINE)
_OPTION = re.compile(r"^:[a-z-]+:.*\n", re.MULTILINE)
_BAR = re.compile(r"(?:\r[^\r\n]*)*\r\x1b\[K")  # a bar, and the line cleared of it
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S*")
_PAGES = re.compile(r", \d+ pages?$", re.MULTILINE)
_ANY = "..."
_PATIENCE_S = 60.0
_PREVIEW_SAYS = 2  # lines, before it waits for the browser


@dataclass(frozen=True, slots=True)
class File:
    """A file that a page shows, and what is in it."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Command:
    """A command and what the page says that it prints; ``at`` is where that stands in the page."""

    line: str
    says: str
    at: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Session:
    """What is typed at Python's prompt, and what it answers."""

    text: str


Step = File | Command | Session


def steps(page: str) -> Iterator[Step]:
    """What a page shows, in its order."""
    for fence in _FENCE.finditer(page):
        told, body = fence[2].strip(), fence[3]
        if told.startswith("{literalinclude}"):
            name = told.split()[1]
            yield File(Path(name).name, (FILES / Path(name).name).read_text("utf-8"))
        elif told == "console":
            yield from _commands(body, fence.start(3))
        elif told == "pycon":
            yield Session(body)
        elif told.startswith("{code-block}") and (caption := _CAPTION.search(body)):
            yield File(caption[1].strip(), _OPTION.sub("", body).lstrip("\n"))


def _commands(body: str, start: int) -> Iterator[Command]:
    for each in re.finditer(r"^\$ ((?:.*\\\n)*.*)\n((?:(?!\$ ).*\n)*)", body, re.MULTILINE):
        line = each[1].replace("\\\n", " ")
        yield Command(line, each[2], (start + each.start(2), start + each.end(2)))


def matches(says: str, printed: str) -> bool:
    """Whether a page tells truly what was printed."""
    parts = [re.escape(part) for part in re.split(r"^\.\.\.\n", says, flags=re.MULTILINE)]
    return re.fullmatch("(?:.*\n)*?".join(parts), printed) is not None


class _Paper(io.TextIOWrapper):
    """What a terminal would show, output and errors in one."""

    def __init__(self) -> None:
        super().__init__(io.BytesIO(), "utf-8", newline="", write_through=True)

    def isatty(self) -> bool:
        return True

    def text(self) -> str:
        held = self.buffer
        assert isinstance(held, io.BytesIO)
        return _BAR.sub("", held.getvalue().decode())


class _Typist:
    """Somebody at the keyboard who types what the page says, after each question."""

    def __init__(self, says: str, paper: _Paper) -> None:
        self._says, self._paper = says, paper

    def isatty(self) -> bool:
        return True

    def readline(self) -> str:
        so_far = self._paper.text()
        if not self._says.startswith(so_far):
            return ""
        typed = self._says[len(so_far) :].partition("\n")[0] + "\n"
        self._paper.write(typed)
        return typed


def run(command: Command, folder: Path) -> str:
    """What a command prints, run in a folder as at a terminal."""
    words = shlex.split(command.line)
    if words[:2] == ["pegline", "preview"]:
        return _previewed(words[1:], folder)
    if words[0] == "cd":
        raise ValueError("the pages of a way share one folder; leave cd out")
    if words[0] != "pegline":
        raise ValueError(f"{command.line}: only pegline is run")
    from renderer.cli import main

    paper = _Paper()
    with (
        _in(folder),
        mock.patch.multiple(
            sys, stdout=paper, stderr=paper, stdin=_Typist(command.says, paper), argv=words
        ),
        mock.patch.dict(os.environ, {"COLUMNS": "80", "NO_COLOR": "1"}),
        suppress(SystemExit),
    ):  # of --help and of arguments that do not go together
        main(words[1:])
    return paper.text()


@contextmanager
def _in(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


def _previewed(words: list[str], folder: Path) -> str:
    """What a preview prints until it waits, its address as any; the address answers."""
    env = os.environ | {"PYTHONPATH": str(DOCS.parent)}
    call = [sys.executable, "-m", "renderer", *(word for word in words if word != "--open")]
    with subprocess.Popen(
        call, cwd=folder, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as process:
        assert process.stdout is not None
        held = b""
        try:
            while held.count(b"\n") < _PREVIEW_SAYS:
                if not select.select([process.stdout], [], [], _PATIENCE_S)[0]:
                    break
                said = os.read(process.stdout.fileno(), 4096)
                if not said:
                    break
                held += said
            printed = held.decode()
            address = _ADDRESS.search(printed)
            if address is not None:
                with urlopen(address[0], timeout=_PATIENCE_S) as page:
                    assert b"<title>" in page.read()
        finally:
            process.send_signal(signal.SIGINT)
            process.communicate()
    return _ADDRESS.sub("http://127.0.0.1:8400/", printed)


def answered_otherwise(session: Session, folder: Path) -> str:
    """How the answers of Python are not those shown; nothing where they are."""
    test = doctest.DocTestParser().get_doctest(session.text, {}, "page", None, None)
    told: list[str] = []
    with _in(folder), mock.patch.dict(sys.modules, {"pegline": renderer}):
        doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test, out=told.append)
    return "".join(told)


@dataclass(frozen=True, slots=True)
class Wrong:
    """A command of a page that does not print what the page says."""

    page: str
    command: Command
    printed: str

    @property
    def by_pages_alone(self) -> bool:
        """Whether it differs in numbers of pages, which change with the look of any sheet."""
        return matches(_PAGES.sub("", self.command.says), _PAGES.sub("", self.printed))

    def __str__(self) -> str:
        return (
            f"{self.page}: $ {self.command.line}\nsays\n{self.command.says}prints\n{self.printed}"
        )


def walked(way: str, folder: Path) -> list[Wrong]:
    """Walks a way in a folder: writes its files, runs its commands; gives what is not as shown."""
    wrong = []
    for name in WAYS[way].has:
        shutil.copy(FILES / name, folder)
    for page in WAYS[way].pages:
        for step in steps((DOCS / page).read_text("utf-8")):
            if isinstance(step, File):
                (folder / step.name).write_text(step.text, "utf-8")
            elif isinstance(step, Session):
                if told := answered_otherwise(step, folder):
                    wrong.append(Wrong(page, Command("python3", _ANY, (0, 0)), told))
            elif not matches(step.says, printed := run(step, folder)):
                wrong.append(Wrong(page, step, printed))
    return wrong


def stale(folder: Path) -> list[str]:
    """The files of ``files/`` that are not as a way has written them in its folder."""
    return [
        path.name
        for path in sorted(FILES.iterdir())
        if (folder / path.name).exists() and (folder / path.name).read_bytes() != path.read_bytes()
    ]


def _rewrite(wrong: list[Wrong]) -> None:
    """Puts what was printed in place of what the pages say, the last place of a page first."""
    for each in reversed(wrong):
        if _ANY in each.command.says:
            print(each)
            continue
        path = DOCS / each.page
        text = path.read_text("utf-8")
        start, end = each.command.at
        path.write_text(text[:start] + each.printed + text[end:], "utf-8")
        print(f"{each.page}: $ {each.command.line}: written")


def main() -> None:
    for way in sys.argv[1:] or WAYS:
        folder = tempfile.mkdtemp(prefix="pegline-docs-")
        try:
            _rewrite(walked(way, Path(folder)))
            for name in stale(Path(folder)):
                shutil.copy(Path(folder, name), FILES)
                print(f"files/{name}: written")
        finally:
            shutil.rmtree(folder)


if __name__ == "__main__":
    main()
