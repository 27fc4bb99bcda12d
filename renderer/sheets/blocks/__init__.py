"""The blocks that layouts are made of, by the name that a layout gives them."""

from __future__ import annotations

from dataclasses import dataclass

from renderer.sheets.blocks import (
    as_built,
    cautions,
    findings,
    job,
    load_list,
    local_rules,
    machine,
    peg_list,
    plan,
    plates,
    sign_off,
    spools,
    steps,
    take_off,
    test_record,
    wire_list,
)
from renderer.sheets.layout import BlockUse
from renderer.sheets.sheet import Builder


@dataclass(frozen=True, slots=True)
class Block:
    """How a block is built, and the options that a layout may give it."""

    build: Builder
    options: type[BlockUse] = BlockUse


BLOCKS: dict[str, Block] = {
    "job": Block(job.build, job.JobUse),
    "machine": Block(machine.build),
    "findings": Block(findings.build),
    "cautions": Block(cautions.build),
    "load-list": Block(load_list.build),
    "plan": Block(plan.build, plan.PlanUse),
    "plates": Block(plates.build),
    "wire-list": Block(wire_list.build),
    "peg-list": Block(peg_list.build, peg_list.PegListUse),
    "take-off": Block(take_off.build),
    "spools": Block(spools.build),
    "steps": Block(steps.build),
    "test-record": Block(test_record.build),
    "as-built": Block(as_built.build, as_built.AsBuiltUse),
    "local-rules": Block(local_rules.build),
    "sign-off": Block(sign_off.build),
}
