"""Screening for factors wholly confounded with those that rows are split by, in one pass over the grafts, chunk by chunk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from graftbook.actions.takes.confounders import BY_NATURE, FROM, IMPLIED, OTHERS, listed, word
from graftbook.actions.takes.factors import DATED
from graftbook.stats.association import REPEATS


class ConfoundingScreen:
    """Pairs of a factor asked for and another recorded one that no graft seen so far has shown to be separable.

    A pair is dropped once a value of the other has stood with two values of the factor in one row group, so that a large and
    mixed book costs next to nothing. Values that hardly any graft shares say nothing. What goes together by nature is left
    out, and so is where the wood is from where cultivars are asked.
    """

    def __init__(self, by: Sequence[str]) -> None:
        self._by = tuple(by)
        self.open_pairs: dict[tuple[int, str], Counter] = {
            (at, name): Counter() for at, asked in enumerate(by) for name in OTHERS
            if name not in by and name not in BY_NATURE.get(asked, ()) and not (name in FROM and asked == "cultivar")
            and not (name in ("week", "wood-age") and set(by) & set(DATED))
        }  # fmt: skip

    @property
    def open_factors(self) -> tuple[str, ...]:
        """The factors still to be screened."""
        return tuple(dict.fromkeys(name for _at, name in self.open_pairs))

    def add_chunk(self, groups: Sequence[Sequence[Any]], values: Mapping[str, Sequence[Any]]) -> None:
        """Count a chunk of grafts: for each row factor and the unit, and for each other factor, its values in the same
        order."""
        rest = {
            at: list(zip(*groups[:at], *groups[at + 1 :], strict=True)) for at in {at for at, _name in self.open_pairs}
        }
        for (at, name), counts in tuple(self.open_pairs.items()):
            counts.update(zip(rest[at], values[name], groups[at], strict=True))
            held = [(group, value) for group, value, own in counts if value is not None and own is not None]
            if len(set(held)) < len(held):
                del self.open_pairs[at, name]

    def start_over(self) -> None:
        """Forget what a sample showed, but for what it ruled out, and for factors that none of it had a value for."""
        for pair, counts in tuple(self.open_pairs.items()):
            if all(value is None for _group, value, _own in counts):
                del self.open_pairs[pair]
            else:
                counts.clear()

    def sentences(self) -> Iterator[str]:
        """A sentence for each factor that cannot be separated from others."""
        for at, asked in enumerate(self._by):
            names = [name for where, name in self.open_pairs if where == at and self._is_confounded(where, name)]
            names = [name for name in names if not any(name == one and set(of) & set(names) for one, of in IMPLIED)]
            if names:
                yield (f"{word(asked).capitalize()} changed wholly with {listed(list(dict.fromkeys(map(word, names))))}, so a "
                       "difference between its rows may be theirs: ask take compare.")  # fmt: skip

    def _is_confounded(self, at: int, name: str) -> bool:
        """Whether several grafts share a value, in the row groups or in all, and a row group has two values of the factor."""
        counts = {
            key: number
            for key, number in self.open_pairs[at, name].items()
            if key[1] is not None and key[2] is not None
        }
        owns: dict[Any, set] = {}
        whole: dict[Any, set] = {}
        for group, value, own in counts:
            owns.setdefault(group, set()).add(own)
            whole.setdefault(value, set()).add(own)
        if not any(len(each) > 1 for each in owns.values()):
            return False
        several, apart = sum(counts.values()), all(len(each) == 1 for each in whole.values())
        return several >= REPEATS * len(counts) or (apart and several >= REPEATS * len(whole))
