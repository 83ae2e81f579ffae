"""What every command has around its one action, in one place: the book opened and closed, its words by name, its result printed.

A command is a function that takes the desk as `at`, its own arguments, and gives back what to print: something recorded,
or a report, with a picture in characters beside it where it has one and then sentences that go to stderr; an error as the
last of them is raised once all is printed. `verb` makes of
it what the command line calls: `at` becomes the context, options that go together come from a dataclass whose fields are
options, and --json and --csv are added, and --notes to what reports. `Annotated[GraftOptions, "tie seal"]` are only these
options of such a dataclass, in this order. A command that has `for_programs` among its arguments is given there whether a
program reads the result.
"""

import inspect
from collections.abc import Callable
from dataclasses import MISSING, Field, fields, is_dataclass
from inspect import Parameter
from typing import TYPE_CHECKING, Annotated, Any, TypeVar, get_args, get_origin

import typer

from graftbook.cli.options import Csv, Json, Notes
from graftbook.cli.shared import desk, one_form, show
from graftbook.errors import GraftbookError

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report
else:
    Desk = Recorded = object  # for readers and type checkers: help loads nothing of the book
    Report = type("Report", (), {})  # told from the others, so that what reports has --notes

Command = Callable[..., Any]
Words = TypeVar("Words")

_FORMS = (
    Parameter("as_json", Parameter.POSITIONAL_OR_KEYWORD, default=False, annotation=Json),
    Parameter("as_csv", Parameter.POSITIONAL_OR_KEYWORD, default=False, annotation=Csv),
)
_NOTES = Parameter("with_notes", Parameter.POSITIONAL_OR_KEYWORD, default=False, annotation=Notes)
_CONTEXT = Parameter("ctx", Parameter.POSITIONAL_OR_KEYWORD, annotation=typer.Context)


def verb(*groups: typer.Typer, name: str | None = None, csv: bool = True) -> Callable[[Command], Command]:
    """A command of these groups with the book under it, called as the function is unless a name is given.

    Without `csv` it is for what has no rows: a line, or JSON.
    """

    def made(command: Command) -> Command:
        reports = Report in _kinds(inspect.signature(command).return_annotation)
        run = _around(command, (*(_FORMS if csv else _FORMS[:1]), *((_NOTES,) if reports and csv else ())))
        for each in groups:
            each.command(name or command.__name__.rstrip("_"))(run)
        return run

    return made


def fill(kind: type[Words], options: Any, **more: Any) -> Words:
    """An action's words out of a group of options, by the names of their fields; what is given besides goes first."""
    return kind(**{**vars(options), **more})


def _around(command: Command, forms: tuple[Parameter, ...]) -> Command:
    own = list(inspect.signature(command).parameters.values())[1:]
    groups = {each.name: group for each in own if (group := _group(each.annotation)) is not None}

    def run(**given: Any) -> None:
        context = given["ctx"] if wants_context else given.pop("ctx")
        as_json, as_csv = given.pop("as_json"), given.pop("as_csv", False)
        with_notes = given.pop("with_notes", False)
        if asks_for_whom:
            given["for_programs"] = as_json or as_csv
        for name, (kind, options) in groups.items():
            given[name] = kind(**{each.name: given.pop(each.name) for each in options})
        if getattr(context, "invoked_subcommand", None) is not None:
            return  # the verb's own answer, and a word of the verb follows
        one_form(as_json, as_csv)
        with desk(context) as at:
            found = command(at, **given)
            report, *beside = found if isinstance(found, tuple) else (found,)
            refusal = beside.pop() if beside and isinstance(beside[-1], GraftbookError) else None
            show(report, at, as_json, as_csv, *beside, notes=with_notes)
            if refusal is not None:
                raise refusal

    wants_context, asks_for_whom = (any(each.name == name for each in own) for name in ("ctx", "for_programs"))
    parameters = [_CONTEXT]
    for each in own:
        if each.name in groups:
            parameters += map(_parameter, groups[each.name][1])
        elif each.name not in ("ctx", "for_programs"):
            parameters.append(each)
    parameters += forms
    run.__name__, run.__doc__, run.__module__ = command.__name__, command.__doc__, command.__module__
    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {each.name: each.annotation for each in parameters}
    return run


def _kinds(annotation: Any) -> set[Any]:
    """What an annotation is made of, down to its parts."""
    return {annotation}.union(*map(_kinds, get_args(annotation)))


def _group(annotation: Any) -> tuple[Any, list[Field[Any]]] | None:
    """The dataclass that stands for a group of options, and those of its fields that are asked for; None for one option."""
    kind, names = annotation, None
    if get_origin(annotation) is Annotated:
        kind, names = annotation.__origin__, annotation.__metadata__[0]
    if not is_dataclass(kind):
        return None
    every = {each.name: each for each in fields(kind)}
    return kind, [every[name] for name in (every if names is None else names.split())]


def _parameter(option: Field[Any]) -> Parameter:
    usual = Parameter.empty if option.default is MISSING else option.default
    return Parameter(option.name, Parameter.POSITIONAL_OR_KEYWORD, default=usual, annotation=option.type)
