"""The program with its groups of commands, and groups whose main word may be left out: `graft W7 P12` beside `graft list`."""

from typing import Any

import typer
from typer.core import TyperGroup

_HELP = ("-h", "--help")

app = typer.Typer(
    name="graftbook", add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)  # fmt: skip


def group(name: str, words: str | None = None, *, under: typer.Typer = app, **more: Any) -> typer.Typer:
    """A group of commands under the program or under another group; without a word after it, its help is printed.

    `words` are its help; None leaves that to its callback.
    """
    if words is not None:
        more["help"] = words
    made = typer.Typer(rich_markup_mode=None, **{"no_args_is_help": True, **more})
    under.add_typer(made, name=name)
    return made


class LeavingOut(TyperGroup):
    """A group whose first word may be left out: what is no command of the group is handed to its `default`.

    `alone` says whether the default also stands for no words at all.
    """

    default = "add"
    alone = False

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with the default put before them where it was left out."""
        if (args and args[0] not in self.commands and args[0] not in _HELP) or (self.alone and not args):
            args = [self.default, *args]
        return super().parse_args(ctx, args)


class Recording(LeavingOut):
    """The same for the main thing that a verb does: its help is that of the default, with the other words below."""

    def format_usage(self, ctx: Any, formatter: Any) -> None:
        """The usage of the main thing, then that of the other words."""
        main = self.commands[self.default]
        formatter.write_usage(ctx.command_path, " ".join(main.collect_usage_pieces(ctx)))
        formatter.write_usage(ctx.command_path, "COMMAND [ARGS]...", prefix="   or: ")

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """The arguments and options of the main thing, then the other words."""
        parameters = self.commands[self.default].get_params(ctx)
        records = [record for each in parameters if (record := each.get_help_record(ctx)) is not None]
        with formatter.section("Arguments and options"):
            formatter.write_dl(records)
        self.format_commands(ctx, formatter)


class Printing(Recording):
    """`tags P1-P9` is `tags print P1-P9`."""

    default = "print"


class Listing(Recording):
    """`due --weeks 3` is `due list --weeks 3`, and `due` alone is `due list`."""

    default = "list"
    alone = True
