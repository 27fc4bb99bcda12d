"""Every document in every language: whole, within its page, with the English that prevails."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import renderer
from renderer.batch.compose_pack import compose_pack
from renderer.batch.pack import pack_of
from renderer.findings_text import in_words
from renderer.job import Job
from renderer.language import ENGLISH, languages, load_words
from renderer.plan import loads
from renderer.primitives import Area, Document, Field, Link, Text
from renderer.sheets import in_language, layouts, load_layout
from renderer.text import missing, width_mm
from tests.shared import compose, job_of, lay_plan
from tests.sheets.sample import SMALL

DEMO = Path(renderer.__file__).parent.parent / "demo"
OTHERS = [each for each in languages() if each != ENGLISH]
DRAFTS = [each for each in OTHERS if load_words(each).is_draft]
SHEETS = [name for name, layout in layouts() if layout.each is None]


@cache
def job() -> Job:
    plan = renderer.load(DEMO / "practice-lawn.plan.yaml")
    return job_of(plan)


@cache
def printed(name: str, language: str) -> Document:
    taped = job_of(renderer.load(DEMO / "mill-cottage.plan.yaml"))
    jobs = [taped if name == "survey-report" else job()]  # there is none without readings
    return compose(jobs, in_language(load_layout(name), language))


def texts(document: Document, pages: slice = slice(None)) -> Iterator[Text]:
    for page in list(document.pages)[pages]:
        yield from (item for item in page.items if isinstance(item, Text))


def said(document: Document, pages: slice = slice(None)) -> str:
    """All text of some pages without its spaces, so that it does not matter where lines break."""
    return close("".join(item.text for item in texts(document, pages)))


def close(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("name", SHEETS)
def test_each_document_prints_in_each_language(name: str, language: str) -> None:
    document = printed(name, language)
    assert document.language == language
    for item in texts(document):
        assert not missing(item.text, item.face), item.text
    title = load_words(language)(f"document.{name}")
    assert close(title) in said(document) and title in document.title


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("name", SHEETS)
def test_nothing_runs_over_the_page(name: str, language: str) -> None:
    """By where each text stands: the margins of the page are kept."""
    for page in printed(name, language).pages:
        for item in page.items:
            if isinstance(item, Text) and not item.angle_deg:
                wide = width_mm(item.text, item.face, item.size_pt)
                left = item.at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * wide
                assert left > 5.0 and left + wide < page.width_mm - 5.0, item.text


@pytest.mark.parametrize("language", DRAFTS)
@pytest.mark.parametrize("name", SHEETS)
def test_a_draft_says_so_on_its_first_page_in_two_languages(name: str, language: str) -> None:
    """Where no English stands beside it, on forms and sheets for a class, it says where it is."""
    document = printed(name, language)
    alone = load_layout(name).anonymous or name in {"survey-form", "first-visit"}
    if alone:  # as it says itself
        assert "Askbeforeanygroundisbroken" not in said(document)
    for each in (language, ENGLISH):
        notice, other = (
            close(load_words(each)(f"notice.{key}"))
            for key in (("draft-elsewhere", "draft") if alone else ("draft", "draft-elsewhere"))
        )
        assert notice in said(document, slice(0, 1))
        assert notice not in said(document, slice(1, None))
        assert other not in said(document)


@pytest.mark.parametrize("language", DRAFTS)
def test_safety_stands_there_in_both_languages(language: str) -> None:
    document = printed("crew-work-order", language)
    told = said(document)
    for each in (language, ENGLISH):
        words = load_words(each)
        for key in ("caution.mains", "caution.dead", "rules.first", "rules.question.mains"):
            assert close(words(key)) in told, key
        for key in ("step.supply.do", "step.hand-over.do", "sign.statement.dead"):
            assert close(words(key)) in told, key
        assert words("signal.WARNING") in told
        assert close(words("step.charge.do")) in told or each == ENGLISH
    assert close(load_words()("step.charge.do")) not in told
    findings, units = job().findings, job().plan.units
    for one, two in zip(
        in_words(findings, units), in_words(findings, units, language), strict=True
    ):
        assert close(two.message) in told
        assert (close(one.message) in told) == (one.level != "note")


@pytest.mark.parametrize("language", DRAFTS)
def test_english_beside_a_caution_is_no_smaller_than_ten_points(language: str) -> None:
    document = printed("crew-work-order", language)
    start = load_words()("caution.children")[:15]
    found = [item for item in texts(document) if item.text.startswith(start)]
    assert found and all(item.size_pt >= 10.0 and item.face == "italic" for item in found)


def test_english_says_nothing_twice_and_has_no_notice() -> None:
    words = load_words()
    told = said(printed("crew-work-order", ENGLISH))
    assert close(words("notice.draft")) not in told
    for key in ("caution.mains", "rules.first", "step.supply.do", "sign.statement.dead"):
        assert told.count(close(words(key))) == 1, key
    for finding in in_words(job().findings, job().plan.units):
        assert told.count(close(finding.message)) == 1


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("name", SHEETS)
def test_names_of_fields_places_and_codes_are_those_of_english(name: str, language: str) -> None:
    other, english = names(printed(name, language)), names(printed(name, ENGLISH))
    assert other == english


def names(document: Document) -> tuple[set[str], set[str], set[str]]:
    """Form fields, rows left uncounted since a page has room for more or fewer; places; codes."""
    items = [item for page in document.pages for item in page.items]
    fields = {re.sub(r"[0-9]+", "#", item.name) for item in items if isinstance(item, Field)}
    links = {item.target for item in items if isinstance(item, Link)}
    marks = {mark.name for page in document.pages for mark in page.marks}
    codes = {item.title for item in items if isinstance(item, Area) and item.role == "code"}
    return fields, links | marks, codes


@pytest.mark.parametrize("language", OTHERS)
def test_a_day_s_pack_prints_in_each_language(language: str) -> None:
    plans = [renderer.load(DEMO / f"{name}.plan.yaml") for name in ("practice-lawn", "quarry-lane")]
    light = in_language(load_layout("wiring-map"), language)
    layout = in_language(load_layout("day-pack"), language).model_copy(update={"each": light})
    document = compose_pack(pack_of(plans), layout)
    told = said(document)
    assert close(load_words(language)("document.day-pack")) in told
    if load_words(language).is_draft:
        assert told.count(close(load_words(language)("notice.draft"))) == 1 + len(plans)


@pytest.mark.parametrize(
    ("language", "day"),
    [
        ("en", "1 May 2026"),
        ("de", "1. Mai 2026"),
        ("es", "1 de mayo de 2026"),
        ("fr", "1 mai 2026"),
    ],
)
def test_the_day_a_service_was_located_is_written_as_the_language_writes_days(
    language: str, day: str
) -> None:
    cable = "{kind: buried cable, name: Cable, line: [[-1, 3], [30, 3]], located: 2026-05-01}"
    text = SMALL.format(units="m")
    text += f"features: [{cable}]\n"
    plan = loads(text)
    data = Job.known(plan, lay_plan(plan), ())
    shown = said(compose([data], in_language(load_layout("crew-work-order"), language)))
    assert day.replace(" ", "") in shown.replace("\u00a0", "")
    assert "2026-05-01" not in shown
