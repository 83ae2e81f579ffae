"""The states of a look as people write them, and the words for aftercare."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from graftbook.book.grafts import BUD_STATES, CARE_WORDS, SCION_STATES, STATES
from graftbook.errors import UsageProblem

UNSEEN = "not looked at"

UNION_BLAME = {"yes": "the union to blame", "no": "not the union", "unsure": "unsure whether the union"}
"""Words for whether the union was to blame for a loss."""

_STATE_SPELLINGS: Mapping[str, str] = MappingProxyType({
    "not moved": "no-movement", "not moving": "no-movement", "unmoved": "no-movement", "green": "no-movement",
    "green no movement": "no-movement", "still green": "no-movement", "swell": "swelling", "swollen": "swelling",
    "buds swelling": "swelling", "bud swelling": "swelling", "push": "pushing", "pushed": "pushing",
    "buds open": "pushing", "buds opening": "pushing", "grows": "growing", "growing on": "growing", "grown": "growing",
    "stall": "stalled", "stopped": "stalled", "shriveled": "shrivelled", "shrivelling": "shrivelled",
    "shriveling": "shrivelled", "died": "dead", "dying": "shrivelled", "notfound": "not-found", "missing": "not-found",
    "unset": "not-set", "did not set": "not-set", "bud set": "set", "force": "forced", "forcing": "forced",
})  # fmt: skip

_CARE_SPELLINGS: Mapping[str, str] = MappingProxyType({
    "release": "tie-released", "released": "tie-released", "release tie": "tie-released", "release ties": "tie-released",
    "released tie": "tie-released", "released ties": "tie-released", "ties released": "tie-released",
    "untied": "tie-released", "unwrapped": "tie-released", "tie off": "tie-released", "ties off": "tie-released",
    "tie slit": "tie-released", "slit tie": "tie-released", "slit ties": "tie-released", "ties slit": "tie-released",
    "rub off": "rubbed-off", "rubbed": "rubbed-off", "rubbing off": "rubbed-off", "suckered": "rubbed-off",
    "stake": "staked", "braced": "staked", "brace": "staked", "head back": "headed-back", "headed": "headed-back",
    "heading back": "headed-back", "cut back": "headed-back", "leader": "one-leader", "single leader": "one-leader",
    "keep one shoot": "one-leader", "one shoot": "one-leader", "kept one shoot": "one-leader", "pot on": "potted-on",
    "potted": "potted-on", "potting on": "potted-on", "tag": "lasting-tag", "tagged": "lasting-tag",
    "lasting label": "lasting-tag", "permanent tag": "lasting-tag", "move": "moved", "went home": "gone-home",
    "taken home": "gone-home", "missing tag": "tag-missing", "tag lost": "tag-missing", "no tag": "tag-missing",
    "illegible": "tag-illegible", "illegible tag": "tag-illegible", "faded": "tag-illegible", "tag faded": "tag-illegible",
})  # fmt: skip


def state(text: str) -> str:
    """A state of a look by its word or a plain spelling of it. Raises UsageProblem naming every state."""
    found = _word(text, STATES, _STATE_SPELLINGS)
    if found is not None:
        return found
    if _plain(text) in (UNSEEN, "not looked", "unseen"):
        raise UsageProblem("what was seen", repr(text), "A graft that was not looked at has no look: leave it out")
    raise UsageProblem(
        f"what was seen: {', '.join(SCION_STATES)}; of a bud also {', '.join(BUD_STATES)}",
        repr(text),
        _near(text, STATES),
    )


def state_or_unseen(text: str) -> str | None:
    """A state as `state` reads it; None for `not looked at`. Raises UsageProblem for anything else."""
    return None if _plain(text) in (UNSEEN, "unseen") else state(text)


def care(text: str) -> str:
    """A kind of aftercare by its word or a phrase of the trade. Raises UsageProblem naming every kind."""
    found = _word(text, CARE_WORDS, _CARE_SPELLINGS)
    if found is None:
        raise UsageProblem(f"what was done: {', '.join(CARE_WORDS)}", repr(text), _near(text, CARE_WORDS))
    return found


def starts_with_code(words: Sequence[str]) -> bool:
    """Whether the first of some words looks like a code, such as G1-G9, and not like something seen or done."""
    return bool(words) and words[0][:1].isalpha() and words[0][1:2].isdigit()


def codes_and_words(words: Sequence[str]) -> tuple[str, str]:
    """Codes and what follows them, from the words of a command such as `G1 G2 growing on`. Raises UsageProblem when either
    lacks. The first word is always codes; so are further words that start as a code does."""
    at = 1
    while at < len(words) and words[at][:1].isalpha() and words[at][1:2].isdigit():
        at += 1
    codes, rest = ",".join(words[:at]), " ".join(words[at:]).strip()
    if not rest:
        raise UsageProblem("codes and then a word, such as G1-G40 growing", repr(" ".join(words)))
    return codes, rest


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").replace(",", " ").split())


def _word(text: str, words: tuple[str, ...], spellings: Mapping[str, str]) -> str | None:
    plain = _plain(text)
    for word in words:
        if plain == _plain(word):
            return word
    return spellings.get(plain)


def _near(text: str, words: tuple[str, ...]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(_plain(text), [_plain(word) for word in words], n=2, cutoff=0.6)
    return f"Did you mean {' or '.join(near)}?" if near else ""
