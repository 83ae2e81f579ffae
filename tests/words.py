"""How many words a command prints, over README, the guides and the demo: `python tests/words.py [demo/out/played.txt]`.

A newcomer reads a screen, not a page: half of all commands should print fewer than MEDIAN words, nine in ten fewer than
MOST. Numbers in a table count as words. Commands that hand out a guide or help are not counted: those are pages one asked
for. Without a file of what demo/run printed, only README and the guides are counted.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles

from transcript import _BLOCK, Step, sessions, steps

MEDIAN = 25
MOST = 90
DEMO_STEPS = Path(__file__).parent.parent / "demo" / "steps"
_NOT_COUNTED = re.compile(r"^(graftbook guide|graftbook .*--help|export |ls\b)")


def in_guides() -> Iterator[Step]:
    """Every command that README and the guides show, with what stands under it."""
    for files in sessions():
        for file in files:
            for block in _BLOCK.finditer(file.read_text(encoding="utf-8")):
                yield from steps(block[1])


def in_demo(printed: str) -> Iterator[Step]:
    """Every command of the demo with what it printed, without what the demo says in between."""
    said = {
        _bare(text)
        for step in DEMO_STEPS.glob("*.sh")
        for text in re.findall(r"^say '([^']*)'", step.read_text(encoding="utf-8"), re.M)
    }
    for part in re.split(r"^\$ (?=graftbook)", printed, flags=re.M)[1:]:
        step = next(steps(f"$ {part}"))
        kept = [text for text in step.printed.split("\n\n") if _bare(text) not in said and not text.startswith("\n== ")]
        yield Step(step.command, "\n\n".join(kept))


def words(step: Step) -> int:
    """How many words a command printed; rules of tables are none."""
    return sum(any(letter.isalnum() for letter in word) for word in step.printed.split())


def main(arguments: list[str]) -> int:
    """Print the figures and the longest answers; 0 where both aims are met."""
    every = list(in_guides())
    if arguments:
        every += in_demo(Path(arguments[0]).read_text(encoding="utf-8"))
    counted = sorted(
        ((words(step), " ".join(step.command.split())) for step in every if not _NOT_COUNTED.match(step.command)),
        reverse=True,
    )
    numbers = [number for number, _command in counted]
    half, ninth = median(numbers), quantiles(numbers, n=10)[-1]
    print(
        f"{len(numbers)} commands: median {half:.0f} words (aim: under {MEDIAN}), 90th percentile {ninth:.0f} (aim: under {MOST})"
    )
    for number, command in counted[:40]:
        print(f"{number:6}  {command[:110]}")
    return 0 if half < MEDIAN and ninth < MOST else 1


def _bare(text: str) -> str:
    return " ".join(text.split())


if __name__ == "__main__":
    sys.path[0:1] = [str(Path(__file__).parent.parent), str(Path(__file__).parent)]
    sys.exit(main(sys.argv[1:]))
