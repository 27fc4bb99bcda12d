"""The pages as they are built: strictly, and with nothing from any other address."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

from renderer.checks.registry import RULES
from renderer.plan.file_schema import schema
from tests.plans import ROOT

for library in ("sphinx", "furo", "myst_parser"):
    pytest.importorskip(library, reason="the extra docs is not installed")

from docs.press.keys import anchor, mappings  # noqa: E402  needs what was looked for

BUILT = "PEGLINE_DOCS"  # a folder with the pages, where they have been built already
LOADED = {"src", "srcset", "data", "poster", "action", "background"}


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """The pages, built here unless the environment names where they are."""
    if BUILT in os.environ:
        folder = Path(os.environ[BUILT])
    else:
        folder = tmp_path_factory.mktemp("docs")
        call = [sys.executable, "-m", "sphinx", "-W", "--keep-going", "-q", "-b", "html"]
        done = subprocess.run(
            [*call, str(ROOT / "docs"), str(folder)], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
    found = sorted(folder.rglob("*.html"))
    assert len(found) > 10
    return found


class Addresses(HTMLParser):
    """The addresses that a page loads from, those that it links to, and its pictures' texts."""

    def __init__(self, page: Path) -> None:
        super().__init__()
        self.loads: list[str] = []
        self.links: list[str] = []
        self.pictures: list[str] = []
        self.feed(page.read_text("utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in LOADED or (tag == "link" and name == "href"):
                self.loads.append(value or "")
            elif name == "href":
                self.links.append(value or "")
        if tag == "img":
            self.pictures.append(dict(attrs).get("alt") or "")


def elsewhere(address: str) -> bool:
    return address.startswith("//") or re.match(r"(?!data:)[a-z][a-z0-9+.-]*:", address) is not None


def test_no_page_needs_an_address_elsewhere(pages: list[Path]) -> None:
    for page in pages:
        found = Addresses(page)
        assert [each for each in found.loads if elsewhere(each)] == [], page.name
        assert [each for each in found.links if elsewhere(each)] == [], page.name


def test_no_style_loads_from_elsewhere(pages: list[Path]) -> None:
    for style in pages[0].parents[0].rglob("*.css"):
        text = style.read_text("utf-8")
        urls = re.findall(r"url\(\s*['\"]?([^'\")]+)", text) + re.findall(r"@import\s+(\S+)", text)
        assert [each for each in urls if elsewhere(each)] == [], style.name


def test_what_a_page_loads_is_there(pages: list[Path]) -> None:
    for page in pages:
        for address in Addresses(page).loads:
            if not address.startswith(("data:", "#")):
                assert (page.parent / re.split(r"[?#]", address)[0]).exists(), (page, address)


def test_each_picture_says_in_words_what_it_shows(pages: list[Path]) -> None:
    texts = [text for page in pages for text in Addresses(page).pictures]
    assert len(texts) > 10 and all(len(text) > 10 for text in texts)


def test_each_rule_and_each_key_has_its_place(pages: list[Path]) -> None:
    told = "".join(page.read_text("utf-8") for page in pages)
    ids = set(re.findall(r'id="([^"]+)"', told))
    assert set(RULES) <= ids
    assert {anchor(place) for place, _ in mappings()} <= ids
    for key in schema()["properties"]:
        assert f'<span class="pre">{key}</span>' in told, key


def test_no_markup_is_left_over(pages: list[Path]) -> None:
    for page in pages:
        text = re.sub(r"<(pre|code)\b.*?</\1>", "", page.read_text("utf-8"), flags=re.DOTALL)
        assert not re.search(r":::|```|\]\(|\{[a-z-]+\}`", text), page.name


def test_each_finding_with_a_place_shows_wrong_and_right(pages: list[Path]) -> None:
    told = "".join(page.read_text("utf-8") for page in pages if page.parent.name == "findings")
    wrong, right = (re.findall(rf'alt="{half}: [^"]+"', told) for half in ("Wrong", "Right"))
    assert len(wrong) == len(right) > 80
    seen = re.findall(r'<figure class="pair">(.*?)</figure>', told, re.DOTALL)
    assert len(seen) == len(wrong)
    alike = [pair for pair in seen if len(set(re.findall(r'src="([^"]+)"', pair))) < 2]
    assert alike == []


def test_each_heading_by_role_has_a_level(pages: list[Path]) -> None:
    for page in pages:
        tags = re.findall(r"<[^>]*role=\"heading\"[^>]*>", page.read_text("utf-8"))
        assert [tag for tag in tags if "aria-level" not in tag] == [], page.name
