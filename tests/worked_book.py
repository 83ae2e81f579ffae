"""One rich book, small enough to make anew: a year of a garden and a few rows, in which every example of the help can be run.

It is made by commands alone, so that it is as a person's book would be. `files` writes what the examples read beside it.
"""

from __future__ import annotations

import shlex
import shutil
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from season_files import GRAFTS, LOOKS, PLANTS, WOOD

Run = Callable[..., object]

PLANTING = """
tree add "Stoneway Pearmain" --species apple --place "home row" --row 1 --order 1 --acquired 2015-11-02 --on 2026-11-05
tree add "Butter Bergamot" --species pear --place "home row" --row 1 --order 2 --acquired 2015-11-02 --on 2026-11-05
tree add "Kilwarden Pippin" --species apple --place Orchard --acquired 2016-11-02 --on 2026-11-05
tree add "Quern Russet" --species apple --place Orchard --acquired 2016-11-02 --on 2026-11-05
tree add "Tolm Beauty" --species apple --place Orchard --acquired 2016-11-02 --on 2026-11-05
tree add "Harrow Codlin" --species apple --place Orchard --acquired 2016-11-02 --on 2026-11-05
tree add "Stoneway Pearmain" --species apple --place Orchard --acquired 2018-11-02 --on 2026-11-05
tree add "Quern Russet" --species apple --place Orchard --acquired 2018-11-02 --on 2026-11-05
tree add "Kilwarden Pippin" --species apple --place "top field" --acquired 2018-11-02 --on 2026-11-05
stock add --seedling --species pear --count 2 --diameter 9mm --place "back room" --acquired 2026-12-01 --on 2026-12-01
stock add MM.106 --count 2 --grade 8-10mm --place "Long Row" --row 3 --acquired 2026-12-01 --on 2026-12-01
stock add MM.106 --diameter 15mm --place "Long Row" --row 3 --acquired 2026-12-01 --on 2026-12-01
stock add MM.106 --count 46 --grade 8-10mm --place "Long Row" --row 3 --acquired 2026-12-01 --on 2026-12-01
stock add MM.106 --count 60 --diameter 9mm --place "Long Row" --row 1 --acquired 2025-12-01 --on 2025-12-01
stock add M.26 --count 30 --diameter 9mm --place "Long Row" --row 2 --acquired 2026-12-01 --on 2026-12-01
want add "Stoneway Pearmain" 3 --living 2 --species apple --for "the school" --on 2026-12-10
people add "Marl Winter" --initials MW
want add "Quern Russet" 4 --species apple --on 2026-12-10
want add "Kilwarden Pippin" 8 --species apple --on 2026-12-10
want add "Harrow Codlin" 2 --species apple --on 2026-12-10
want add "Tolm Beauty" 6 --species apple --on 2026-12-10
"""

WINTER = """
prune P3 --on 2026-01-10 --save "10 sticks 8-10mm 30cm 6 buds"
graft W1 P61-P64 --method whip-and-tongue --tie rubber --place bench --on 2026-04-02
graft W1 P9 --method cleft --limb A --position "NW 54in" --on 2026-04-04
look G1-G5 pushing --on 2026-05-10
look G1-G5 growing --on 2026-06-20 --except G3
look G3 dead --union yes --on 2026-06-20
look G1-G5 growing --on 2026-09-01 --except G3
prune P2 --on 2027-01-10 --save "6 sticks 8-10mm 30cm 6 buds"
prune P4 --on 2027-01-10 --save "6 sticks 8-10mm 30cm 6 buds"
prune P5 --on 2027-01-10 --save "6 sticks 8-10mm 30cm 6 buds"
prune P6 --on 2027-01-10 --save "6 sticks 8-10mm 30cm 6 buds"
prune P8 --on 2027-01-10 --save "30 sticks 8-10mm 30cm 6 buds"
prune P7 --on 2027-01-12 --save "5 sticks 8-10mm 30cm 6 buds"
prune P3 --on 2027-01-14 --save "40 sticks 8-10mm 30cm 6 buds"
wood receive "Tolm Beauty" --from "Ilo M." --sticks 6 --species apple --diameter 8-10mm --buds 6 --condition sound --on 2027-01-20
wood store W1-W9 --store cellar --temperature 3C --on 2027-01-21
wood request "Quern Russet" --for "Ilo M." --sticks 3 --on 2027-01-22
wood request "Tolm Beauty" --for "Ilo M." --sticks 2 --on 2027-01-22
wood request "Harrow Codlin" --for "Orchard club" --sticks 2 --on 2027-01-22
weather import spring.csv --station Kilbride --latitude 52.3
weather use Kilbride
weather place "back room" --constant 18C --from 2027-02-01
tree stage P1-P9 "green tip" --on 2027-03-24
plan --on 2027-03-10
plan --on 2027-03-12
plan --on 2027-03-14
tags P1-P3 --medium stake-152x25 --on 2027-03-15 -o one.pdf
tags P4-P6 --medium stake-152x25 --on 2027-03-15 -o two.pdf
tags P12-P60 --medium stake-152x25 --on 2027-03-15 -o three.pdf
"""

