"""Options in groups: a command takes a dataclass for those that belong together; the command line sees each option."""

import inspect
from collections.abc import Callable
from copy import copy
from dataclasses import field, fields, is_dataclass
from functools import wraps
from typing import Annotated, Any, get_type_hints

from typer import Option


def option(help: str, *names: str, default: Any = None, **told: Any) -> Any:
    """A field of a group as an option; its name is the field's, unless others are told, and its type too."""
    return field(default=default, metadata={"option": Option(*names, help=help, **told)})


def grouped(command: Callable[..., None]) -> Callable[..., None]:
    """The command with the fields of its dataclass arguments as options of their own, in their order."""
    groups: dict[str, Any] = {}
    options: list[inspect.Parameter] = []
    given = inspect.signature(command).parameters
    for name, kind in get_type_hints(command, include_extras=True).items():
        if is_dataclass(kind):
            groups[name] = kind
            options += _options(kind)
        elif name in given:
            options.append(given[name].replace(annotation=kind, kind=inspect.Parameter.KEYWORD_ONLY))

    @wraps(command)
    def typed(**said: Any) -> None:
        made = {
            name: kind(**{each.name: said.pop(each.name) for each in fields(kind)}) for name, kind in groups.items()
        }
        command(**said, **made)

    vars(typed)["__signature__"] = inspect.Signature(options)
    typed.__annotations__ = {each.name: each.annotation for each in options}
    return typed


def _options(group: Any) -> list[inspect.Parameter]:
    kinds, panel = get_type_hints(group, include_extras=True), getattr(group, "PANEL", None)
    return [
        inspect.Parameter(each.name, inspect.Parameter.KEYWORD_ONLY, default=each.default,
                          annotation=_as_option(kinds[each.name], each.metadata.get("option"), panel))
        for each in fields(group)
    ]  # fmt: skip


def _as_option(kind: Any, own: Any, panel: str | None) -> Any:
    """An option as it stands in the panel of its group; some are shared, so each group has copies."""
    kind, shown = (kind, copy(own)) if own else (kind.__origin__, copy(kind.__metadata__[0]))
    shown.rich_help_panel = panel
    return Annotated[kind, shown]
