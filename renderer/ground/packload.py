"""What several jobs take together: one load for the van, rounded up to packs once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.ground.gauges import gauges
from renderer.ground.takeoff import to_packs
from renderer.trade import EACH_LOOP_MORE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.gauges import Board, Gauge
    from renderer.ground.lay import Item, Lay
    from renderer.plan.model import Plan
    from renderer.plan.wire import Packs

# Item of the list, the take-off's items that it sums, and the pack size that rounds it.
COUNTED = (
    ("peg.order", ("peg.round1", "peg.round2", "peg.spare"), "pegs"),
    ("connector.order", ("connector.splice", "connector.spare"), "connectors"),
    ("terminal.order", ("terminal.end",), "terminals"),
)


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One thing to load: what is needed, what is loaded once packs are full, and by which job.

    ``item`` is a key of the word catalogue, ``of`` a gauge's name; ``by_job`` has the job (from
    0) and its share.
    """

    item: str
    needed: float
    load: float
    unit: str
    pack: int | None = None
    by_job: tuple[tuple[int, float], ...] = ()
    of: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """What one job takes: take-off, packs, whether spools are cut for it, its gauges."""

    takeoff: tuple[Item, ...]
    packs: Packs
    has_spools: bool
    gauges: tuple[Gauge, ...] = ()


def taken(plan: Plan, lay: Lay, boards: Sequence[Board] = ()) -> Taken:
    """What a laid job takes; ``boards`` are the gauge boards of its day."""
    own = gauges(plan, boards)
    return Taken(tuple(lay.takeoff), plan.wire.packs, bool(lay.spools.pieces), own)


def pack_load(jobs: Sequence[Taken]) -> tuple[LoadLine, ...]:
    """Pegs and parts summed, each gauge once, as many of a tool as the job that needs most.

    Labels and clips stay in the gardens, and are summed too.

    Spools are not in it: the plan that cuts them lists them. Wire to order is, for jobs whose
    spools are not stated.
    """
    counted = (line for item, parts, size in COUNTED for line in _counted(jobs, item, parts, size))
    return (*_wire(jobs), *counted, *_parts(jobs), *_leads(jobs), *_gauges(jobs), *_tools(jobs))


def short_of(lines: Sequence[LoadLine], item: str, stock: float) -> float:
    """How many pieces of an item are missing on the van; 0 where there are enough."""
    needed = sum(line.needed for line in lines if line.item == item)
    return max(0.0, needed - stock)


def _wire(jobs: Sequence[Taken]) -> Iterator[LoadLine]:
    by_job = tuple(
        (number, item.quantity)
        for number, job in enumerate(jobs)
        for item in job.takeoff
        if item.item == "wire.order" and not job.has_spools
    )
    if by_job:
        total = sum(quantity for _, quantity in by_job)
        yield LoadLine("wire.order", total, total, "m", None, by_job)


def _counted(
    jobs: Sequence[Taken], order: str, parts: Sequence[str], size: str
) -> Iterator[LoadLine]:
    """A line per pack size; jobs that state none take the first that another states."""
    stated = [getattr(job.packs, size) for job in jobs]
    known = [pack for pack in stated if pack]
    by_pack: dict[int | None, list[tuple[int, float]]] = {}
    for number, (job, pack) in enumerate(zip(jobs, stated, strict=True)):
        needed = sum(item.quantity for item in job.takeoff if item.item in parts)
        if needed:
            by_pack.setdefault(pack or next(iter(known), None), []).append((number, needed))
    for pack, shares in by_pack.items():
        total = sum(needed for _, needed in shares)
        yield LoadLine(order, total, to_packs(total, pack), "pcs", pack, tuple(shares))


def _gauges(jobs: Sequence[Taken]) -> Iterator[LoadLine]:
    by_name: dict[tuple[str, float], list[tuple[int, float]]] = {}
    for number, job in enumerate(jobs):
        for gauge in job.gauges:
            by_name.setdefault((gauge.name, gauge.length_m), []).append((number, gauge.length_m))
    for (name, length), shares in sorted(by_name.items()):
        yield LoadLine("gauge", length, length, "m", None, tuple(shares), name)


def _parts(jobs: Sequence[Taken]) -> Iterator[LoadLine]:
    """What stays in the gardens, summed over the jobs."""
    shares: dict[tuple[str, str], dict[int, float]] = {}
    for number, job in enumerate(jobs):
        for item in job.takeoff:
            if item.item.startswith("part.") and not _is_lead(item):
                share = shares.setdefault((item.item, item.unit), {})
                share[number] = share.get(number, 0.0) + item.quantity
    for (key, unit), by_job in shares.items():
        total = sum(by_job.values())
        yield LoadLine(key, total, total, unit, None, tuple(by_job.items()))


def _leads(jobs: Sequence[Taken]) -> Iterator[LoadLine]:
    """Supply leads by their length, since none is cut or joined; one for each share of a job."""
    by_length: dict[float, list[tuple[int, float]]] = {}
    for number, job in enumerate(jobs):
        for item in filter(_is_lead, job.takeoff):
            by_length.setdefault(item.quantity, []).append((number, item.quantity))
    for length, shares in by_length.items():
        yield LoadLine("part.lead", length, length, "m", None, tuple(shares))


def _is_lead(item: Item) -> bool:
    """Whether a line is one supply lead of known length."""
    return item.item == "part.lead" and item.unit == "m"


def _tools(jobs: Sequence[Taken]) -> Iterator[LoadLine]:
    most: dict[str, float] = {}
    for job in jobs:
        for item in job.takeoff:
            if item.item.startswith("tool."):
                before = most.get(item.item, 0.0)
                stays = item.item in EACH_LOOP_MORE
                most[item.item] = before + item.quantity if stays else max(before, item.quantity)
    yield from (LoadLine(key, count, count, "pcs") for key, count in most.items())
