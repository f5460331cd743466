"""Commands found by name, with help that says what to type, without the names of types, and runs to the edge."""

import re
from collections.abc import Mapping
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any, ClassVar

from typer import Typer
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption
from typer.main import get_command

_BREAK = re.compile(r"(?<!\n)\n[ \t]*(?!\s)")


class PlainCommand(TyperCommand):
    """A command with plain help."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.help = _BREAK.sub(" ", self.help or "")

    def get_params(self, ctx: Any) -> list[Any]:
        return _plainly(super().get_params(ctx))


class PlainGroup(TyperGroup):
    """A group of commands with plain help, each loaded when it is called or listed.

    places: for each name the module in this package, and after a colon the function where its name is another.
    """

    places: ClassVar[Mapping[str, str]] = {}

    def list_commands(self, ctx: Any) -> list[str]:
        return list(self.places)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        if cmd_name in self.places and cmd_name not in self.commands:
            module, _, function = self.places[cmd_name].partition(":")
            found = getattr(import_module(f"{__package__}.{module}"), function or cmd_name)
            if not isinstance(found, Typer):
                command, found = found, Typer(rich_markup_mode="rich", add_completion=False)
                found.command(cmd_name, cls=PlainCommand)(command)
            self.commands[cmd_name] = get_command(found)
        return self.commands.get(cmd_name)

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
