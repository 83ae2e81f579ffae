"""A verb that does its main thing at once and also has words of its own: `graft W7 P12` beside `graft list`."""

from typing import Any

from typer.core import TyperGroup

_HELP = ("-h", "--help")


class Recording(TyperGroup):
    """A group whose first word may be left out: what is no command of the group is handed to its `default`, `add`.

    Its help is that of the default, with the other words below.
    """

    default = "add"

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with the default put before them where it was left out."""
        if args and args[0] not in self.commands and args[0] not in _HELP:
            args = [self.default, *args]
        return super().parse_args(ctx, args)

    def format_usage(self, ctx: Any, formatter: Any) -> None:
        """The usage of the main thing, then that of the other words."""
        main = self.commands[self.default]
        formatter.write_usage(ctx.command_path, " ".join(main.collect_usage_pieces(ctx)))
        formatter.write_usage(ctx.command_path, "COMMAND [ARGS]...", prefix="   or: ")

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """The arguments and options of the main thing, then the other words."""
        main = self.commands[self.default]
        records = [
            record for parameter in main.get_params(ctx) if (record := parameter.get_help_record(ctx)) is not None
        ]
        with formatter.section("Arguments and options"):
            formatter.write_dl(records)
        self.format_commands(ctx, formatter)


class Printing(Recording):
    """The same for a verb that prints: `tags P1-P9` is `tags print P1-P9`."""

    default = "print"
