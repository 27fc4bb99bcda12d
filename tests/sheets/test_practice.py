"""Figures of common practice: one that the machine's file states reaches the printed sheets."""

from __future__ import annotations

import re
from functools import lru_cache

import pytest

from renderer.batch.compose_pack import compose_pack
from renderer.batch.pack import pack_of
from renderer.job import Job
from renderer.job.practice import COMMON, Figures
from renderer.plan import PlanError, loads, schema
from renderer.plan.descriptions import DESCRIPTIONS
from renderer.plan.lengths import metres
from renderer.plan.machine import Machine
from renderer.plan.practice import Practice
from renderer.sheets import load_layout
from tests.shared import compose, lay_plan
from tests.sheets.sample import SMALL, all_text

OWN = {
    "grass": "8 cm",
    "strip_terminal": "9 mm",
    "strip_splice": "22 mm",
    "tie_within": "7 cm",
    "lap_from": "3.5 m",
    "dockings": "5",
    "reading_percent": "20",
    "reading_ohm": "0.9",
    "insulation_megohm": "2",
    "insulation_volt": "500",
    "as_built_grid": "2 m",
    "keep_off": "0.8 m",
    "cable_off": "1.4 m",
}


@lru_cache
def words_of(layout: str, own: tuple[tuple[str, str], ...] = (), units: str = "m") -> str:
    """All words of a document of the small garden, with figures of its own."""
    listed = "".join(f"\n    {key}: {value}" for key, value in own)
    text = SMALL.format(units=units)
    if own:
        text = text.replace("machine:\n", f"machine:\n  practice:{listed}\n")
    plan = loads(text, "small.plan.yaml")
    data = Job.known(plan, lay_plan(plan), ())
    shown = all_text(compose([data], load_layout(layout)))
    return " ".join(shown.replace("\u00a0", " ").split())


WORK_ORDER = {
    "grass": ("5 cm or shorter*", "8 cm or shorter"),
    "strip_terminal": ("6 mm stripped*", "9 mm stripped"),
    "strip_splice": ("15 mm stripped and twisted*", "22 mm stripped and twisted"),
    "tie_within": ("Within 5 cm*", "Within 7 cm"),
    "lap_from": ("Start at least 2.00 m from the dock*", "Start at least 3.50 m from the dock"),
    "dockings": ("3 of 3*", "5 of 5"),
    "reading_percent": ("3 % for meter and length", "20 % for meter and length"),
    "reading_ohm": ("0.10 Ω on top*", "0.90 Ω on top"),
    "insulation_megohm": ("0.5 MΩ or more at 250 V DC*", "2 MΩ or more at 500 V DC"),
    "as_built_grid": ("Grid squares are 1.00 m", "Grid squares are 2.00 m"),
}
MAP = {
    "keep_off": ("Keep 0.50 m* off wire and pairs", "Keep 0.80 m off wire and pairs"),
    "cable_off": ("keep 1.00 m away*", "keep 1.40 m away"),
}


@pytest.mark.parametrize(
    ("layout", "texts"), [("crew-work-order", WORK_ORDER), ("wiring-map", MAP)]
)
def test_a_figure_of_ones_own_is_printed_and_has_no_asterisk(
    layout: str, texts: dict[str, tuple[str, str]]
) -> None:
    common, changed = words_of(layout), words_of(layout, tuple(OWN.items()))
    for before, after in texts.values():
        assert before in common
        assert after in changed
        assert f"{after}*" not in changed
        assert before not in changed


def test_a_figure_stated_as_the_common_one_has_no_asterisk_either() -> None:
    shown = words_of("crew-work-order", (("grass", "5 cm"),))
    assert "5 cm or shorter" in shown
    assert "5 cm or shorter*" not in shown
    assert "6 mm stripped*" in shown


def test_a_reading_is_good_within_the_stated_share() -> None:
    shown = words_of("crew-work-order", (("reading_percent", "50"), ("reading_ohm", "0")))
    spool = re.search(r"Measure spool 1 \(([\d.]+) m\)", shown)
    good = re.search(r"([\d.]+) to ([\d.]+) Ω at 20 °C", shown)
    assert spool is not None
    assert good is not None
    length = float(spool[1])
    assert float(good[1]) == pytest.approx(0.5 * length / (58 * 0.75), abs=0.006)
    assert float(good[2]) == pytest.approx(1.5 * length * 0.026, abs=0.006)


def test_round_figures_in_feet() -> None:
    shown = words_of("crew-work-order", units="ft")
    for text in ("7' 0\"", '¼" stripped*', '½" stripped and twisted*', '2" or shorter*'):
        assert text in shown


def test_as_many_boxes_as_dockings() -> None:
    def boxes(own: tuple[tuple[str, str], ...]) -> int:
        text = SMALL.format(units="m")
        if own:
            text = text.replace(
                "machine:\n", f"machine:\n  practice: {{{own[0][0]}: {own[0][1]}}}\n"
            )
        plan = loads(text, "small.plan.yaml")
        data = Job.known(plan, lay_plan(plan), ())
        document = compose([data], load_layout("crew-work-order"))
        fields = [item for page in document.pages for item in page.items]
        ticks = [item for item in fields if getattr(item, "kind", "") == "tick"]
        return sum(".photo." not in tick.name for tick in ticks)  # rows to spare come and go

    assert boxes((("dockings", "5"),)) == boxes(()) + 2


def test_a_misspelt_figure_names_the_nearest() -> None:
    text = SMALL.format(units="m").replace("machine:\n", "machine:\n  practice: {gras: 4 cm}\n")
    with pytest.raises(PlanError, match=r"machine.practice.gras: .*did you mean 'grass'"):
        loads(text, "small.plan.yaml")


