"""The work of one process: a plan file read, checked, drawn and composed, told step by step.

What is found comes first, the garden next, the sheets last, so that the window is not left to wait
for what takes longest. Pages become SVG, and the document a PDF, only when they are asked for.
"""

from __future__ import annotations

import os
from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING, Any

from renderer.explain import MISTAKES_MOST, explained
from renderer.inputs import noted
from renderer.plan.errors import PlanError
from renderer.preview.message import Answer, Broken, Composed, Drawn, Order, Question, Read, Told

if TYPE_CHECKING:
    from collections.abc import Callable
    from multiprocessing.connection import Connection

    from renderer.inputs import Digests
    from renderer.job import Job
    from renderer.plan.lines import Lines
    from renderer.preview.garden import Garden
    from renderer.preview.message import Json, Message, Stage
    from renderer.primitives import Document

    Compose = Callable[..., Document]
    Say = Callable[[Message], None]


READY = ("plan", "job", "preview.garden", "sheets", "sheets.blocks.plan", "output.svg")


def work(pipe: Connection, compose: Compose) -> None:
    """Takes orders and questions from a pipe until it is closed.

    ``compose`` is ``renderer.compose_sheets``: what is shown is what ``pegline print`` prints.
    """
    from renderer.batch.workers import work_for_parent

    work_for_parent()
    _get_ready()
    worker = _Worker(pipe.send, compose)
    try:
        while True:
            asked = pipe.recv()
            worker.take(asked)
    except (EOFError, OSError, KeyboardInterrupt):
        return  # the desk is gone


def _get_ready() -> None:
    """Imports what takes long before there is work to do."""
    for name in READY:
        import_module(f"renderer.{name}")


class _Worker:
    """Holds the last document that was composed, and answers from it."""

    def __init__(self, say: Say, compose: Compose) -> None:
        self._say = say
        self._compose = compose
        self._document: Document | None = None
        self._is_draft = False

    def take(self, asked: Order | Question) -> None:
        """Does what is asked and says what comes of it; an error is an answer too."""
        if isinstance(asked, Question):
            self._say(self._answered(asked))
            return
        _Run(asked, self._say).go(self)

    def _answered(self, asked: Question) -> Answer:
        document = self._document
        if document is None:
            return Answer(asked.number, b"", "there are no sheets yet")
        try:
            if asked.page == 0:
                from renderer.output.pdf import write_pdf

                return Answer(asked.number, write_pdf(document))
            from renderer.output.svg import page_svg

            page = document.pages[asked.page - 1]
            return Answer(asked.number, page_svg(page, number=asked.page))
        except Exception as error:
            return Answer(asked.number, b"", _in_one_line(error))

    def composed(self, order: Order, job: Job, draft: bool) -> Composed:
        """Composes the document of an order, which takes the place of the last one."""
        options = replace(order.options, draft=draft or order.options.draft)
        document = self._compose([job], options)
        self._document = document
        return Composed(order.number, len(document.pages), document.title, draft)


class _Run:
    """One order, stage by stage."""

    def __init__(self, order: Order, say: Say) -> None:
        self._order = order
        self._say = say
        self._after: Stage | None = None
        self._text = ""

    def go(self, worker: _Worker) -> None:
        """All of it, with the files that were read noted; one that is missing is watched too."""
        with noted() as files:
            try:
                self._text = _text(self._order.path)
                self._stages(worker, files)
            except Exception as error:
                self._watch(files, error)
                self._say(self._broken(error))

    def _stages(self, worker: _Worker, files: Digests) -> None:
        from renderer.job import prepare
        from renderer.plan import load
        from renderer.text import require_all

        order = self._order
        plan = load(order.path)
        self._watch(files)
        require_all(plan.model_dump(), f"plan {plan.job.number}")
        job = prepare(plan)
        from renderer.plan.lines import Lines

        lines = Lines(self._text, order.path, plan)
        found = [_finding(each, lines) for each in job.findings_in(order.language)]
        self._say(Told(order.number, _head(job), tuple(found), self._text))
        self._after = "read"
        from renderer.preview.garden import garden_of

        garden = garden_of(job.near, lines, order.language, order.options.ink)
        self._say(Drawn(order.number, garden.for_window() | {"places": _places(garden, job)}))
        self._after = "drawn"
        stopped = any(finding.level == "stop" for finding in job.findings)
        composed = worker.composed(order, job, stopped)
        self._watch(files)
        self._say(composed)

    def _watch(self, files: Digests, error: Exception | None = None) -> None:
        """Says what to watch: what was read, the layout, and after an error whole folders.

        A machine file or a logo that is missing may be put there next.
        """
        own = [self._order.path]
        if (layout := self._order.options.layout) and os.path.isfile(layout):
            own.append(layout)
        if error is not None:
            own += [each.path for each in getattr(error, "all", ()) if os.path.isfile(each.path)]
            own += [os.path.dirname(os.path.abspath(path)) for path in own]
        self._say(Read(self._order.number, dict(files), tuple(own)))

    def _broken(self, error: Exception) -> Broken:
        mistakes: list[Json]
        if isinstance(error, PlanError):
            mistakes = [_mistake(each, self._order.path) for each in error.all[:MISTAKES_MOST]]
        else:
            mistakes = [{"file": "", "line": 0, "problem": _in_one_line(error, self._order.path)}]
        return Broken(self._order.number, self._after, tuple(mistakes), self._text)


def _mistake(error: PlanError, path: str) -> Json:
    """A mistake for the window; ``own`` where it is in the plan file itself."""
    return {
        "file": os.path.basename(error.path),
        "own": error.path == path,
        "line": error.line,
        "key": error.key,
        "problem": error.problem,
        "cure": error.cure,
    }


def _in_one_line(error: Exception, path: str = "") -> str:
    return explained(error, [path] if os.path.isfile(path) else ())


def _head(job: Job) -> Json:
    head = job.plan.job
    return {
        "number": head.number,
        "title": head.title,
        "revision": head.revision,
        "units": job.plan.units,
    }


def _finding(found: Any, lines: Lines) -> Json:
    return {
        "rule": found.rule,
        "level": found.level,
        "message": found.message,
        "cure": found.cure,
        "why": found.why,
        "accepted": found.acknowledged,
        "line": lines.place_of(found.about, found.rule).line,
    }


def _places(garden: Garden, job: Job) -> list[list[float] | None]:
    """Where each finding is on the drawing, in their order."""
    return [None if each.at is None else garden.place(each.at) for each in job.near.findings]


def _text(path: str) -> str:
    """The text of the file as it is shown beside a mistake; what cannot be read says so later."""
    from renderer.plan.files import text_of

    try:
        return text_of(path)
    except PlanError:
        return ""
