"""The winter review: a page of plain sentences, then the pictures, as many to a page as it has room for, as PDF; and the same as
one HTML file."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from graftbook.paper import pictures
from graftbook.paper.drawn import page_size
from graftbook.paper.pictures import ALONE_HEAD, FOOT, HEAD, SIDE, Page

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LARGEST, SMALLEST = 10.5, 7.0
_CLEAR = 0.2


@dataclass(frozen=True)
class ReviewPart:
    """A heading and its sentences."""

    heading: str
    sentences: tuple[str, ...]


Drawing = Callable[["Page | None"], "Figure"]
"""Draws a picture on a page, or where that is None as large as it must be."""


@dataclass(frozen=True)
class ReviewPicture:
    """A picture: its heading, and what draws it."""

    heading: str
    draw: Drawing


@dataclass(frozen=True)
class CountTable:
    """A table for the HTML file: headings, and cells as text."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Review:
    """Everything a review holds. `dated` says as of which day it speaks, and stands on every page."""

    title: str
    dated: str
    sections: tuple[ReviewPart, ...]
    pictures: tuple[ReviewPicture, ...]
    tables: tuple[CountTable, ...] = ()


def pdf(review: Review, paper: str = "a4") -> bytes:
    """The review as a PDF on `a4` or `letter`: the sentences on one page, letters made smaller where there are many."""
    width, height = (across / 25.4 for across in page_size(paper))
    laid = _laid(review.pictures, height - FOOT - _CLEAR)

    def page(heading: str, number: int, top: float = 0.0, onto: Figure | None = None) -> Page:
        corner = f"{review.title} · {review.dated} · page {number} of {len(laid) + 1}"
        return Page(width, height, heading, corner, top, onto)

    figures = [_sentences(review, page(review.title, 1))]
    for number, here in enumerate(laid, 2):
        figure: Figure | None = None
        for picture, top in here:
            figure = picture.draw(page(picture.heading, number, top, figure))
        if figure is not None:
            figures.append(figure)
    return pictures.pages(figures)


def _laid(every: Sequence[ReviewPicture], foot: float) -> list[list[tuple[ReviewPicture, float]]]:
    """The pictures of each page with how far down each begins, in inches; none reaches below `foot` unless it stands alone."""
    laid: list[list[tuple[ReviewPicture, float]]] = []
    top = foot
    for picture in every:
        tall = float(picture.draw(None).get_size_inches()[1]) - ALONE_HEAD + HEAD
        if top + tall > foot:
            laid.append([])
            top = 0.0
        laid[-1].append((picture, top))
        top += tall
    return laid


def _sentences(review: Review, page: Page) -> Figure:
    """The first page, in the largest letters with which everything has room."""
    size = LARGEST
    while size > SMALLEST and _lines(review, page, size)[1] > page.height - HEAD - FOOT - 0.3:
        size -= 0.25
    with pictures.look():
        figure = pictures.new_figure(page.width, page.height)
        pictures.headed(figure, page)
        for at, text, bold, inset in _lines(review, page, size)[0]:
            figure.text((SIDE + inset) / page.width, 1 - (HEAD + at) / page.height, text, fontsize=size + (0.5 if bold else 0),
                        weight="bold" if bold else "normal", va="baseline")  # fmt: skip
    return figure


def _lines(review: Review, page: Page, size: float) -> tuple[list[tuple[float, str, bool, float]], float]:
    """Every line with its distance from the head, whether it is bold and how far it is set in; and where the last one ends."""
    step, inner, at = size / 72 * 1.38, page.width - 2 * SIDE, 0.0
    lines = []
    for section in (ReviewPart("", (review.dated[:1].upper() + review.dated[1:] + ".",)), *review.sections):
        if section.heading:
            at += step * 1.75
            lines.append((at, section.heading, True, 0.0))
        for sentence in section.sentences:
            for part in pictures.folded_lines(sentence, inner, size):
                at += step
                lines.append((at, part, False, 0.0))
            at += step * 0.22
    return lines, at


_STYLE = """
body { font: 17px/1.5 Georgia, "Times New Roman", serif; color: #111; background: #fff; max-width: 46rem; margin: 2rem auto;
  padding: 0 1rem; }
h1 { font-size: 1.6rem; margin-bottom: 0; } h2 { font-size: 1.15rem; margin: 1.6rem 0 .3rem; }
p { margin: .3rem 0; } .dated { color: #444; }
figure { margin: 1rem 0; } svg { max-width: 100%; height: auto; }
table { border-collapse: collapse; font-size: .9rem; } caption { text-align: left; font-weight: bold; padding: .3rem 0; }
th, td { text-align: left; padding: .15rem .8rem .15rem 0; border-bottom: 1px solid #ccc; }
@media print { body { margin: 0; max-width: none; } figure, table { page-break-inside: avoid; } }
"""


def html(review: Review) -> bytes:
    """The review as one HTML file that needs nothing else: sentences, pictures drawn in it, and the counts as tables."""
    parts = [
        pictures.MARK + '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(review.title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>",
        f'<h1>{escape(review.title)}</h1>\n<p class="dated">{escape(review.dated[:1].upper() + review.dated[1:])}.</p>',
    ]
    for section in review.sections:
        parts.append(f"<h2>{escape(section.heading)}</h2>")
        parts += [f"<p>{escape(sentence)}</p>" for sentence in section.sentences]
    for number, picture in enumerate(review.pictures, 1):
        parts.append(f"<h2>{escape(picture.heading)}</h2>\n<figure>{_inline(picture, number)}</figure>")
    parts += [_table(table) for table in review.tables]
    return ("\n".join(parts) + "\n</body>\n</html>\n").encode("utf-8")


def _inline(picture: ReviewPicture, number: int) -> str:
    """The picture as SVG whose names are its own, so that several can stand in one page."""
    with pictures.look():
        text = pictures.svg_alone(pictures.saved(picture.draw(None), "svg").decode("utf-8"))
    own = f"p{number}-"
    text = re.sub(r'\bid="', f'id="{own}', text)
    text = re.sub(r"url\(#", f"url(#{own}", text)
    text = re.sub(r'href="#', f'href="#{own}', text)
    text = re.sub(r"<metadata>.*?</metadata>\s*", "", text, flags=re.DOTALL)
    return text.replace("<svg ", f'<svg role="img" aria-label="{escape(picture.heading)}" ', 1)


def _table(table: CountTable) -> str:
    head = "".join(f"<th>{escape(cell)}</th>" for cell in table.headings)
    rows = "\n".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in table.rows)
    return f"<table>\n<caption>{escape(table.caption)}</caption>\n<tr>{head}</tr>\n{rows}\n</table>"
