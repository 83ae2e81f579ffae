"""A verb that does its main thing at once and also has words of its own: `graft W7 P12` beside `graft list`."""

from typing import Any

from typer.core import TyperGroup

_HELP = ("-h", "--help")


class Recording(TyperGroup):
    """A group whose first word may be left out: what is no command of the group is handed to its `default`, `add`."""

    default = "add"

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with the default put before them where it was left out."""
        if args and args[0] not in self.commands and args[0] not in _HELP:
            args = [self.default, *args]
        return super().parse_args(ctx, args)


class Printing(Recording):
    """The same for a verb that prints: `tags P1-P9` is `tags print P1-P9`."""

    default = "print"
