"""The text of a file and the tree in it, with an error for everything that can go wrong."""

from __future__ import annotations

import os
import re
import stat

from renderer.inputs import note
from renderer.plan.errors import PlanError
from renderer.plan.json_text import read_json
from renderer.plan.tree import Mapping
from renderer.plan.yaml_text import TextProblem, read_yaml

DAY_ENDINGS = (".day.yaml", ".day.yml", ".day.json")
BYTES_MAX = 4_000_000  # a lawn of 20,000 sides takes under one

_PRINTS = (b"%PDF-", b"\x89PNG", b"\xff\xd8\xff")  # PDF, PNG, JPEG
_UNREADABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]"
)
_LOOKS_JSON = re.compile(r'\s*\{\s*["}]')


def is_day_file(path: str | os.PathLike[str]) -> bool:
    """Whether the name of a file says that it holds a day, not a plan."""
    return os.fspath(path).lower().endswith(DAY_ENDINGS)


def text_of(path: str) -> str:
    """The text of the UTF-8 file at ``path``. Raises PlanError."""
    try:
        if not stat.S_ISREG(os.stat(path).st_mode) and not os.path.isdir(path):
            raise PlanError(path, 0, "", "this is not a regular file", "save it as a file")
        with open(path, "rb") as stream:
            raw = stream.read(BYTES_MAX + 1)
    except FileNotFoundError:
        raise PlanError(path, 0, "", "file not found", "check the path") from None
    except IsADirectoryError:
        raise PlanError(path, 0, "", "this is a folder", "name a file in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise PlanError(path, 0, "", f"the file cannot be read ({reason.lower()})") from None
    text = text_in(raw, path)
    note(path, raw)
    return text


def text_in(raw: bytes, name: str) -> str:
    """The text of what was read; ``name`` stands for the file in messages. Raises PlanError."""
    if len(raw) > BYTES_MAX:
        problem = f"the file is larger than {BYTES_MAX // 1_000_000} MB"
        raise PlanError(name, 0, "", problem, "is it a plan file?")
    if raw.startswith(_PRINTS):
        cure = f"'pegline extract {name} -o plan.yaml' takes the plan out of a print"
        raise PlanError(name, 0, "", "the file is a PDF or a picture", cure)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise PlanError(name, line, "", "the file is not UTF-8 text", "save it as UTF-8") from None


def tree_of(text: str, name: str, keys: str) -> Mapping:
    """The mapping that a YAML or JSON text holds; ``keys`` says what belongs in it.

    JSON where ``name`` ends in ``.json`` or where the text looks like it. Raises PlanError.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    strange = _UNREADABLE.search(text)
    try:
        if strange:
            line = text.count("\n", 0, strange.start()) + 1
            code = f"U+{ord(strange.group()):04X}"
            raise TextProblem(line, f"the character {code} cannot be read", "remove it")
        root = _read(text, name)
    except TextProblem as problem:
        raise PlanError(name, problem.line, "", problem.problem, problem.cure) from None
    if root is None:
        raise PlanError(name, 1, "", "the file is empty", f"write the keys {keys}")
    if not isinstance(root, Mapping):
        cure = f"write the keys {keys}"
        if text.lstrip().startswith("<"):
            cure = "a KML or GPX file is made into a plan by 'pegline new --from FILE'"
        raise PlanError(name, 1, "", "the file has no keys with values", cure)
    return root


def _read(text: str, name: str) -> object:
    if name.lower().endswith(".json"):
        return read_json(text)
    if not _LOOKS_JSON.match(text):
        return read_yaml(text)
    try:
        return read_json(text)
    except TextProblem as as_json:
        try:  # YAML in braces with quoted keys looks the same at first
            return read_yaml(text)
        except TextProblem:
            raise as_json from None
