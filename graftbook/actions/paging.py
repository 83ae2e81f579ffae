"""How to see the rest of a list that does not fit one page."""

from __future__ import annotations

from graftbook.actions.results import count


def page_notes(shown: int, total: int, limit: int, page: int, what: str) -> tuple[str, ...]:
    """How to see more of a list that does not fit one page; nothing where it does."""
    if shown == total:
        return ()
    pages = -(-total // limit)
    if shown == 0:
        return (f"There is no page {page}: {count(total, what)} on {count(pages, 'page')}.",)
    first = (page - 1) * limit + 1
    more = f" Next: --page {page + 1}." if page < pages else ""
    return (f"{first:,} to {first + shown - 1:,} of {count(total, what)}; --limit N shows N at once.{more}",)
