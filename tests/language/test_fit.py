"""Words of every language fit their columns: none is broken within to fit."""

from __future__ import annotations

import pytest

from renderer.batch.compose_pack import compose_pack
from renderer.batch.pack import pack_of
from renderer.language import languages
from renderer.sheets import load_layout
from renderer.text import breaking
from tests.shared import compose
from tests.sheets.sample import job

PACK = "day-pack"
LAYOUTS = ("crew-work-order", "wiring-map", "survey-form", "first-visit", "exercise-key", PACK)


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", LAYOUTS)
def test_no_word_is_broken_to_fit_its_column(
    name: str, language: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    chopped = breaking._chopped
    broken: list[list[str]] = []

    def watched(*text_and_limit: object) -> list[str]:
        parts = chopped(*text_and_limit)  # type: ignore[arg-type]
        broken.extend([parts] if len(parts) > 1 else [])
        return parts

    monkeypatch.setattr(breaking, "_chopped", watched)
    layout = load_layout(name).model_copy(update={"language": language})
    if name == PACK:
        compose_pack(pack_of([job().plan]), layout)
    else:
        compose([job()], layout)
    assert broken == []
