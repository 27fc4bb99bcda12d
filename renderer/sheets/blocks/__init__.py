"""The blocks that layouts are made of, by the name that a layout gives them."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Literal

from renderer.frozen import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.sheets.piece import Piece
    from renderer.sheets.use import BlockUse, Scope


@dataclass(frozen=True, slots=True)
class Block:
    """The module here that builds the block, its BlockUse where it has options, and its scope.

    A module is imported when its block is first asked for, since no document has them all. A
    layout with an ``anonymous`` block is for a class: all that says whose garden it is goes. One
    that ``repeats`` may stand in a layout several times, with other options. One that tells what
    has changed says ``since`` when, where no older plan is given.
    """

    module: str
    options: str = ""
    scope: Scope = "job"
    anonymous: bool = False
    repeats: bool = False
    since: Literal["", "planned", "record"] = ""

    @property
    def build(self) -> Callable[..., tuple[Piece, ...]]:
        """What makes the block's pieces, from a sheet and what the layout says of the block."""
        builder: Callable[..., tuple[Piece, ...]] = self._home().build
        return builder

    @property
    def use(self) -> type[BlockUse]:
        """What a layout may say of the block."""
        if self.options:
            use: type[BlockUse] = getattr(self._home(), self.options)
            return use
        from renderer.sheets.use import BlockUse

        return BlockUse

    def _home(self) -> Any:
        return import_module(f"{__name__}.{self.module}")


BLOCKS: dict[str, Block] = {
    "job": Block("job", "JobUse"),
    "machine": Block("machine"),
    "findings": Block("findings"),
    "cautions": Block("cautions"),
    "load-list": Block("load_list"),
    "plan": Block("plan", "PlanUse"),
    "carry": Block("carry", "CarryUse"),
    "carry-record": Block("carry_record"),
    "figure": Block("figure", "FigureUse"),
    "plates": Block("plates"),
    "proof": Block("proof"),
    "wire-list": Block("wire_list"),
    "peg-list": Block("peg_list", "PegListUse"),
    "take-off": Block("take_off"),
    "spools": Block("spools"),
    "crew-time": Block("crew_time"),
    "steps": Block("steps"),
    "test-record": Block("test_record"),
    "as-built": Block("as_built", "AsBuiltUse"),
    "photos": Block("photos", "PhotosUse"),
    "local-rules": Block("local_rules"),
    "sign-off": Block("sign_off"),
    "map-plan": Block("map_plan", "MapPlanUse"),
    "map-care": Block("map_care"),
    "map-house": Block("map_house"),
    "map-points": Block("map_points"),
    "map-breaks": Block("map_breaks"),
    "map-changes": Block("map_changes"),
    "map-codes": Block("map_codes"),
    "map-log": Block("map_log", "MapLogUse"),
    "fault": Block("fault", "FaultUse"),
    "change-facts": Block("change_facts", since="planned"),
    "change-plan": Block("change_plan", "ChangePlanUse", since="planned"),
    "change-list": Block("change_list", since="planned"),
    "change-findings": Block("change_findings", since="planned"),
    "revisions": Block("revisions"),
    "change-work": Block("change_work", since="record"),
    "survey-report": Block("survey_report"),
    "survey-job": Block("survey_job", "SurveyJobUse"),
    "survey-table": Block("survey_table", "SurveyTableUse", repeats=True),
    "survey-kinds": Block("survey_kinds"),
    "survey-sketch": Block("survey_sketch", "SurveySketchUse"),
    "survey-visit": Block("survey_visit"),
    "survey-services": Block("survey_services"),
    "survey-machine": Block("survey_machine"),
    "survey-checks": Block("survey_checks"),
    "pack-jobs": Block("pack_jobs", scope="pack"),
    "pack-shortages": Block("pack_shortages", scope="pack"),
    "pack-load-list": Block("pack_load", scope="pack"),
    "pack-spools": Block("pack_spools", scope="pack"),
    "pack-cautions": Block("pack_cautions", scope="pack"),
    "exercise": Block("exercise", anonymous=True),
    "exercise-plan": Block("exercise_plan", anonymous=True),
    "exercise-rules": Block("exercise_rules", anonymous=True),
    "exercise-answers": Block("exercise_answers", anonymous=True),
    "key-answers": Block("key_answers", anonymous=True),
    "worked": Block("worked", anonymous=True),
    "fault-plates": Block("fault_plates", "FaultPlatesUse", anonymous=True),
    "marking-grid": Block("marking_grid", anonymous=True),
    "level": Block("level", "LevelUse", anonymous=True, repeats=True),
    "level-key": Block("level_key", "LevelUse", anonymous=True, repeats=True),
    "lesson-plan": Block("lesson_plan", anonymous=True),
    "yard": Block("yard", anonymous=True),
    "meter": Block("meter", anonymous=True),
    "meter-key": Block("meter_key", anonymous=True),
    "competence": Block("competence", anonymous=True),
    "trainer-notes": Block("trainer_notes", anonymous=True),
}
