"""Living cultivars as multi-crop passport descriptors, for exchange with collections: identity only.

Source: FAO/Bioversity Multi-Crop Passport Descriptors V.2.1 (MCPD), December 2015: names of the descriptors, `;` between
several values, empty where unknown, REMARKS as `FIELD:text`. Institute codes are given out by FAO WIEWS; private people
have none, so INSTCODE stays empty, and so does whatever is not the identity of the cultivar.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, count
from graftbook.actions.exchange.csv_cells import line_of
from graftbook.actions.exchange.exporting import FileRow
from graftbook.actions.names import lineages, where_alive
from graftbook.actions.names.lineages import Lineage
from graftbook.book import lineage_queries
from graftbook.errors import Refused
from graftbook.lineage.epithets import epithet
from graftbook.visible import visible

FIELDS = (
    "PUID", "INSTCODE", "ACCENUMB", "COLLNUMB", "COLLCODE", "COLLNAME", "COLLINSTADDRESS", "COLLMISSID", "GENUS", "SPECIES",
    "SPAUTHOR", "SUBTAXA", "SUBTAUTHOR", "CROPNAME", "ACCENAME", "ACQDATE", "ORIGCTY", "COLLSITE", "DECLATITUDE", "LATITUDE",
    "DECLONGITUDE", "LONGITUDE", "COORDUNCERT", "COORDDATUM", "GEOREFMETH", "ELEVATION", "COLLDATE", "BREDCODE", "BREDNAME",
    "SAMPSTAT", "ANCEST", "COLLSRC", "DONORCODE", "DONORNAME", "DONORNUMB", "OTHERNUMB", "DUPLSITE", "DUPLINSTNAME", "STORAGE",
    "MLSSTAT", "REMARKS",
)  # fmt: skip


def mcpd(desk: Desk, output: Path, force: bool = False) -> Report:
    """Write every cultivar alive and surely named as one line of MCPD.

    Raises Refused where the file is there (unless `force`), CannotWrite where it is none of ours or the disk says no.
    """
    with desk.book.read() as session:
        book = lineages.fetch(session, alive_on=desk.today)
        alive = where_alive.fetch(session, book)
        also: dict[str, list[str]] = {}
        for row in lineage_queries.synonyms(session):
            also.setdefault(book.names.one(row.preferred), []).append(row.name)
    named, doubtful = _by_name(book, (*alive.trees, *alive.grafts))
    lines = [_line(book, *kind, named[kind], also.get(kind[0], [])) for kind in sorted(named, key=str)]
    _write(output, lines, force)
    notes = [f"Identity only: {', '.join(f for f in FIELDS if any(line.get(f) for line in lines))}."] if lines else []
    if doubtful:
        left_out = count(doubtful, "living tree or graft", "living trees and grafts")
        notes.append(f"{left_out} in doubt or without a name stayed out.")
    rows = (FileRow(output.name, "cultivars (MCPD v2.1)", len(lines)),)
    facts, title = {"as_of": desk.today, "file": str(output)}, f"Wrote {count(len(lines), 'cultivar')} to {output}"
    return Report(FileRow, rows, tuple(notes), facts, title=title)


def _by_name(book: Lineage, things: Iterable[int]) -> tuple[dict[tuple[str, str], list[int]], int]:
    """Things surely named, by cultivar and kind ('' where it is unknown), and how many are not."""
    taxa = {book.plant[row[0]]: row[8] for row in book.columns.plants}
    by_bundle = {row[0]: row[8] for row in book.columns.bundles}
    taxa.update({book.graft[row[0]]: by_bundle.get(row[2]) for row in book.columns.grafts})
    found: dict[tuple[str, str], list[int]] = {}
    doubtful = 0
    for thing in things:
        identity = book.identity(thing)
        if identity.certain and identity.sure != "doubtful":
            found.setdefault((identity.names[0], taxa.get(thing) or ""), []).append(thing)
        else:
            doubtful += 1
    return found, doubtful


def _line(book: Lineage, name: str, taxon: str, things: list[int], also: list[str]) -> dict[str, str]:
    genus, species, subtaxa = _taxon(taxon)
    return {
        "ACCENUMB": min((book.code(thing) for thing in things), key=lambda code: (code[0] != "P", int(code[1:]))),
        "GENUS": genus, "SPECIES": species, "SUBTAXA": subtaxa, "CROPNAME": _crop(taxon),
        "ACCENAME": ";".join(_clean(epithet(part)) for part in (name, *also)),
    }  # fmt: skip


def _taxon(taxon: str) -> tuple[str, str, str]:
    """Genus, species and the rest. A hybrid's sign goes with its species, as MCPD writes it."""
    words = taxon.split(" [")[0].split()
    if not words:
        return "", "", ""
    at = 2 if len(words) > 2 and words[1] in ("×", "x") else 1
    species = " ".join(words[1 : at + 1])
    return words[0], "sp." if species in ("", "spp.") else species, " ".join(words[at + 1 :])


def _crop(taxon: str) -> str:
    from graftbook.trade import taxa

    found = taxa.get(taxon)
    return found.common if found is not None and found.common else ""


def _clean(text: str) -> str:
    """A value on one line without the sign that parts values."""
    return visible(" ".join(text.replace(";", ",").split()))


def _write(output: Path, lines: list[dict[str, str]], force: bool) -> None:
    if not force and output.exists():
        raise Refused(f"{output} is there already", next_step="Name another, or write over it with --force")
    rows = [tuple(line.get(field) for field in FIELDS) for line in lines]
    text = "".join(map(line_of, (FIELDS, *rows)))
    write_file(output, text.encode("utf-8"), over=(line_of(FIELDS).encode("utf-8"),))
