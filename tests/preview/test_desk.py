"""The desk without its processes: what it keeps, what it drops, and when it begins anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, ClassVar

import pytest

from renderer.options import PrintOptions
from renderer.preview import desk as module
from renderer.preview.desk import ENDED, Asked, Desk, summary
from renderer.preview.message import Answer, Broken, Composed, Drawn, Message, Order, Told

HEAD = {"number": "T-1", "title": "", "revision": "A", "units": "m"}


class Bench:
    """Stands for a process: what it is asked is kept, what it says is said by the test."""

    made: ClassVar[list[Bench]] = []

    def __init__(self, compose: Any, tell: Callable[[Bench, Message | None], None]) -> None:
        self.tell = tell
        self.orders: list[Order] = []
        self.busy = self.ended = False
        self.made.append(self)

    def start(self, order: Order) -> None:
        self.busy = True
        self.orders.append(order)

    def ask(self, page: int) -> Answer:
        return Answer(0, f"page {page} of change {self.orders[-1].number}".encode())

    def end(self) -> None:
        self.ended = True

    def say(self, *said: Message | None) -> None:
        for each in said:
            self.tell(self, each)
            if isinstance(each, Composed | Broken):
                self.busy = False

    def finish(self, pages: int = 2) -> None:
        number = self.orders[-1].number
        self.say(Told(number, HEAD, (), "plan: 1\n"), Drawn(number, {}))
        self.say(Composed(number, pages, "Sheets", False))


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Desk]:
    (tmp_path / "g.plan.yaml").write_text("plan: 1\n")
    monkeypatch.setattr(module, "Bench", Bench)
    monkeypatch.setattr(module, "LOOK_S", 3600.0)  # the test says what has changed
    Bench.made = []
    desk = Desk(Asked(str(tmp_path / "g.plan.yaml"), PrintOptions()), None)  # type: ignore[arg-type]
    yield desk
    desk.close()


def shown(desk: Desk) -> dict[str, Any]:
    return summary(desk.shown, desk.asked)


def test_findings_and_garden_are_shown_before_the_sheets(desk: Desk) -> None:
    (first,) = Bench.made
    assert shown(desk)["working"] and desk.page(1, 1) is None and desk.pdf() is None
    first.say(Told(1, HEAD, ({"rule": "r"},), "plan: 1\n"))
    assert (len(shown(desk)["findings"]), shown(desk)["garden"]) == (1, 0)
    first.say(Drawn(1, {}))
    assert (shown(desk)["garden"], shown(desk)["sheets"]) == (1, 0)
    first.say(Composed(1, 2, "Sheets", False))
    assert (shown(desk)["sheets"], shown(desk)["working"]) == (1, False)


def test_a_change_is_worked_out_beside_the_last_good_sheets(desk: Desk) -> None:
    first = Bench.made[0]
    first.finish()
    second = Bench.made[1]
    desk.choose(PrintOptions(paper="A3"))
    assert second.orders[-1].options.paper == "A3" and second.orders[-1].number == 2
    answer = desk.page(1, 2)
    assert answer is not None and answer.data == b"page 2 of change 1"
    second.finish()
    assert desk.page(1, 2) is None  # the window asks again for what is new
    answer = desk.page(2, 1)
    assert answer is not None and answer.data == b"page 1 of change 2"
    desk.choose(PrintOptions(paper="A4"))
    assert first.orders[-1].number == 3 and len(Bench.made) == 2  # they change places


def test_a_change_while_it_works_drops_the_stale_work(desk: Desk) -> None:
    Bench.made[0].finish()
    stale = Bench.made[1]
    desk.choose(PrintOptions(paper="A3"))
    stale.say(Told(2, HEAD, (), ""))
    desk.choose(PrintOptions(paper="Letter"))
    assert stale.ended and not Bench.made[0].ended
    stale.say(Drawn(2, {}), Composed(2, 9, "", False), None)
    assert (shown(desk)["garden"], shown(desk)["sheets"], shown(desk)["working"]) == (1, 1, True)
    Bench.made[2].finish()
    assert shown(desk)["sheets"] == 3


def test_a_mistake_keeps_what_was_good(desk: Desk) -> None:
    Bench.made[0].finish()
    desk.choose(PrintOptions(paper="A3"))
    mistake = {"file": "g.plan.yaml", "line": 1, "problem": "bad"}
    Bench.made[1].say(Broken(2, None, (mistake,), "plan: x\n"))
    told = shown(desk)
    assert told["mistakes"] == (mistake,) and not told["working"]
    assert (told["garden"], told["sheets"]) == (1, 1) and desk.page(1, 1) is not None
    desk.choose(PrintOptions(paper="A4"))
    assert not Bench.made[1].ended  # it had finished, and is used again
    Bench.made[1].finish()
    assert shown(desk)["mistakes"] == [] and shown(desk)["sheets"] == 3


def test_a_process_that_ends_is_told_of_and_the_next_change_has_another(desk: Desk) -> None:
    Bench.made[0].say(None)
    assert shown(desk)["mistakes"][0]["problem"] == ENDED and not shown(desk)["working"]
    desk.choose(PrintOptions(paper="A3"))
    Bench.made[1].finish()
    assert shown(desk)["sheets"] == 2 and shown(desk)["mistakes"] == []
    Bench.made[1].say(None)  # the one that holds the sheets
    assert desk.page(2, 1) is None and desk.pdf() is None


def test_who_waits_for_news_is_woken(desk: Desk) -> None:
    version = desk.shown.version
    assert desk.newer(version, 0.01).version == version
    assert desk.newer(version - 1, 60.0).version == version
