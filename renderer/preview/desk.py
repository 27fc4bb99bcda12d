"""What the window shows: the newest findings, garden and sheets that could be worked out."""

from __future__ import annotations

import os
import threading
import time
from collections import OrderedDict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from renderer.preview.bench import Bench
from renderer.preview.message import Broken, Composed, Drawn, Order, Read, Told
from renderer.preview.watch import Watch

if TYPE_CHECKING:
    from renderer.options import PrintOptions
    from renderer.preview.message import Answer, Json, Message
    from renderer.preview.work import Compose

LOOK_S = 0.08  # between two looks at the files
PAGES_KEPT = 64
ENDED = "the process that works it out has ended, perhaps for lack of memory; save the file again"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is shown: a plan file, how it is printed, the language of the window."""

    path: str
    options: PrintOptions
    language: str = "en"


@dataclass(frozen=True, slots=True)
class Shown:
    """All that the window shows, each part with the number of the change that it belongs to."""

    version: int = 0
    change: int = 0
    working: bool = True
    told: Told | None = None
    drawn: Drawn | None = None
    composed: Composed | None = None
    broken: Broken | None = None


class Desk:
    """Keeps a job worked out while its files change.

    Of two processes one holds the last sheets that were composed and gives their pages, the other
    works on the newest change; when that is done they change places. A change while it works ends
    it, since what it would give is stale. Threads may share a desk.
    """

    def __init__(self, asked: Asked, compose: Compose) -> None:
        self.asked = asked
        self._compose = compose
        self._watch = Watch()
        self._changed = threading.Condition(threading.RLock())
        self._shown = Shown()
        self._pages: OrderedDict[tuple[int, int], bytes] = OrderedDict()
        self._holder: Bench | None = None
        self._worker: Bench | None = None
        self._ended = False
        self._start()
        threading.Thread(target=self._look, daemon=True).start()

    @property
    def shown(self) -> Shown:
        """What is shown now."""
        return self._shown

    def newer(self, version: int, patience_s: float) -> Shown:
        """What is shown, once it is newer than a version, or when patience is at its end."""
        with self._changed:
            self._changed.wait_for(lambda: self._ended or self._shown.version > version, patience_s)
            return self._shown

    def choose(self, options: PrintOptions) -> None:
        """Shows the job printed in another way."""
        with self._changed:
            self.asked = replace(self.asked, options=options)
            self._start()

    def page(self, change: int, number: int) -> Answer | None:
        """A page (from 1) of the sheets of a change as SVG; nothing where they are others now."""
        with self._changed:
            composed, holder = self._shown.composed, self._holder
            if composed is None or holder is None or composed.number != change:
                return None
            if not 1 <= number <= composed.pages:
                return None
            kept = self._pages.get((change, number))
        from renderer.preview.message import Answer

        if kept is not None:
            return Answer(0, kept)
        answer = holder.ask(number)
        with self._changed:
            if not answer.problem:
                self._pages[change, number] = answer.data
            while len(self._pages) > PAGES_KEPT:
                self._pages.popitem(last=False)
        return answer

    def pdf(self) -> Answer | None:
        """The file that ``pegline print`` writes; nothing before there are sheets."""
        holder = self._holder
        return None if holder is None else holder.ask(0)

    def close(self) -> None:
        """Ends the processes."""
        with self._changed:
            self._ended = True
            self._changed.notify_all()
            for bench in (self._holder, self._worker):
                if bench is not None:
                    bench.end()

    def _start(self) -> None:
        """Begins to work out the job as it is now; what is being worked out is dropped."""
        with self._changed:
            if self._ended:
                return
            number = self._shown.change + 1
            if self._worker is not None and self._worker.busy:
                self._worker.end()
                self._worker = None
            if self._worker is None:
                self._worker = Bench(self._compose, self._take)
            asked = self.asked
            self._worker.start(Order(number, asked.path, asked.options, asked.language))
            self._watch.keep({}, [asked.path])
            self._show(change=number, working=True)

    def _show(self, **changes: object) -> None:
        with self._changed:
            version = self._shown.version + 1
            self._shown = replace(self._shown, version=version, **changes)  # type: ignore[arg-type]
            self._changed.notify_all()

    def _take(self, bench: Bench, said: Message | None) -> None:
        """What a process says; nothing where it has ended."""
        with self._changed:
            if bench is self._holder and said is None:
                self._holder = None
            if bench is not self._worker:
                return
            if said is None:
                self._worker = None
                mistake = {"file": "", "line": 0, "problem": ENDED}
                broken = Broken(self._shown.change, None, (mistake,), "")
                self._show(broken=broken, working=False)
            elif said.number == self._shown.change:
                self._take_new(said)

    def _take_new(self, said: Message) -> None:
        match said:
            case Read():
                self._watch.keep(said.files, said.more)
            case Told():
                self._show(told=said, broken=None)
            case Drawn():
                self._show(drawn=said)
            case Broken():
                self._show(broken=said, working=False)
            case Composed():
                self._holder, self._worker = self._worker, self._holder
                self._pages.clear()
                self._show(composed=said, broken=None, working=False)
                if self._worker is None:  # ready for the next change
                    self._worker = Bench(self._compose, self._take)

    def _look(self) -> None:
        while not self._ended:
            time.sleep(LOOK_S)
            with self._changed:
                if self._watch.changed():
                    self._start()


def summary(shown: Shown, asked: Asked) -> Json:
    """What the window is told, as values for JSON; drawings and pages are fetched apart."""
    told, broken, composed = shown.told, shown.broken, shown.composed
    return {
        "version": shown.version,
        "working": shown.working,
        "file": os.path.basename(asked.path),
        "job": told.job if told else None,
        "findings": told.findings if told else [],
        "garden": shown.drawn.number if shown.drawn else 0,
        "sheets": composed.number if composed else 0,
        "pages": composed.pages if composed else 0,
        "title": composed.title if composed else "",
        "draft": composed.is_draft if composed else False,
        "mistakes": broken.mistakes if broken else [],
    }
