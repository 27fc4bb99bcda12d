"""The two layouts of a class: the trainees' sheets, and the key that the trainer keeps."""

from __future__ import annotations

from pathlib import Path

from renderer.sheets.errors import SheetError
from renderer.sheets.layout import Layout, load_layout


def class_layouts(name: str, fields: bool | None = None) -> tuple[Layout, Layout]:
    """The layout of the trainees' sheets, by name or path, and that of their key.

    Raises PlanError for a layout that cannot be read, SheetError for one that has no key or does
    not keep names off the sheets.
    """
    sheets = load_layout(name)
    if not sheets.key or not sheets.anonymous:
        known = "take exercise, class-set or fault-plates"
        cure = f"{known}, or name the key's layout in yours under 'key'"
        raise SheetError(f"layout {name}", "is not a class layout", cure)
    is_path = Path(sheets.key).name != sheets.key or Path(sheets.key).suffix
    key = load_layout(Path(name).parent / sheets.key if is_path else sheets.key)
    if not key.anonymous:
        raise SheetError(f"layout {sheets.key}", "is not a class layout", "use exercise-key")
    switch = {} if fields is None else {"form_fields": fields}
    return sheets.model_copy(update=switch), key.model_copy(update=switch)
