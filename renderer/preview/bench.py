"""A process that works out one job at a time, and whom to tell what it says."""

from __future__ import annotations

import multiprocessing
import threading
from contextlib import suppress
from itertools import count
from typing import TYPE_CHECKING

from renderer.preview.message import Answer, Broken, Composed, Question
from renderer.preview.work import work

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.preview.message import Message, Order
    from renderer.preview.work import Compose

PATIENCE_S = 120.0  # for a page of a document that is composed; a park's takes a tenth of a second


class Bench:
    """One process. ``tell`` is called with each message and this bench, from a thread of its own.

    It is started afresh rather than split off this process, which runs threads.
    """

    def __init__(self, compose: Compose, tell: Callable[[Bench, Message | None], None]) -> None:
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=work, args=(theirs, compose), daemon=True)
        self._process.start()
        theirs.close()
        self._tell = tell
        self._numbers = count(1)
        self._answers: dict[int, Answer | None] = {}
        self._condition = threading.Condition()
        self._gone = False
        self.busy = False
        threading.Thread(target=self._listen, daemon=True).start()

    def start(self, order: Order) -> None:
        """Begins an order; what it says of itself goes to ``tell``."""
        self.busy = True
        with suppress(OSError):  # a process that has ended is noticed by who listens
            self._pipe.send(order)

    def ask(self, page: int) -> Answer:
        """A page of its document, or for 0 the PDF; waits for it."""
        with self._condition:
            number = next(self._numbers)
            self._answers[number] = None
            with suppress(OSError):
                self._pipe.send(Question(number, page))
            self._condition.wait_for(
                lambda: self._gone or self._answers[number] is not None, PATIENCE_S
            )
            return self._answers.pop(number) or Answer(number, b"", "no answer")

    def end(self) -> None:
        """Ends the process, whatever it is doing."""
        self._process.terminate()

    def _listen(self) -> None:
        try:
            while True:
                self._take(self._pipe.recv())
        except (EOFError, OSError):
            with self._condition:
                self._gone = True
                self._condition.notify_all()
            self._tell(self, None)

    def _take(self, said: Message) -> None:
        if isinstance(said, Answer):
            with self._condition:
                if said.number in self._answers:
                    self._answers[said.number] = said
                self._condition.notify_all()
            return
        self._tell(self, said)
        if isinstance(said, Composed | Broken):
            self.busy = False
