"""Which files hold the verbs, in the order help lists them."""

from importlib import import_module

FILES = (
    "book", "plant", "find", "prune", "wood", "exchange", "want", "match", "plan", "graft", "round", "tag",
    "tag_media", "take", "take_curve", "weather", "name", "trace", "people", "collection", "trade", "file", "doctor",
)  # fmt: skip


def load() -> None:
    """Load every verb; each hangs itself on the program."""
    for name in FILES:
        import_module(f"graftbook.cli.{name}_verbs")
