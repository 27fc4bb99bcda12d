"""The blocks that layouts are made of, by the name that a layout gives them."""

from __future__ import annotations

from dataclasses import dataclass

from renderer.sheets.blocks import (
    as_built,
    cautions,
    crew_time,
    exercise,
    exercise_answers,
    exercise_plan,
    exercise_rules,
    fault_plates,
    findings,
    job,
    key_answers,
    load_list,
    local_rules,
    machine,
    map_breaks,
    map_care,
    map_changes,
    map_log,
    map_plan,
    map_points,
    marking_grid,
    pack_jobs,
    pack_load,
    pack_shortages,
    pack_spools,
    peg_list,
    photos,
    plan,
    plates,
    proof,
    sign_off,
    spools,
    steps,
    survey_checks,
    survey_job,
    survey_kinds,
    survey_machine,
    survey_services,
    survey_sketch,
    survey_table,
    survey_visit,
    take_off,
    test_record,
    trainer_notes,
    wire_list,
    worked,
)
from renderer.sheets.layout import BlockUse, Scope
from renderer.sheets.sheet import Builder


@dataclass(frozen=True, slots=True)
class Block:
    """How a block is built, the options that a layout may give it, and what it tells of.

    A layout with an ``anonymous`` block is for a class: all that says whose garden it is goes.
    One that ``repeats`` may stand in a layout several times, with other options.
    """

    build: Builder
    options: type[BlockUse] = BlockUse
    scope: Scope = "job"
    anonymous: bool = False
    repeats: bool = False


BLOCKS: dict[str, Block] = {
    "job": Block(job.build, job.JobUse),
    "machine": Block(machine.build),
    "findings": Block(findings.build),
    "cautions": Block(cautions.build),
    "load-list": Block(load_list.build),
    "plan": Block(plan.build, plan.PlanUse),
    "plates": Block(plates.build),
    "proof": Block(proof.build),
    "wire-list": Block(wire_list.build),
    "peg-list": Block(peg_list.build, peg_list.PegListUse),
    "take-off": Block(take_off.build),
    "spools": Block(spools.build),
    "crew-time": Block(crew_time.build),
    "steps": Block(steps.build),
    "test-record": Block(test_record.build),
    "as-built": Block(as_built.build, as_built.AsBuiltUse),
    "photos": Block(photos.build, photos.PhotosUse),
    "local-rules": Block(local_rules.build),
    "sign-off": Block(sign_off.build),
    "map-plan": Block(map_plan.build, map_plan.MapPlanUse),
    "map-care": Block(map_care.build),
    "map-points": Block(map_points.build),
    "map-breaks": Block(map_breaks.build),
    "map-changes": Block(map_changes.build),
    "map-log": Block(map_log.build, map_log.MapLogUse),
    "survey-job": Block(survey_job.build, survey_job.SurveyJobUse),
    "survey-table": Block(survey_table.build, survey_table.SurveyTableUse, repeats=True),
    "survey-kinds": Block(survey_kinds.build),
    "survey-sketch": Block(survey_sketch.build, survey_sketch.SurveySketchUse),
    "survey-visit": Block(survey_visit.build),
    "survey-services": Block(survey_services.build),
    "survey-machine": Block(survey_machine.build),
    "survey-checks": Block(survey_checks.build),
    "pack-jobs": Block(pack_jobs.build, scope="pack"),
    "pack-shortages": Block(pack_shortages.build, scope="pack"),
    "pack-load-list": Block(pack_load.build, scope="pack"),
    "pack-spools": Block(pack_spools.build, scope="pack"),
    "exercise": Block(exercise.build, anonymous=True),
    "exercise-plan": Block(exercise_plan.build, anonymous=True),
    "exercise-rules": Block(exercise_rules.build, anonymous=True),
    "exercise-answers": Block(exercise_answers.build, anonymous=True),
    "key-answers": Block(key_answers.build, anonymous=True),
    "worked": Block(worked.build, anonymous=True),
    "fault-plates": Block(fault_plates.build, fault_plates.FaultPlatesUse, anonymous=True),
    "marking-grid": Block(marking_grid.build, anonymous=True),
    "trainer-notes": Block(trainer_notes.build, anonymous=True),
}
