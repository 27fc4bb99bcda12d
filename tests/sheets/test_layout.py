"""Layout files: shipped ones load, wrong ones say file, line, key and cure."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from renderer.language import languages
from renderer.plan.errors import PlanError
from renderer.primitives import Picture, Text
from renderer.sheets import layouts, load_layout
from renderer.sheets.blocks import BLOCKS
from tests.shared import compose
from tests.sheets.sample import job

HEAD = "layout: 1\ndocument: Ours\n"
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c489"
    "0000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082"
)


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "own.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def error(tmp_path: Path, text: str) -> str:
    with pytest.raises(PlanError) as caught:
        load_layout(written(tmp_path, text))
    return str(caught.value).removeprefix(f"{tmp_path}/")


def test_the_shipped_layouts_load_and_have_a_title() -> None:
    titles = {name: layout.title for name, layout in layouts()}
    assert titles["crew-work-order"] == "Crew work order"
    for name, title in titles.items():
        assert title != name
        assert load_layout(name).blocks or load_layout(name).each


def test_each_block_is_in_a_shipped_layout() -> None:
    used = {use.block for _, layout in layouts() for use in (*layout.front, *layout.uses)}
    assert used == set(BLOCKS)


def test_a_block_is_imported_when_a_document_has_it() -> None:
    code = (
        "import sys; from renderer.sheets import load_layout; load_layout('crew-work-order');"
        "from renderer.sheets.blocks import BLOCKS; BLOCKS['peg-list'].build;"
        "print(*sorted(name for name in sys.modules if name.startswith('renderer.sheets.blocks.')))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    imported = {name.removeprefix("renderer.sheets.blocks.") for name in done.stdout.split()}
    assert "peg_list" in imported
    assert not imported & {"exercise", "pack_jobs", "survey_job", "map_points"}


def test_a_misspelt_block_names_the_nearest(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "blocks:\n  - job\n  - peg-lst\n")
    assert told == "own.yaml:5: blocks[1]: 'peg-lst' is not a block; did you mean 'peg-list'?"


def test_a_language_without_words_is_named(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "language: xx\nblocks: [job]\n")
    assert told.endswith(f"no translation for 'xx'; known languages: {', '.join(languages())}")


def test_a_block_like_no_other_lists_what_there_is(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "blocks: [zzz]\n")
    assert told.startswith(
        f"own.yaml:3: blocks[0]: 'zzz' is not a block; known blocks: {next(iter(BLOCKS))}, "
    )


def test_a_misspelt_option_names_the_nearest(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "blocks:\n  - {block: as-built, row: 3}\n")
    assert told == "own.yaml:4: blocks[0].row: this key is not known; did you mean 'rows'?"


def test_an_option_of_the_wrong_kind_says_what_is_right(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "blocks:\n  - job\n  - {block: peg-list, pegs: som}\n")
    assert told.startswith("own.yaml:5: blocks[1].pegs: 'som' is not a valid choice;")


def test_too_many_rows_are_refused(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "blocks:\n  - {block: as-built, rows: 99}\n")
    assert (
        told == "own.yaml:4: blocks[0].rows: invalid number of rows 99; write a number from 0 to 60"
    )


def test_an_unknown_key_a_paper_and_a_version(tmp_path: Path) -> None:
    assert "documant: this key is not known; did you mean 'document'?" in error(
        tmp_path, "layout: 1\ndocumant: X\nblocks: [job]\n"
    )
    assert error(tmp_path, HEAD + "paper: A9\nblocks: [job]\n").startswith(
        "own.yaml:3: paper: paper 'A9' is not known"
    )
    assert error(tmp_path, "layout: 2\ndocument: X\nblocks: [job]\n") == (
        "own.yaml:1: layout: this program reads layouts of version 1, not '2'; write layout: 1"
    )


def test_no_blocks(tmp_path: Path) -> None:
    assert error(tmp_path, HEAD + "blocks: []\n").startswith(
        "own.yaml:3: blocks: the list is empty"
    )


def test_a_wrong_signal_word(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "cautions:\n  - {signal: DANGR, text: x}\nblocks: [job]\n")
    assert told.startswith("own.yaml:4: cautions[0].signal: 'DANGR' is not a valid signal word;")
    assert "'DANGER'" in told


def test_a_name_that_is_no_layout_and_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="did you mean 'crew-work-order'"):
        load_layout("crew-work-ordr")
    with pytest.raises(PlanError, match="file not found"):
        load_layout(tmp_path / "none.yaml")


def test_a_logo_that_is_missing_or_no_picture(tmp_path: Path) -> None:
    text = HEAD + "header:\n  logo: our.png\nblocks: [job]\n"
    assert "own.yaml:4: header.logo: the logo" in error(tmp_path, text)
    assert "cannot be read (no such file or directory)" in error(tmp_path, text)
    (tmp_path / "our.png").write_bytes(b"GIF89a")
    assert "is neither a PNG file nor an SVG file; give a PNG or SVG" in error(tmp_path, text)


def test_firm_logo_notes_and_cautions_of_one_s_own_are_printed(tmp_path: Path) -> None:
    (tmp_path / "our.png").write_bytes(PNG)
    text = HEAD + (
        "header: {firm: Meadow Crew, logo: our.png}\n"
        "notes: [Close every gate]\n"
        "cautions: [{signal: NOTICE, text: Wear the blue vest}]\n"
        "blocks:\n  - {block: job, private: no}\n  - {block: cautions, title: Mind}\n"
    )
    document = compose([job()], load_layout(written(tmp_path, text)))
    shown = [item.text for page in document.pages for item in page.items if isinstance(item, Text)]
    for expected in ("Meadow Crew", "Close every gate", "Wear the blue vest", "Mind", "Ours"):
        assert expected in shown
    items = document.pages[0].items
    assert any(isinstance(item, Picture) and item.png == PNG for item in items)
    assert document.author == "Meadow Crew"
    assert document.subject == "Ours"


def test_a_layout_may_be_json(tmp_path: Path) -> None:
    path = tmp_path / "own.json"
    path.write_text('{"layout": 1, "document": "Ours", "blocks": ["job", {"block": "steps"}]}')
    assert [use.block for use in load_layout(path).blocks] == ["job", "steps"]


def test_a_block_stands_once_but_for_the_tables_of_the_survey_form(tmp_path: Path) -> None:
    told = error(tmp_path, HEAD + "blocks:\n  - job\n  - proof\n  - {block: proof, title: Again}\n")
    assert (
        told == "own.yaml:6: blocks[2].block: the block 'proof' appears twice; keep one of the two"
    )
    tables = "blocks:\n  - {block: survey-table, of: points}\n  - {block: survey-table, of: ties}\n"
    assert len(load_layout(written(tmp_path, HEAD + tables)).blocks) == 2


def test_columns_take_blocks_with_their_options(tmp_path: Path) -> None:
    text = "blocks:\n  - job\n  - {columns: 2, blocks: [take-off, {block: spools, title: Ours}]}\n"
    layout = load_layout(written(tmp_path, HEAD + text))
    assert [use.block for use in layout.uses] == ["job", "take-off", "spools"]
    assert layout.uses[2].title == "Ours"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "{columns: 9, blocks: [job]}",
            "blocks[0].columns: invalid number of columns 9; write a number from 2 to 3",
        ),
        ("{columns: 2}", "blocks[0].blocks: this key is missing; add 'blocks'"),
        ("{columns: 2, blocks: []}", "blocks[0].blocks: the list is empty; give at least one"),
        (
            "{columns: 2, blocks: [job, stps]}",
            "blocks[0].blocks[1]: 'stps' is not a block; did you mean 'steps'?",
        ),
        (
            "{columns: 2, blocks: [job, {block: job}]}",
            "blocks[0].blocks[1].block: the block 'job' appears twice; keep one of the two",
        ),
        (
            "{columns: 2, blocks: [{columns: 2, blocks: [job]}]}",
            "blocks[0].blocks[0].columns: columns cannot stand in columns;"
            " list the blocks one after the other",
        ),
        (
            "{columns: 2, blocks: [pack-jobs]}",
            "blocks[0].blocks[0]: 'pack-jobs' is a block of a whole pack; write it under 'front'",
        ),
        (
            "{columns: 2, blocks: [job], fill: yes}",
            "blocks[0].fill: this key is not known; did you mean 'fills'?",
        ),
    ],
)
def test_what_is_wrong_with_columns_is_told_with_its_place(
    tmp_path: Path, line: str, told: str
) -> None:
    assert error(tmp_path, HEAD + f"blocks:\n  - {line}\n") == f"own.yaml:4: {told}"
