"""Prints a work order for each plan file, a process for each core, every file as if printed alone.

Run from the checkout, with pegline installed:

    python3 demo/print_many.py demo/*.plan.yaml --to orders

A network that has a scheduler maps the same call over its own machines; with Dask:

    python3 demo/print_many.py demo/*.plan.yaml --to orders --dask tcp://scheduler:8786
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import renderer
from renderer.plan.model import Plan


def work_order(plan: Plan) -> bytes:
    """The work order of a plan as PDF; the same bytes wherever it runs."""
    return renderer.print_sheets([plan], draft=True)


def by_cores(plans: Iterable[Plan], cores: int | None = None) -> Iterator[bytes]:
    """The work orders in the order of their plans; plans are sent out as processes come free."""
    with ProcessPoolExecutor(cores or os.cpu_count()) as pool:
        yield from pool.map(work_order, plans)


def by_dask(plans: Iterable[Plan], scheduler: str) -> Iterator[bytes]:
    """The same, mapped by Dask over the workers of a scheduler."""
    from dask.distributed import Client

    with Client(scheduler) as client:
        yield from client.gather(client.map(work_order, list(plans)))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("jobs", nargs="+", type=Path, metavar="JOB")
    parser.add_argument("--to", type=Path, required=True, metavar="FOLDER")
    parser.add_argument("--dask", metavar="SCHEDULER", help="map over a Dask scheduler's workers")
    arguments = parser.parse_args()
    arguments.to.mkdir(parents=True, exist_ok=True)
    plans = [renderer.load(path) for path in arguments.jobs]
    orders = by_dask(plans, arguments.dask) if arguments.dask else by_cores(plans)
    for path, order in zip(arguments.jobs, orders, strict=True):
        (arguments.to / f"{path.name.split('.')[0]}.pdf").write_bytes(order)


if __name__ == "__main__":
    main()
