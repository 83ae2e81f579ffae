"""The address that may stand before codes on tags, and the errors of labels said as ours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from graftbook.errors import GraftbookError, NotFound, TagDoesNotFit, UsageProblem


def ours(work: Callable[[], Any]) -> Any:
    """What the labels room gives back, its errors as ours."""
    from labels import errors

    try:
        return work()
    except errors.LabelError as error:
        fit = isinstance(error, errors.DoesNotFit | errors.MissingGlyph)
        kind: type[GraftbookError] = TagDoesNotFit if fit else UsageProblem
        if isinstance(error, errors.UnknownMedium):
            kind = NotFound
        raise kind(error.expected, error.found, _sentence(error.next_step)) from error


def _sentence(clause: str) -> str:
    whole = clause[:1].upper() + clause[1:]
    return f"{whole}?" if whole.startswith("Did you mean") else whole


def check_site(site: str) -> None:
    """Refuse, as UsageProblem, an address that cannot stand before codes; '' means that none does and is fine."""
    from labels.payload import address

    if site:
        ours(lambda: address(site, "G1-A"))
