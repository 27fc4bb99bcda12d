"""Layout files: which blocks a document has, in what order, on what paper, with what of the firm's own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator

if TYPE_CHECKING:
    from collections.abc import Iterator

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
Layer = Literal[
    "sides", "wire", "direction", "pegs", "peg_numbers", "islands", "leads", "splices", "dock",
    "supply", "features", "reference", "dimensions", "obstacles",
]


class Model(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class BlockUse(Model):
    """A block of a document. ``title`` replaces the block's own heading."""

    block: str
    title: str = ""
    new_page: bool = False


class JobBlock(BlockUse):
    """Who, where and when; ``private`` prints the access notes and the customer's name and phone."""

    block: Literal["job"] = "job"
    private: bool = True


class MachineBlock(BlockUse):
    block: Literal["machine"] = "machine"


class FindingsBlock(BlockUse):
    block: Literal["findings"] = "findings"


class CautionsBlock(BlockUse):
    block: Literal["cautions"] = "cautions"


class LoadListBlock(BlockUse):
    block: Literal["load-list"] = "load-list"


class PlanBlock(BlockUse):
    """The plan to scale, one page a tile, with legend, scale bar and check bar."""

    block: Literal["plan"] = "plan"
    new_page: bool = True


class PlatesBlock(BlockUse):
    block: Literal["plates"] = "plates"


class WireListBlock(BlockUse):
    block: Literal["wire-list"] = "wire-list"


class PegListBlock(BlockUse):
    """Control pegs with ties; ``pegs: all`` lists the ordinary ones between them as well."""

    block: Literal["peg-list"] = "peg-list"
    pegs: Literal["control", "all"] = "control"


class SpoolsBlock(BlockUse):
    block: Literal["spools"] = "spools"


class StepsBlock(BlockUse):
    block: Literal["steps"] = "steps"


class TestRecordBlock(BlockUse):
    block: Literal["test-record"] = "test-record"


class AsBuiltBlock(BlockUse):
    """The plan's outline on a grid and rows for changes; ``rows`` is how many are empty."""

    block: Literal["as-built"] = "as-built"
    rows: int = Field(default=8, ge=0, le=40)


class LocalRulesBlock(BlockUse):
    block: Literal["local-rules"] = "local-rules"


class SignOffBlock(BlockUse):
    block: Literal["sign-off"] = "sign-off"


AnyBlock = Annotated[
    JobBlock
    | MachineBlock
    | FindingsBlock
    | CautionsBlock
    | LoadListBlock
    | PlanBlock
    | PlatesBlock
    | WireListBlock
    | PegListBlock
    | SpoolsBlock
    | StepsBlock
    | TestRecordBlock
    | AsBuiltBlock
    | LocalRulesBlock
    | SignOffBlock,
    Field(discriminator="block"),
]


class HeaderUse(Model):
    """The firm in the head of each page; ``logo`` is a PNG file beside the layout."""

    firm: str = ""
    logo: str = ""


class OwnCaution(Model):
    """A caution of the firm's own, printed after those that the plan calls for."""

    signal: Signal
    text: str


class Layout(Model):
    """A document: its name, language, paper, header and blocks.

    ``document`` is a name of the catalogue such as ``crew-work-order``, or a
    text of one's own. A block is written as its name, or as a mapping with its
    options. ``folder`` is where the file lies, for the logo.
    """

    layout: Literal[1]
    document: str
    language: str = "en"
    paper: str = "A4"
    header: HeaderUse = HeaderUse()
    notes: tuple[str, ...] = ()
    cautions: tuple[OwnCaution, ...] = ()
    form_fields: bool = False
    blocks: tuple[AnyBlock, ...] = Field(min_length=1)

    @field_validator("blocks", mode="before")
    @classmethod
    def _named_blocks(cls, value: Any) -> Any:
        if not isinstance(value, list | tuple):
            return value
        return [{"block": use} if isinstance(use, str) else use for use in value]
