"""Options in groups: a command takes a dataclass for those that belong together; the command line sees each option."""

import inspect
from collections.abc import Callable
from copy import copy
from dataclasses import MISSING, fields, is_dataclass
from functools import wraps
from typing import Annotated, Any, get_type_hints


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
    kinds = get_type_hints(group, include_extras=True)
    return [
        inspect.Parameter(
            each.name,
            inspect.Parameter.KEYWORD_ONLY,
            default=inspect.Parameter.empty if each.default is MISSING else each.default,
            annotation=_in_panel(kinds[each.name], getattr(group, "PANEL", "")),
        )
        for each in fields(group)
    ]


def _in_panel(kind: Any, panel: str) -> Any:
    """An option as it stands in the panel of its group; the options are shared, so each group has copies."""
    if not panel or not hasattr(kind, "__metadata__"):
        return kind
    told = [copy(each) for each in kind.__metadata__]
    for each in told:
        each.rich_help_panel = panel
    return Annotated[(kind.__origin__, *told)]
