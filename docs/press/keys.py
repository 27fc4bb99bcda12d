"""The plan file key by key, from the same schema that ``pegline schema`` writes."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, Any, ClassVar

import yaml
from docutils import nodes
from sphinx.util.docutils import SphinxDirective

from docs.press.rules import table
from renderer.plan import file_schema
from renderer.plan.examples import OF_FORM

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sphinx.util.typing import OptionSpec

Schema = dict[str, Any]
QUOTE = "'"
# What a value is called that has a form of its own.
FORMS = {
    "Length": "length",
    "Area": "area",
    "Point": "point",
    "Points": "list of points",
    "Setback": "length by kind",
    "Text": "text",
    "Line": "short text",
    "Name": "name",
    "Figure": "figure",
    "Tapes": "tape by fixed point",
    "Digest": "digest",
    "Day": "day",
    "YesNo": "yes or no",
    "FromManual": "yes, no, or list of figures",
    "Ties": "row of tapes by point",
}
WORDS_MOST = 20  # of a list of words that is written out whole


# Examples that stand for any text and any name say nothing of the key.
ANY_TEXT = [*OF_FORM["Text"], *OF_FORM["Line"], *OF_FORM["Name"]]

schema = cache(file_schema.schema)  # made once for all tables


class Keys(SphinxDirective):
    """The keys under some keys of the plan file, each mapping with a table of its own.

    ``.`` is the table of the file's own keys.
    """

    required_arguments = 1
    final_argument_whitespace = True
    option_spec: ClassVar[OptionSpec] = {}

    def run(self) -> list[nodes.Node]:
        wanted = self.arguments[0].split()
        told = [_section(path, part) for path, part in mappings() if path.split(".")[0] in wanted]
        # what stands before the first heading is parsed by itself, or it would be lost
        whole = _table(_properties(schema()), schema()) if "." in wanted else ""
        return [
            *self.parse_text_to_nodes(whole),
            *self.parse_text_to_nodes("\n\n".join(told), allow_section_headings=True),
        ]


@cache
def mappings() -> tuple[tuple[str, Schema], ...]:
    """Each mapping of the file where it first comes up: its dotted place, and its schema."""
    return tuple((place, inner) for place, _, inner in _under(schema(), "", set()))


@cache
def places() -> dict[str, str]:
    """The dotted places of the mappings that have a name in the schema."""
    return {name: place for place, name, _ in _under(schema(), "", set()) if name}


def _under(part: Schema, path: str, seen: set[str]) -> Iterator[tuple[str, str, Schema]]:
    """The place, the name in the schema and the schema of each mapping below a place."""
    for key, form in _properties(part).items():
        here = f"{path}.{key}".removeprefix(".")
        for name, inner in _held(form):
            known = name or ", ".join(_properties(inner))  # a tape has no name in the schema
            if known in seen:
                continue
            place = f"{here}.a tape" if here in seen else here
            seen |= {known, place}
            if name not in FORMS:
                yield place, name, inner
            yield from _under(inner, place, seen)


def _held(form: Schema) -> Iterator[tuple[str, Schema]]:
    """The mappings that a value may be or hold, each with its name in the schema, if it has one."""
    if "$ref" in form:
        name = form["$ref"].rpartition("/")[2]
        inner = schema()["$defs"][name]
        if _properties(inner):
            yield name, inner
        else:
            yield from _held(inner)
    elif _properties(form):
        yield "", form
    for key in ("anyOf", "prefixItems"):
        for each in form.get(key, ()) if not _properties(form) else ():
            yield from _held(each)
    for key in ("items", "additionalProperties"):
        if isinstance(form.get(key), dict):
            yield from _held(form[key])


def _properties(part: Schema) -> Schema:
    found: Schema = part.get("properties", {})
    return found


def _section(path: str, part: Schema) -> str:
    return f"({anchor(path)})=\n## {path.replace('.', ' › ')}\n\n{_table(_properties(part), part)}"


def anchor(path: str) -> str:
    """The name by which a page refers to the table of a mapping."""
    return f"keys-{re.sub(r'[^a-z]', '-', path)}"


def _table(properties: Schema, part: Schema) -> str:
    needed = set(part.get("required", ()))
    rows = [
        (f"`{key}`", takes(form), _says(form, key in needed)) for key, form in properties.items()
    ]
    return table(("key", "takes", "what it is"), rows)


def _says(form: Schema, needed: bool) -> str:
    """What a key means, whether it is needed, and what is taken where it is left out."""
    says: str = form.get("description", "")
    says += "." if says and not says.endswith(".") else ""
    if needed:
        says += " **Needed.**"
    if "default" in form:
        says += f" If left out: {_written(form['default'])}."
    for example in form.get("examples", ())[:1]:
        if example not in ANY_TEXT:
            says += f" Such as {_written(example)}."
    return says.strip()


def takes(form: Schema) -> str:
    """What a value may be, in words."""
    if "$ref" in form:
        name = form["$ref"].rpartition("/")[2]
        if name in FORMS:
            return FORMS[name]
        inner = schema()["$defs"][name]
        return f"[mapping](#{anchor(places()[name])})" if _properties(inner) else takes(inner)
    if "const" in form:
        return f"`{form['const']}`"
    if "enum" in form:
        words = [_written(each) for each in form["enum"]]
        return ", ".join(words[:WORDS_MOST]) + (", …" if len(words) > WORDS_MOST else "")
    if _properties(form):
        return "mapping"
    if "anyOf" in form:
        return " or ".join(dict.fromkeys(takes(each) for each in form["anyOf"]))
    if form.get("type") == "array":
        if "prefixItems" in form:
            return f"[{', '.join(takes(each) for each in form['prefixItems'])}]"
        return f"list: {takes(form['items'])}"
    if form.get("type") == "object":
        return f"by name: {takes(form['additionalProperties'])}"
    return _plain(form)


def _plain(form: Schema) -> str:
    """A number with its bounds, a text, yes or no."""
    kind = {"integer": "whole number", "string": "text", "boolean": "yes or no"}.get(
        str(form.get("type")), "number"
    )
    low, high = form.get("minimum", form.get("exclusiveMinimum")), form.get("maximum")
    if low is not None and high is not None:
        return f"{kind}, {low:g} to {high:g}"
    return kind


def _written(value: Any) -> str:
    """A value as a plan file has it."""
    text = yaml.safe_dump(value, default_flow_style=True, width=1000, allow_unicode=True)
    plain = text.removesuffix("\n").removesuffix("...").strip()
    return f"`{plain.strip(QUOTE) if isinstance(value, str) else plain}`"
