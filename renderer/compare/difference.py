"""What has changed from one job to another, as values; lengths in metres.

Pegs, splices and wire are told apart by where they lie, not by their numbers, which run on through
a plan and so change when something else does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from renderer.compare.moved import Stretch, apart, moved, paired
from renderer.language import ENGLISH

if TYPE_CHECKING:
    from renderer.findings_text import FindingText
    from renderer.ground.lay import LoopLay, Peg, Splice
    from renderer.job import Job


@dataclass(frozen=True, slots=True)
class LoopChange:
    """A loop before and after; nothing of the state in which there is none of this name.

    ``laid_anew`` are stretches of the new wire away from all of the old one, at running distances
    of the new; ``taken_up`` those of the old wire away from the new, at distances of the old.
    """

    name: str
    old_m: float | None
    new_m: float | None
    old_ohm: float | None
    new_ohm: float | None
    laid_anew: tuple[Stretch, ...]
    taken_up: tuple[Stretch, ...]

    @property
    def more_m(self) -> float:
        """By how much the wire got longer."""
        return (self.new_m or 0.0) - (self.old_m or 0.0)


@dataclass(frozen=True, slots=True)
class Difference:
    """What has changed between two jobs; findings are those of the English texts.

    ``pegs_moved`` are pegs of one garden, before and after, that stand elsewhere and are neither
    gained nor lost; ``renumbered`` are those that stay in their place under another number.
    """

    old: Job
    new: Job
    loops: tuple[LoopChange, ...]
    pegs_gained: tuple[Peg, ...]
    pegs_lost: tuple[Peg, ...]
    pegs_kept: int
    pegs_moved: tuple[tuple[Peg, Peg], ...]
    renumbered: tuple[tuple[Peg, Peg], ...]
    splices_gained: tuple[Splice, ...]
    splices_lost: tuple[Splice, ...]
    findings_new: tuple[FindingText, ...]
    findings_gone: tuple[FindingText, ...]

    @property
    def is_none(self) -> bool:
        """Whether wire, pegs, splices and findings are the same."""
        return not (
            any(each.laid_anew or each.taken_up for each in self.loops)
            or any(each.old_m is None or each.new_m is None for each in self.loops)
            or self.pegs_gained
            or self.pegs_lost
            or self.pegs_moved
            or self.splices_gained
            or self.splices_lost
            or self.findings_new
            or self.findings_gone
        )


def compare(old: Job, new: Job) -> Difference:
    """What has changed from ``old`` to ``new``, both in the coordinates of their files."""
    pairs = paired(_places(old.pegs), _places(new.pegs))
    gained = [index for index in range(len(new.pegs)) if index not in pairs]
    kept = set(pairs.values())
    lost = [index for index in range(len(old.pegs)) if index not in kept]
    moved_pegs = _moved(old, new, lost, gained)
    stay = {peg.id for peg, _ in moved_pegs}
    more, fewer = apart(_places(old.splices), _places(new.splices))
    before, after = old.findings_in(ENGLISH), new.findings_in(ENGLISH)
    return Difference(
        old,
        new,
        tuple(_loops(old, new)),
        tuple(new.pegs[index] for index in gained if new.pegs[index].id not in stay),
        tuple(old.pegs[index] for index in lost if old.pegs[index].id not in stay),
        len(pairs),
        moved_pegs,
        tuple(
            (old.pegs[its], new.pegs[mine])
            for mine, its in sorted(pairs.items())
            if old.pegs[its].id != new.pegs[mine].id
        ),
        tuple(new.splices[index] for index in more),
        tuple(old.splices[index] for index in fewer),
        tuple(_only(after, before)),
        tuple(_only(before, after)),
    )


def _moved(
    old: Job, new: Job, lost: Sequence[int], gained: Sequence[int]
) -> tuple[tuple[Peg, Peg], ...]:
    """Pegs that have one number in two states of one garden, and two places."""
    if not one_design(old, new):
        return ()
    after = {new.pegs[index].id: new.pegs[index] for index in gained}
    before = (old.pegs[index] for index in lost)
    return tuple((peg, after[peg.id]) for peg in before if peg.id in after)


def one_design(old: Job, new: Job) -> bool:
    """Whether both are states of the same plan as it was designed, so that numbers stand for pegs.

    What was recorded since, and who wrote it, does not count.
    """
    one, two = old.as_planned.plan, new.as_planned.plan
    return all(
        getattr(one, key) == getattr(two, key)
        for key in ("machine", "lawns", "obstacles", "loops", "wire")
    )


def _places(held: Iterable[Peg | Splice]) -> list[tuple[float, float]]:
    return [(each.x, each.y) for each in held]


def _loops(old: Job, new: Job) -> Iterator[LoopChange]:
    """Each loop of either job, those of the old one first."""
    before = {loop.name: loop for loop in old.lay.loops}
    after = {loop.name: loop for loop in new.lay.loops}
    for name in dict.fromkeys((*before, *after)):
        one, two = before.get(name), after.get(name)
        yield LoopChange(
            name,
            one.length_m if one else None,
            two.length_m if two else None,
            one.resistance_ohm if one else None,
            two.resistance_ohm if two else None,
            _stretches(two, old.lay.loops),
            _stretches(one, new.lay.loops),
        )


def _stretches(loop: LoopLay | None, others: Sequence[LoopLay]) -> tuple[Stretch, ...]:
    return moved(loop, others) if loop is not None else ()


def _only(those: Sequence[FindingText], others: Sequence[FindingText]) -> Iterator[FindingText]:
    """The findings of which the others have none, or fewer, of the same rule about the same."""
    left = Counter((each.rule, each.about) for each in others)
    for each in those:
        if left[each.rule, each.about] > 0:
            left[each.rule, each.about] -= 1
        else:
            yield each
