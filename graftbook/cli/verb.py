"""What every command has around its one action, said once: the book opened and closed, its words by name, its result printed.

A command is a function that takes the desk as `at`, its own arguments, and gives back what to print: something recorded,
or a report, with a picture in characters beside it where it has one. `verb` makes of it what the command line calls: `at`
becomes the context, options that go together come from a dataclass whose fields are options, and --json and --csv are
added. A command that has `for_programs` among its arguments is given there whether a program reads the result.
"""

import inspect
from collections.abc import Callable, Iterator
from dataclasses import MISSING, fields, is_dataclass
from inspect import Parameter
from typing import Any

import typer

from graftbook.cli.options import Csv, Json
from graftbook.cli.shared import desk, show, tell

_FORMS = (
    Parameter("as_json", Parameter.POSITIONAL_OR_KEYWORD, default=False, annotation=Json),
    Parameter("as_csv", Parameter.POSITIONAL_OR_KEYWORD, default=False, annotation=Csv),
)
_CONTEXT = Parameter("ctx", Parameter.POSITIONAL_OR_KEYWORD, annotation=typer.Context)


def verb(command: Callable[..., Any]) -> Callable[..., None]:
    """A command with the book under it, whose result is printed as a table, as JSON or as CSV."""
    return _around(command, _FORMS)


def verb_without_csv(command: Callable[..., Any]) -> Callable[..., None]:
    """The same for what has no rows: a line, or JSON."""
    return _around(command, _FORMS[:1])


def _around(command: Callable[..., Any], forms: tuple[Parameter, ...]) -> Callable[..., None]:
    own = list(inspect.signature(command).parameters.values())[1:]
    groups: dict[str, Any] = {each.name: each.annotation for each in own if is_dataclass(each.annotation)}

    def run(**given: Any) -> None:
        context = given["ctx"] if wants_context else given.pop("ctx")
        as_json, as_csv = given.pop("as_json"), given.pop("as_csv", False)
        if asks_for_whom:
            given["for_programs"] = as_json or as_csv
        for name, group in groups.items():
            given[name] = group(**{each.name: given.pop(each.name) for each in fields(group)})
        if getattr(context, "invoked_subcommand", None) is not None:
            return  # the verb's own answer, and a word of the verb follows
        with desk(context) as at:
            found = command(at, **given)
            report, picture = found if isinstance(found, tuple) else (found, "")
            if hasattr(report, "rows"):
                show(report, at, as_json, as_csv, picture)
            else:
                tell(report, as_json, as_csv)

    wants_context, asks_for_whom = (any(each.name == name for each in own) for name in ("ctx", "for_programs"))
    asked = [each for each in own if each.name not in ("ctx", "for_programs")]
    parameters = [_CONTEXT, *(one for each in asked for one in _spread(each)), *forms]
    run.__name__, run.__doc__, run.__module__ = command.__name__, command.__doc__, command.__module__
    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {each.name: each.annotation for each in parameters}
    return run


def _spread(parameter: Parameter) -> Iterator[Parameter]:
    """The parameter itself, or one for each field where it stands for a group of options."""
    if not is_dataclass(parameter.annotation):
        yield parameter
        return
    for each in fields(parameter.annotation):
        usual = Parameter.empty if each.default is MISSING else each.default
        yield Parameter(each.name, Parameter.POSITIONAL_OR_KEYWORD, default=usual, annotation=each.type)
