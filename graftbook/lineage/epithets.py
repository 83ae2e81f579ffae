"""Cultivar names as the trade's code of nomenclature writes them.

A cultivar epithet stands in single quotes, each main word with a capital, not conjunctions and prepositions inside it and
not what follows a hyphen; no double quotes and no "cv." before it (ICNCP, International Code of Nomenclature for
Cultivated Plants, 9th edition, Scripta Horticulturae 18, ISHS 2016).
"""

from __future__ import annotations

_QUOTES = "'\"‘’‚‛“”„´`"
_SMALL = frozenset((
    "a", "and", "aus", "d'", "da", "das", "de", "del", "della", "der", "des", "di", "die", "do", "dos", "du", "e", "el", "en",
    "et", "for", "from", "het", "i", "im", "in", "la", "las", "le", "les", "lo", "los", "of", "on", "op", "or", "oder", "per",
    "pour", "sur", "te", "the", "to", "und", "van", "vom", "von", "with", "y", "zu", "zum", "zur",
))  # fmt: skip


def bare(name: str) -> str:
    """A name without the quotes around it, without `cv.` before it, its blanks single. Apostrophes inside stay; "" stays ""."""
    text = " ".join(name.split())
    for lead in ("cv. ", "cv ", "CV. ", "Cv. "):
        text = text.removeprefix(lead)
    while len(text) > 2 and text[0] in _QUOTES and text[-1] in _QUOTES:
        text = text[1:-1].strip()
    return text


def epithet(name: str) -> str:
    """The epithet with its capitals, without quotes. Capitals already inside a word stay, as in McArdle."""
    words = bare(name).split(" ")
    last = len(words) - 1
    return " ".join(_word(word, at == 0, at == last) for at, word in enumerate(words))


def quoted(name: str) -> str:
    """The epithet in single quotes: `'Kingston Black'`."""
    return f"'{epithet(name)}'"


def _word(word: str, first: bool, last: bool) -> str:
    if not first and not last and word.casefold() in _SMALL:
        return word if word.islower() else word.casefold()
    if not word[:1].isalpha() or not word[0].islower():
        return word
    lead = word[:2].casefold()
    if lead in ("d'", "l'", "d’", "l’") and len(word) > 2:
        head = word[0].upper() + word[1] if first else word[:2]
        return head + word[2].upper() + word[3:]
    return word[0].upper() + word[1:]
