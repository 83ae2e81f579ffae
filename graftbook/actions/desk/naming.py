"""Names as typed, and the preferred name beside them. Suggestions are made, nothing is merged silently."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from sqlmodel import Session

from graftbook.book import lineage_queries
from graftbook.errors import UsageProblem

# Letters that are not a plain letter with a mark, and so do not part of themselves.
_JOINED = str.maketrans({"œ": "oe", "æ": "ae", "ø": "o", "ł": "l", "đ": "d", "×": "x"})

_QUOTES = frozenset("'\"‘’“”´`")


@dataclass(frozen=True)
class Name:
    """A name as it will be kept; `typed` is what the person wrote where that differs, else None. `note` is a sentence for
    the person, or None."""

    kept: str
    typed: str | None = None
    note: str | None = None


@lru_cache(maxsize=65_536)
def key(text: str) -> str:
    """A name with case, accents, quotes and punctuation gone, for telling whether two spellings are one name."""
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_JOINED))
    return "".join(sign for sign in plain if sign.isalnum())


def taxon(text: str, cultivar: str | None = None) -> Name:
    """A kind of plant by any of its names. One that the tables lack is kept as typed, with a note.

    Raises UsageProblem for a name that several kinds share, unless the cultivar tells which.
    """
    from graftbook.trade import taxa

    shared = taxa.sharing(text, cultivar)
    if len(shared) > 1:
        kinds = " or ".join(f"{kind.common} ({kind.taxon})" for kind in shared)
        name = text.strip()
        raise UsageProblem(
            kinds, repr(name), f"Say which, such as {shared[0].common!r}", statement=f"{name!r} may be {kinds}"
        )
    found = shared[0] if shared else taxa.find(text)
    if found is not None:
        return Name(found.taxon, text if key(text) != key(found.taxon) else None)
    near = [found for name in taxa.suggest(text) if (found := taxa.get(name)) is not None]
    hint = f" Did you mean {', '.join(f'{one.common} ({one.taxon})' for one in near)}?" if near else ""
    return Name(
        text.strip(), None, f"{text.strip()} is not in the tables, so nothing is known of what it joins to.{hint}"
    )


def clone(text: str) -> Name:
    """A rootstock clone by any of its names; `seedling` is itself. One that the tables lack is kept as typed."""
    from graftbook.trade import clones

    if key(text) == "seedling":
        return Name("seedling")
    found = clones.find(text)
    if found is not None:
        return Name(found.key, text if key(text) != key(found.key) else None)
    near = clones.suggest(text)
    hint = f" Did you mean {', '.join(near)}?" if near else ""
    return Name(text.strip(), None, f"{text.strip()} is not in the tables of rootstocks.{hint}")


class Cultivars:
    """The cultivars a book already holds, so that one cultivar keeps one spelling."""

    def __init__(self, held: Iterable[str], synonyms: Mapping[str, str] | None = None) -> None:
        self._by_key = {key(name): name for name in held}
        preferred = {key(name): other for name, other in (synonyms or {}).items()}
        for name in preferred:
            self._by_key[name] = _end(preferred, name)

    @classmethod
    def of(cls, session: Session) -> Cultivars:
        """Every cultivar on a plant or a bundle of this book."""
        return cls(lineage_queries.cultivars(session), lineage_queries.preferred(session))

    def holds(self, text: str) -> bool:
        """Whether the book has a cultivar of this name, in whatever spelling."""
        return key(text) in self._by_key

    def name(self, text: str) -> Name:
        """The cultivar as the book spells it; a new one as typed without quotes, with a note when another is close."""
        bare = " ".join(text.split())
        if len(bare) > 2 and bare[0] in _QUOTES and bare[-1] in _QUOTES:
            bare = bare[1:-1].strip()
        held = self._by_key.get(key(bare))
        if held is not None:
            return Name(held, bare if bare != held else None)
        near = self._near(bare)
        self._by_key[key(bare)] = bare
        note = (
            f"'{bare}' is new to this book, which already has {' and '.join(near)}. Two kinds, or one?"
            if near
            else None
        )
        return Name(bare, None, note)

    def _near(self, text: str) -> tuple[str, ...]:
        from rapidfuzz import fuzz, process

        hits = process.extract(key(text), list(self._by_key), scorer=fuzz.ratio, score_cutoff=86, limit=8)
        alike = [hit[0] for hit in hits if _digits(hit[0]) == _digits(key(text))]
        return tuple(f"'{self._by_key[name]}'" for name in alike[:2])


def _end(preferred: Mapping[str, str], start: str) -> str:
    """The name at the end of a chain of synonyms, by their keys."""
    passed = {start}
    name = preferred[start]
    while (at := key(name)) in preferred and at not in passed:
        passed.add(at)
        name = preferred[at]
    return name


def _digits(name: str) -> str:
    """Seedlings and selections are told apart by their numbers, which are no misspelling."""
    return "".join(sign for sign in name if sign.isdigit())
