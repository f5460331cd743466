"""Commands whose help says what to type, without the names of types, and runs its sentences on to the edge."""

import re
from functools import partial
from pathlib import Path
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
        vars(each)["process_value"] = partial(_checked, each)
        if isinstance(each, TyperArgument):
            vars(each)["display_type_rich"] = lambda ctx: None
        elif isinstance(each, TyperOption) and each.metavar is None:
            choices = each.type_descriptor.choices
            each.metavar = "" if each.is_flag else "|".join(map(str, choices)) if choices else each.name.upper()
    return params


def _checked(param: Any, ctx: Any, value: Any) -> Any:
    """What a parameter is given; words, paths and what is not given need no library that takes 0.1 s to load."""
    kind, many = param.type_descriptor.annotation, param.multiple or param.nargs == -1
    words = kind == list[str] and isinstance(value, tuple | list) and all(type(each) is str for each in value)
    told = () if value is None and many else list(value) if words else value
    plain = value is None or words or (isinstance(kind, type) and type(value) is kind)
    if kind is Path and type(value) is str:
        told, plain = Path(value), True
    if not plain or (param.required and param.value_is_missing(told)):
        return type(param).process_value(param, ctx, value)
    return told if param.callback is None else param.callback(ctx, param, told)
