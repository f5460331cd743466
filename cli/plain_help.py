"""Commands whose help says what to type, without the names of types, and runs its sentences on to the edge."""

from __future__ import annotations

import re
from typing import Any

from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption

_BREAK = re.compile(r"(?<!\n)\n[ \t]*(?!\s)")


class PlainCommand(TyperCommand):
    """A command with plain help."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.help = _BREAK.sub(" ", self.help or "")

    def get_params(self, ctx: Any) -> list[Any]:
        return _plainly(super().get_params(ctx))


class PlainGroup(TyperGroup):
    """A group of commands with plain help."""

    def get_params(self, ctx: Any) -> list[Any]:
        return _plainly(super().get_params(ctx))


def _plainly(params: list[Any]) -> list[Any]:
    for each in params:
        if isinstance(each, TyperArgument):
            vars(each)["display_type_rich"] = lambda ctx: None
        elif isinstance(each, TyperOption) and each.metavar is None:
            choices = each.type_descriptor.choices
            each.metavar = "" if each.is_flag else "|".join(map(str, choices)) if choices else each.name.upper()
    return params
