"""The program with its groups of commands, and groups whose main word may be left out: `graft W7 P12` beside `graft list`."""

from typing import Any

import typer
from typer.core import TyperGroup

_HELP = ("-h", "--help")

THE_YEAR = {
    "Winter (wood, wants, what is scarce)": ("prune", "wood", "want", "only", "people"),
    "Spring (stocks, pairs, grafts, tags)": ("tree", "stock", "match", "plan", "graft", "tags", "bench"),
    "Summer (rounds, and finding things)": ("due", "look", "care", "limb", "find", "weather"),
    "Look back (what took, and what came of what)": ("take", "history", "trace", "name", "trade"),
    "The book": (
        "start", "settings", "journal", "undo", "import", "held", "export", "print", "mcpd", "backup", "restore", "merge",
        "doubles", "migrate", "doctor", "guide",
    ),
}  # fmt: skip
"""The verbs of the program as a grower meets them in the year, each once."""


class ByTheYear(TyperGroup):
    """The program itself: help lists its verbs by the season they belong to."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Each part of the year with its verbs, in its own words."""
        named = [name for names in THE_YEAR.values() for name in names]
        widest = max(map(len, self.commands))
        limit = formatter.width - 6 - widest
        rest = tuple(name for name in self.commands if name not in named)
        for heading, names in (*THE_YEAR.items(), ("Other", rest)):
            rows = [(name.ljust(widest), self.commands[name].get_short_help_str(limit)) for name in names]
            if rows:
                with formatter.section(heading):
                    formatter.write_dl(rows)


app = typer.Typer(
    name="graftbook", cls=ByTheYear, rich_markup_mode=None, pretty_exceptions_enable=False,
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

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        """The words of the group that begin so, and what the first word or option of the default could be."""
        words, default = list(super().shell_complete(ctx, incomplete)), self.commands[self.default]
        if incomplete.startswith("-"):
            return [*words, *default.shell_complete(ctx, incomplete)]
        first = next((each for each in default.params if each.param_type_name == "argument"), None)
        return words if first is None else [*words, *first.shell_complete(ctx, incomplete)]


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
