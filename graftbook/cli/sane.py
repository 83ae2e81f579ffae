"""What no word of any command may be, whatever the command makes of it: too large a number, or no text at all."""

from math import isfinite
from typing import Any

from graftbook.errors import UsageProblem
from graftbook.numbers import LARGEST
from graftbook.visible import faults


def watch(command: Any) -> Any:
    """The command, every word of it and of all commands below it looked at before it is used."""
    for word in command.params:
        if word.callback is None:
            word.callback = _look
    for each in getattr(command, "commands", {}).values():
        watch(each)
    return command


def _look(_context: Any, word: Any, value: Any) -> Any:
    name = word.opts[0] if word.opts[0].startswith("-") else word.metavar or word.name.upper()
    for each in value if isinstance(value, list | tuple) else (value,):
        _check(name, each)
    return type(value)(map(_bare, value)) if isinstance(value, list | tuple) else _bare(value)


def _bare(value: Any) -> Any:
    """A word without byte order marks round it, which are copied unseen and which no file of ours gives back."""
    return value.strip("\ufeff") if isinstance(value, str) else value


def _check(name: str, value: Any) -> None:
    if isinstance(value, bool) or value is None:
        return
    if isinstance(value, int | float):
        if not isfinite(value) or abs(value) > LARGEST:
            raise UsageProblem(f"a number no larger than {LARGEST:,} for {name}", _written(value))
        return
    wrong = faults(str(value))
    if wrong:
        raise UsageProblem(f"text for {name}", f"{wrong} in {str(value)!r}", "Type it again; a terminal writes UTF-8")


def _written(value: float) -> str:
    if isinstance(value, float):
        return f"{value:g}"
    return f"{value:,}" if abs(value) < 10**30 else "one of more than 30 figures"
