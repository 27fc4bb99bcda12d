"""XML read without anything from outside: no document type, no entity, no network."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

from renderer.plan.errors import PlanError, shown

DEPTH_MOST = 40
ELEMENTS_MOST = 100_000
EXTENDED = frozenset({"extensions", "ExtendedData"})  # what vendors add stands in these


@dataclass(slots=True)
class Element:
    """An element: its name, attributes, text, and its line in the file.

    The name has no prefix where the element is of the format itself. One of another vendor's, and
    all that is in it, is ``foreign`` and keeps its name as it is written, such as ``gx:Track``.
    """

    name: str
    line: int
    attributes: dict[str, str]
    foreign: bool = False
    text: str = ""
    inner: list[Element] = field(default_factory=list)

    def all(self, name: str) -> Iterator[Element]:
        """The format's own elements of a name at any depth, in the order of the file."""
        for each in self.inner:
            if each.foreign:
                continue
            if each.name == name:
                yield each
            yield from each.all(name)

    def said(self, name: str) -> str:
        """The text of the first element of a name just inside this one; else nothing."""
        return next(
            (each.text.strip() for each in self.inner if each.name == name and not each.foreign), ""
        )


def parse(path: str, data: bytes) -> Element:
    """The outermost element. Raises PlanError for what is not XML, or more than a garden needs."""
    root = Element("", 0, {})
    open_now = [root]
    count = 0
    home: dict[str, str] = {}  # the namespaces that the outermost element names, by their prefix
    own: str | None = None  # that of the format
    parser = expat.ParserCreate()

    def refuse(problem: str, cure: str = "export the garden by itself") -> PlanError:
        return PlanError(path, parser.CurrentLineNumber, "", problem, cure)

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal count, own
        count += 1
        if count > ELEMENTS_MOST:
            raise refuse(f"holds more than {ELEMENTS_MOST:,} elements")
        if len(open_now) > DEPTH_MOST:
            raise refuse("is nested too deeply")
        if count == 1:
            home.update(_spaces(attributes))
            own = home.get(name.rpartition(":")[0])
        prefix, _, local = name.rpartition(":")
        spaces = home | _spaces(attributes)
        foreign = open_now[-1].foreign or local in EXTENDED or spaces.get(prefix) != own
        element = Element(name if foreign else local, parser.CurrentLineNumber, attributes, foreign)
        open_now[-1].inner.append(element)
        open_now.append(element)

    def end(_: str) -> None:
        open_now.pop()

    def characters(text: str) -> None:
        open_now[-1].text += text

    def doctype(*_: object) -> None:
        raise refuse("has a document type, which is not supported", "remove the DOCTYPE line")

    parser.buffer_text = True
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = characters
    parser.StartDoctypeDeclHandler = doctype
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        problem = f"is not valid XML: {expat.ErrorString(error.code)}"
        raise PlanError(path, error.lineno, "", problem, "export it again") from None
    return root.inner[0]


def parse_as(path: str, data: bytes, name: str, version: str = "") -> Element:
    """The outermost element of a file that has to be of this name. Raises PlanError."""
    root = parse(path, data)
    if root.name != name:
        what = name.upper()
        cure = f"export it as {what} {version}".rstrip()
        raise PlanError(path, root.line, root.name, f"is not a {what} file", cure)
    return root


def _spaces(attributes: dict[str, str]) -> dict[str, str]:
    """The namespaces that an element declares, by prefix; nothing for the one without."""
    return {
        key.removeprefix("xmlns").removeprefix(":"): value
        for key, value in attributes.items()
        if key == "xmlns" or key.startswith("xmlns:")
    }


def number(path: str, element: Element, text: str | None, key: str) -> float:
    """A number of an element. Raises PlanError."""
    try:
        return float(text or "")
    except ValueError:
        problem = f"{shown(text or '')} is not a number"
        raise PlanError(path, element.line, key, problem, "write degrees, 52.0571") from None