def test_a_figure_out_of_bounds_is_told_in_the_unit_of_the_file() -> None:
    text = SMALL.format(units="m").replace("machine:\n", "machine:\n  practice: {grass: 5}\n")
    with pytest.raises(PlanError, match=r"machine.practice.grass: 5 m is too large; .*at most 1 m"):
        loads(text, "small.plan.yaml")


def test_each_figure_has_a_common_one_and_its_description_tells_it() -> None:
    assert set(COMMON) == set(Practice.model_fields)
    for key, (metric, feet) in COMMON.items():
        text = DESCRIPTIONS[f"Practice.{key}"]
        assert "common practice, no published source" in text
        told = text.rpartition("source, ")[2].split(" or ")
        figures = [metres(each) for each in told]
        assert figures[0] == pytest.approx(metric)
        if len(figures) > 1:
            assert figures[1] == pytest.approx(feet)


def test_figures_left_out_are_common_and_the_others_are_not() -> None:
    given = loads(SMALL.format(units="m"), "small.plan.yaml").machine
    own = Machine.model_validate(given.model_dump() | {"practice": {"keep_off": 0.7}})
    assert Figures(own, "ft")["keep_off"] == 0.7
    assert Figures(given, "ft")["keep_off"] == pytest.approx(20 * 0.0254)
    assert (Figures(own, "m").sign("keep_off"), Figures(given, "m").sign("keep_off")) == ("", "*")
    assert Figures(own, "m").sign("keep_off", "grass") == "*"


def test_a_machine_figure_that_is_not_stated_is_never_printed_as_copied() -> None:
    """Of a machine that vouches for its figures, those of the program carry their mark."""

    def shown(**more: str) -> str:
        lines = "".join(f"  {key}: {value}\n" for key, value in more.items())
        text = SMALL.format(units="m").replace(
            "machine:\n", f"machine:\n  from_manual: true\n{lines}"
        )
        plan = loads(text, "small.plan.yaml")
        data = Job.known(plan, lay_plan(plan), ())
        document = compose([data], load_layout("crew-work-order"))
        return " ".join(all_text(document).replace("\u00a0", " ").split())

    bare = shown()
    assert "checked: only those without a mark." in bare
    assert "* Not stated in the machine's file" in bare and "†" not in bare
    for text in (
        "anticlockwise*",
        "sharp corner allowed*",
        "30 %*",
        "12 %*",
        "1.00 m*",
        "10.00 m*",
    ):
        assert text in bare, text
    assert "1.00 m* straight before, 1.00 m* straight after, slope 5 %* or less" in bare
    assert "3.00 m*" not in bare and "400.00 m*" not in bare
    own = shown(
        lay_direction="anticlockwise", corner_radius="0",
        slope_max_percent="{inside: 30, at_wire: 12}",
        dock="{straight_before: 1, straight_after: 1, clear_of_corner: 1, lead_max: 10,"
        " level_max_percent: 5}",
    )  # fmt: skip
    assert "checked: yes." in own and "Not stated in the machine's file" not in own
    assert "1.00 m straight before, 1.00 m straight after, slope 5 % or less" in own


def test_what_is_common_practice_carries_its_mark_on_the_other_lists_too() -> None:
    """Slack and spare pegs, how many tools, how exact the check bar is, our own limits."""
    shown = words_of("crew-work-order")
    for text in ("5 %* of the wire laid", "10 %* of the pegs", "within 1 mm*", "Marking flags 20*"):
        assert text in shown, text
    assert "* Common practice, no published source" in shown
    own = SMALL.format(units="m").replace(
        "spools: [", "slack_percent: 5, peg_spare_percent: 10, spools: ["
    )
    plan = loads(own, "small.plan.yaml")
    data = Job.known(plan, lay_plan(plan), ())
    document = compose([data], load_layout("crew-work-order"))
    stated = " ".join(all_text(document).replace("\u00a0", " ").split())
    assert "5 % of the wire laid" in stated and "10 % of the pegs" in stated


def test_an_exercise_and_the_map_mark_the_figures_of_the_program() -> None:
    """Of what is given, the small garden's file states the tails, the pegs and how they sag."""
    given, map_shown = words_of("exercise"), words_of("wiring-map")
    assert "* Common practice, no published source" in given
    assert "1.00 m*" in given and "5 %*" in given
    assert "0.30 m*" not in given and "3.00 m*" not in given and "20 mm*" not in given
    assert re.search(r"1\.00 m\* or more from corners and pairs", map_shown)


def test_the_schema_knows_the_figures() -> None:
    practice = schema()["$defs"]["Practice"]
    assert set(practice["properties"]) == set(COMMON)
    assert practice["additionalProperties"] is False


def test_a_pack_goes_by_the_shortest_day_and_each_jobs_repair_stock() -> None:
    def front(practice: str) -> str:
        own = f"machine:\n  practice: {{{practice}}}\n" if practice else "machine:\n"
        plain = SMALL.format(units="m")
        plans = [loads(text, "plan.yaml") for text in (plain, plain.replace("machine:\n", own))]
        path = load_layout("day-pack").model_copy(update={"each": load_layout("wiring-map")})
        shown = all_text(compose_pack(pack_of(plans), path))
        return " ".join(shown.replace("\u00a0", " ").split())

    assert "longer than" not in front("")
    assert "This day is longer than 1 h 30 min. Move" in front("day_hours: 1.5")
    assert "keep as repair stock" not in front("")
    assert "keep as repair stock, tagged" in front("repair_stock: 10 cm, day_hours: 9")
