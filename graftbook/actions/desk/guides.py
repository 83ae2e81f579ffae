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


def is_one(name: str) -> bool:
    """Whether a guide has this name."""
    return name.strip().lower() in ORDER


@cache
def text(name: str) -> str:
    """A guide in full, as Markdown. Raises NotFound for a name that is none."""
    if not is_one(name):
        raise NotFound(f"no guide {name.strip()!r}", "", f"There are: {', '.join(ORDER)}")
    return (FOLDER / f"{name.strip().lower()}.md").read_text(encoding="utf-8")


def rows() -> tuple[GuideRow, ...]:
    """Every guide with its first sentence."""
    return tuple(GuideRow(name, _about(text(name))) for name in ORDER)


def naming(words: str, needed: bool = True) -> tuple[GuideRow, ...]:
    """The guides in which every one of these words stands, each with the first sentence or line that holds them or the first of
    them. Raises NotFound where no guide has them all, if one is `needed`."""
    wanted = words.casefold().split()
    found = []
    for name in ORDER:
        lines = [line for line in text(name).splitlines() if any(word in line.casefold() for word in wanted)]
        if all(any(word in line.casefold() for line in lines) for word in wanted):
            best = max(lines, key=lambda line: sum(word in line.casefold() for word in wanted))
            found.append(GuideRow(name, best.lstrip("#| ").strip()))
    if needed and not found:
        raise NotFound(f"no guide {words!r}, and none speaks of it", "", f"There are: {', '.join(ORDER)}")
    return tuple(found)


def _about(guide: str) -> str:
    title, _, rest = guide.partition("\n\n")
    first = rest.partition("\n\n")[0].replace("\n", " ")
    return f"{title.removeprefix('# ')}: {first[:1].lower()}{first[1:]}".rstrip(".")
