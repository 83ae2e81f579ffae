"""The guides that travel with the program: what there is, and one in full."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from graftbook.errors import NotFound

FOLDER = Path(__file__).parents[2] / "guides"

ORDER = (
    "garden", "club", "nursery", "clocks", "weather", "took", "tags", "bench", "trees", "names", "plan", "mistakes",
    "files", "verbs",
)  # fmt: skip
"""The guides in the order they are best read, which is that in which what they show was run."""


@dataclass(frozen=True)
class GuideRow:
    """One guide: its name for `guide NAME`, and what it is about."""

    guide: str
    about: str


@cache
def text(name: str) -> str:
    """A guide in full, as Markdown. Raises NotFound for a name that is none."""
    wanted = name.strip().lower()
    if wanted not in ORDER:
        raise NotFound(f"no guide {name.strip()!r}", "", f"There are: {', '.join(ORDER)}")
    return (FOLDER / f"{wanted}.md").read_text(encoding="utf-8")


def rows() -> tuple[GuideRow, ...]:
    """Every guide with its first sentence."""
    return tuple(GuideRow(name, _about(text(name))) for name in ORDER)


def _about(guide: str) -> str:
    title, _, rest = guide.partition("\n\n")
    first = rest.partition("\n\n")[0].replace("\n", " ")
    return f"{title.removeprefix('# ')}: {first[:1].lower()}{first[1:]}".rstrip(".")