# A hundred grafts and five on the tree of many limbs, by day, wood, host, method and the rest.
GRAFTING = """
graft W6 P9 --method cleft --limb C --on 2027-03-22
graft W3 P9 --method cleft --limb B --on 2027-03-22
graft W8 P65-P72 --method whip-and-tongue --tie rubber --on 2027-03-28
graft W6 P73-P82 --method cleft --tie tape --on 2027-04-04
graft W8 P83-P92 --method whip-and-tongue --tie rubber --on 2027-04-12
graft W6 P93-P102 --method cleft --tie tape --on 2027-04-20
graft W8 P103-P112 --method whip-and-tongue --tie tape --on 2027-04-28
graft W6 P113-P120 --method cleft --tie rubber --on 2027-05-04
prune P8 --on 2027-08-02 --save "10 sticks 8-10mm 30cm 8 buds"
graft W10 P121-P150 --method chip-bud --tie tape --on 2027-08-05
graft W10 P121-P132 --method chip-bud --tie tape --on 2027-08-05
"""

ROUNDS = """
look G1-G7 swelling --on 2027-04-20
look G1-G40 pushing --on 2027-05-15
look G41-G63 swelling --on 2027-05-15
look G3,G9,G18,G24,G31,G36,G39 dead --on 2027-06-10 --union yes
look G1-G40 growing --on 2027-06-25 --except G3,G9,G18,G24,G31,G36,G39
look G41-G63 growing --on 2027-06-25 --except G44,G47,G50,G52,G53,G55,G57,G59,G61,G62
look G44,G47,G50,G52 dead --on 2027-06-25 --cause drought --union no
look G53,G55,G57,G59,G61,G62 dead --on 2027-06-25
look G1-G63 growing --on 2027-09-01 --except G3,G6,G9,G18,G24,G31,G36,G39,G44,G47,G50,G52,G53,G55,G57,G59,G61,G62
look G76-G92 not-set --on 2027-09-01
look G64-G75,G93-G105 set --on 2027-09-01
look G7 dead --on 2027-11-02 --cause wind --union no
care G1-G4,P12 rub off --on 2027-06-25
name P5 "Tolm Beauty or Harrow Codlin" --on 2027-10-01
name synonym "Old Codlin" --of "Harrow Codlin" --on 2027-10-01
tags blank 6 --for "barn day" --medium stake-152x25 -o blank-six.pdf --on 2027-10-02
"""


def words_of(text: str) -> list[list[str]]:
    """The commands of a text, a line each, as words."""
    return [shlex.split(line) for line in text.splitlines() if line.strip()]


def make(run: Run) -> None:
    """Type the year into an empty book, in the folder one is in."""
    Path("spring.csv").write_text(_weather("date,min (°C),max (°C)", date(2026, 3, 1), 480), encoding="utf-8")
    for words in words_of(PLANTING + WINTER + GRAFTING + ROUNDS):
        run(*words)


def files() -> None:
    """What the examples read, in the folder one is in: weather in two forms, four sheets to import, pictures of tags."""
    first = date(2027, 1, 1)
    Path("logger.csv").write_text(_weather("Day,Low,High", first, 90, fahrenheit=True), encoding="utf-8")
    lines = [f"USW00014735202709{name}" + "".join(f"{ten:>5}   " for ten in [*range(low, low + 30), -9999])
             for name, low in (("TMIN", 10), ("TMAX", 90))]  # fmt: skip
    Path("USW00014735.dly").write_text("\n".join(lines) + "\n", encoding="utf-8")
    for name, text in (("plants", PLANTS), ("wood", WOOD), ("grafts", GRAFTS), ("looks", LOOKS)):
        Path(f"{name}.csv").write_text(text, encoding="utf-8")
    _club_log()


def _club_log() -> None:
    """A club's own sheet, some of its rows unclear."""
    from openpyxl import Workbook

    book = Workbook()
    rows = (("M9", "yes"), ("Bud 9", "no"), ("MM9", "yes"), *(("M9", "3/4"),) * 4)
    for row in (("Variety", "Rootstock", "Cal", "Date", "Result"), *(("Tolm Beauty", *each) for each in (
        (stock, 9, date(2027, 4, 2), result) for stock, result in rows
    ))):  # fmt: skip
        book.active.append(row)
    book.save("club log.xlsx")


def pictures(run: Run) -> None:
    """Photos of printed tags of grafts: `tray.jpg` and `bench.jpg`."""
    import pypdfium2

    run("tags", "G1-G6", "--medium", "stake-152x25", "-o", "tray.pdf")
    document = pypdfium2.PdfDocument("tray.pdf")
    document[0].render(scale=200 / 72, grayscale=True).to_pil().save("tray.jpg")
    document.close()
    shutil.copy("tray.jpg", "bench.jpg")


def _weather(header: str, first: date, days: int, fahrenheit: bool = False) -> str:
    """Days coldest in mid January: lows from -2 to 16 C, highs nine more."""
    lines = [header]
    for at in range(days):
        day = first + timedelta(days=at)
        away = abs((day - date(2027, 1, 15)).days)
        ends = (away / 10 - 2, away / 10 + 7)
        shown = [end * 9 / 5 + 32 for end in ends] if fahrenheit else ends
        lines.append(f"{day},{shown[0]:.1f},{shown[1]:.1f}")
    return "\n".join(lines) + "\n"
