"""One plan and all that is worked out from it, each part once and only when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Self

from renderer.ground.setting_out import SettingOut
from renderer.job.practice import Figures
from renderer.progress import doing

if TYPE_CHECKING:
    from renderer.checks import Caution
    from renderer.checks.finding import Finding
    from renderer.checks.past import Past
    from renderer.findings_text import FindingText
    from renderer.ground.gauges import Board
    from renderer.ground.lay import Lay, Lead, LoopLay, Peg, Ring, Splice
    from renderer.ground.minutes import Minutes
    from renderer.job.readings import Readings
    from renderer.job.summary import Summary
    from renderer.plan.model import Loop, Plan, Record
    from renderer.records import Built


def prepare(plan: Plan, as_planned: bool = False) -> Job:
    """The job of a plan by itself: as built where the plan has records of that.

    ``as_planned`` leaves the records out. Nothing is laid before a part asks for it.
    """
    if as_planned or not plan.records:
        return Job(plan)
    from renderer.records import built_plan

    return Job(built_plan(plan), designed=plan)


@dataclass(frozen=True, eq=False)
class Job:
    """A plan with its lay, findings, digest and setting out.

    The parts are worked out as they are asked for, kept, and pickled with the job as far as they
    are there. ``boards`` are the gauge boards of all jobs of its day, where there are several.
    ``english`` is there for a class, whose plan names nobody: the same plan in English, which names
    the job in every language. ``designed`` is there for a job as built: the plan as it is in its
    file, of which ``plan`` is what its records left.
    """

    plan: Plan
    boards: tuple[Board, ...] = ()
    english: Plan | None = None
    designed: Plan | None = None

    @classmethod
    def known(
        cls,
        plan: Plan,
        lay: Lay | None = None,
        findings: tuple[Finding, ...] | None = None,
        digest: str | None = None,
        **more: Any,
    ) -> Self:
        """The job of which some parts are at hand, such as a lay by a day's plan of the spools."""
        job = cls(plan, **more)
        parts = {"lay": lay, "findings": findings, "digest": digest}
        vars(job).update({name: part for name, part in parts.items() if part is not None})
        return job

    @cached_property
    def lay(self) -> Lay:
        """The laid wire, in the coordinates of the plan.

        Raises PlanError where a record of what was built cannot be right.
        """
        if self.designed is not None:
            return self._built.lay
        from renderer.ground import lay_plan

        with doing(f"laying {self.plan.job.number}"):
            return lay_plan(self.plan)

    @cached_property
    def _built(self) -> Built:
        from renderer.records import built

        assert self.designed is not None
        return built(self.designed)

    @property
    def records(self) -> tuple[tuple[Record, float], ...]:
        """What was built and changed, the first first, each with the wire that lay after it, m."""
        if self.designed is None:
            return ()
        wire_m = (state.total_m for state in self._built.states)
        return tuple(zip(self.designed.records, wire_m, strict=True))

    @cached_property
    def past(self) -> Past | None:
        """What was recorded of the wire as it lies, for the checks; nothing of wire as planned."""
        if self.designed is None:
            return None
        from renderer.job.recorded import recorded

        meter = Figures(self.plan.machine, self.plan.units)
        return recorded(self.designed, self._built.states, meter, self.design_code)

    @cached_property
    def design_code(self) -> str:
        """What stands for the plan as designed, on the as-built page and in a record."""
        from renderer.records import design_code

        return design_code(self.written)

    @property
    def is_built(self) -> bool:
        """Whether this is the wire as it was built, not as it was planned."""
        return self.designed is not None

    @cached_property
    def as_planned(self) -> Job:
        """The job without the records of what was built; itself where it has none."""
        if self.designed is None:
            return self
        known = vars(self).get("_built")
        return Job.known(self.designed, known and known.designed, boards=self.boards)

    def laid_as(self, plan: Plan) -> Lay:
        """The wire laid as by another plan, which differs in its machine's figures only; kept."""
        from renderer.ground import lay_plan

        figures = plan.machine.model_dump_json()
        if figures not in self._laid_as:
            self._laid_as[figures] = lay_plan(plan)
        return self._laid_as[figures]

    @cached_property
    def _laid_as(self) -> dict[str, Lay]:
        return {}

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What the checks say, worst first."""
        from renderer.checks import check_plan
        from renderer.checks.finding import moved_findings

        near = self.near
        if near is self:
            lay = self.lay
            with doing(f"checking {self.plan.job.number}"):
                return check_plan(self.plan, lay, self.setting, past=self.past)
        return moved_findings(near.findings, _away(near.plan, self.plan))

    def findings_in(self, language: str) -> tuple[FindingText, ...]:
        """The same as sentences of a language, figures in the plan's unit.

        Raises WordError for a language without a catalogue.
        """
        from renderer.findings_text import in_words

        return in_words(self.findings, self.plan.units, language)

    @cached_property
    def digest(self) -> str:
        """``sha256:`` and 64 digits over what the plan says."""
        from renderer.plan import digest

        return digest(self.english or self.designed or self.plan)

    @cached_property
    def key(self) -> str:
        """Hexadecimal digits over all that the job is made from: jobs with one key are the same."""
        from renderer.plan import digest

        said = (self.plan, self.english, self.designed)
        plans = [digest(plan) for plan in said if plan is not None]
        copy = self.plan.owner_copy  # which has the digest of the whole plan
        return sha256(repr((plans, copy, self.plan.origin, self.boards)).encode()).hexdigest()

    @property
    def written(self) -> Plan:
        """The plan as its file has it, records and all."""
        return self.designed or self.plan

    def written_as(self, plan: Plan) -> Self:
        """The same job, its parts too, of a plan that says the same but was read from elsewhere."""
        other = type(self)(plan, self.boards, self.english, self.designed)
        vars(other).update({**vars(self), "plan": plan})
        return other

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions that the plan's facts call for, most severe first."""
        from renderer.checks import cautions

        return cautions(self.plan, self.lay)

    @cached_property
    def setting(self) -> SettingOut:
        """Gauges, fixed points and tapes."""
        fixed = self.as_planned.setting.references if self.is_built else None
        return SettingOut(self.plan, self.lay, self.boards, fixed)

    @cached_property
    def readings(self) -> Readings:
        """What a meter should read, and what islands left out make of it."""
        from renderer.job.readings import Readings

        meter = Figures(self.plan.machine, self.plan.units).meter
        return Readings(self.plan.wire, self.lay.loops, meter)

    @cached_property
    def minutes(self) -> tuple[Minutes, ...]:
        """The rows of the estimate of the crew's time."""
        from renderer.ground.minutes import crew_minutes

        return crew_minutes(self.plan, self.lay.loops)[0]

    @property
    def work_minutes(self) -> float:
        """Two-person minutes in all."""
        return sum(row.minutes for row in self.minutes)

    @cached_property
    def summary(self) -> Summary:
        """What a pack's own pages say of the job."""
        from renderer.ground.packload import taken
        from renderer.job.summary import Summary

        return Summary(
            self.plan.job,
            self.plan.machine,
            self.digest,
            taken(self.plan, self.lay, self.boards),
            tuple((loop.name, splice) for loop in self.lay.loops for splice in loop.splices),
            self.findings,
            self.work_minutes,
            self.wire_m,
            self.plan.units,
        )

    @property
    def near(self) -> Job:
        """The job with its coordinates about an origin near its lawns."""
        from renderer.plan import about_origin

        return self if about_origin(self.plan) is self.plan else self._near

    @cached_property
    def _near(self) -> Job:
        from renderer.checks.finding import moved_findings
        from renderer.ground.engine import plan_and_lay_near

        plan, lay = plan_and_lay_near(self.plan, self.lay)
        known: tuple[Finding, ...] | None = vars(self).get("findings")
        found = None if known is None else moved_findings(known, _away(self.plan, plan))
        planned = self.as_planned.near if self.is_built else None
        near = Job.known(
            plan,
            lay,
            found,
            self.digest,
            boards=self.boards,
            english=self.english,
            designed=planned.plan if planned else None,
        )
        if planned:
            vars(near).update(as_planned=planned, _built=self._built)
        return near

    @property
    def anonymous(self) -> bool:
        """Whether the plan is one for a class, in which nothing says whose garden it is."""
        return self.english is not None

    @property
    def pegs(self) -> tuple[Peg, ...]:
        """All pegs of the plan, loop after loop."""
        return tuple(peg for loop in self.lay.loops for peg in loop.pegs)

    @property
    def splices(self) -> tuple[Splice, ...]:
        """All splices of the plan, loop after loop."""
        return tuple(splice for loop in self.lay.loops for splice in loop.splices)

    @property
    def leads(self) -> tuple[Lead, ...]:
        """Lead pairs and crossings."""
        return tuple(lead for loop in self.lay.loops for lead in loop.leads)

    @property
    def islands(self) -> tuple[Ring, ...]:
        """The rings round islands, loop after loop."""
        return tuple(r for loop in self.lay.loops for r in loop.rings if r.kind == "island")

    @property
    def crossings(self) -> tuple[Lead, ...]:
        """Lead pairs over ground that is not lawn."""
        return tuple(lead for lead in self.leads if lead.kind == "crossing")

    @property
    def spools(self) -> tuple[tuple[int, float], ...]:
        """Number and length in metres of each spool that the job takes along."""
        used = {piece.spool: piece.spool_length_m for piece in self.lay.spools.pieces}
        return tuple(sorted(used.items()))

    @property
    def wire_m(self) -> float:
        """Wire laid, tails included, over all loops."""
        return sum(loop.length_m for loop in self.lay.loops)

    @property
    def working_area_m2(self) -> float:
        """The ground inside the wires, over all loops."""
        return sum(loop.working_area_m2 for loop in self.lay.loops)

    def kinds(self) -> tuple[str, ...]:
        """Kinds of sides and obstacles that have a setback, in the order of the file."""
        return tuple(dict.fromkeys(kind for kind in self._kinds() if kind != "firm"))

    def _kinds(self) -> Iterator[str]:
        for lawn in self.plan.lawns:
            yield from (vertex.side for vertex in lawn.outline)
        yield from (obstacle.kind for obstacle in self.plan.obstacles)

    def loops(self) -> Iterator[tuple[Loop, LoopLay]]:
        """The plan's loops that were laid, each with its lay; one without ground is left out."""
        laid = {loop.name: loop for loop in self.lay.loops}
        return ((loop, laid[loop.name]) for loop in self.plan.loops if loop.name in laid)

    def loop_of(self, name: str) -> LoopLay:
        """The lay of a loop by its name, which must have been laid."""
        return next(loop for loop in self.lay.loops if loop.name == name)


def _away(one: Plan, other: Plan) -> tuple[float, float]:
    """How far the origin of one plan is from that of another, in metres."""
    return one.origin[0] - other.origin[0], one.origin[1] - other.origin[1]
