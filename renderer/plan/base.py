"""What all values of a plan have in common."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, Self, get_args

from pydantic import BaseModel, ConfigDict, model_validator

from renderer.plan.errors import refuse


class Filled(dict[str, Any]):
    """A mapping without its keys that have nothing behind them; ``empty`` are those."""

    def __init__(self, held: dict[str, Any], empty: frozenset[str]) -> None:
        super().__init__(held)
        self.empty = empty


class Model(BaseModel):
    """A frozen value; keys it does not know are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    exactly_one: ClassVar[tuple[str, ...]] = ()
    """Keys of which exactly one has to be given."""

    file_keys: ClassVar[tuple[str, ...]] = ()
    """Keys that the file may hold beside the fields."""

    made_keys: ClassVar[tuple[str, ...]] = ()
    """Fields that the reader makes; no file holds them."""

    @classmethod
    def known_keys(cls) -> list[str]:
        """All keys that the file may hold here."""
        fields = (key for key in cls.model_fields if key not in cls.made_keys)
        return [*fields, *cls.file_keys]

    @model_validator(mode="before")
    @classmethod
    def _nothing_is_left_out(cls, value: Any) -> Any:
        """A key with nothing behind it counts as left out."""
        if isinstance(value, dict) and None in value.values():
            known = cls.known_keys()
            empty = frozenset(k for k, v in value.items() if v is None and k in known)
            return Filled({k: v for k, v in value.items() if k not in empty}, empty)
        return value

    @model_validator(mode="after")
    def _one_of_them(self) -> Self:
        given = [name for name in self.exactly_one if getattr(self, name) is not None]
        if self.exactly_one and len(given) != 1:
            names = ", ".join(self.exactly_one[:-1]) + " or " + self.exactly_one[-1]
            if given:
                refuse(f"it has both {' and '.join(given)}", f"keep only one of {names}")
            refuse(f"it has none of {names}", "give one of them")
        return self


def models_in(annotation: Any) -> Iterator[type[Model]]:
    """The models that a field's annotation names, such as Lawn in ``tuple[Lawn, ...]``."""
    if isinstance(annotation, type) and issubclass(annotation, Model):
        yield annotation
    for part in get_args(annotation):
        yield from models_in(part)
