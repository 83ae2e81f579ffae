"""An invented book of nursery size, as own-format CSV files: the same for the same numbers.

`python tests/bench/invented_book.py FOLDER [GRAFTS]` writes plants, wood, grafts and looks; 50,000 grafts come with 10,000
plants, 3,000 bundles and 250,000 looks, over four seasons.
"""

from __future__ import annotations

import csv
import random
import sys
from datetime import date, timedelta
from pathlib import Path

KINDS = (
    ("Malus domestica", ("MM.106", "M.26", "MM.111"), ("whip-and-tongue", "cleft", "bark", "chip-bud")),
    ("Pyrus communis", ("OHxF 97", "seedling"), ("whip-and-tongue", "cleft", "chip-bud")),
    ("Prunus domestica", ("St. Julien A", "seedling"), ("whip-and-tongue", "chip-bud", "T-bud")),
    ("Prunus avium", ("Colt", "Mazzard"), ("whip-and-tongue", "chip-bud")),
)
TAKES = {"whip-and-tongue": 0.85, "cleft": 0.78, "bark": 0.7, "chip-bud": 0.8, "T-bud": 0.72}
SEASONS = (2022, 2023, 2024, 2025)
BUDS = ("chip-bud", "T-bud")


def write(folder: Path, grafts: int = 50_000, seed: int = 7) -> dict[str, int]:
    """Write the files and return the rows of each."""
    chance = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    plants = list(_plants(chance, max(grafts // 5, 8)))
    wood = list(_wood(chance, max(grafts * 3 // 50, 4)))
    made = list(_grafts(chance, grafts, plants, wood))
    looks = [look for graft in made for look in _looks(chance, graft)]
    _file(folder / "plants.csv", "code,kind,taxon,clone,diameter_mm,place,row,order,acquired_on", plants)
    _file(
        folder / "wood.csv",
        "code,cultivar,taxon,donor,cut_on,sticks,buds_per_stick,diameter_min_mm,diameter_max_mm,wood_kind",
        wood,
    )
    _file(
        folder / "grafts.csv",
        "code,wood,host,method,made_on,scion_mm,stock_mm,buds,tie,who,place",
        [g[:11] for g in made],
    )
    _file(folder / "looks.csv", "graft,on,state,cause,union", looks)
    return {"plants": len(plants), "wood": len(wood), "grafts": len(made), "looks": len(looks)}


def _plants(chance: random.Random, count: int):
    for number in range(1, count + 1):
        taxon, clones, _ = KINDS[number % len(KINDS)]
        yield (f"P{number}", "stock", taxon, chance.choice(clones), round(chance.uniform(6, 14), 1), f"Field {number % 9 + 1}",
               f"{number % 40 + 1}", number, "2021-11-20")  # fmt: skip


def _wood(chance: random.Random, count: int):
    for number in range(1, count + 1):
        taxon = KINDS[number % len(KINDS)][0]
        season = SEASONS[number * len(SEASONS) // (count + 1)]
        summer = number % 7 == 0
        cut = date(season, 8, 1) if summer else date(season, 1, 5) + timedelta(days=chance.randrange(40))
        thick = round(chance.uniform(4, 8), 1)
        yield (f"W{number}", f"Invented {taxon.split()[0]} {number % 170}", taxon, "K.T.", cut.isoformat(), 60, 6, thick, thick + 2,
               "summer" if summer else "dormant")  # fmt: skip


def _grafts(chance: random.Random, count: int, plants: list, wood: list):
    by_kind: dict[str, list] = {}
    for plant in plants:
        by_kind.setdefault(plant[2], []).append(plant)
    for number in range(1, count + 1):
        bundle = wood[(number - 1) * len(wood) // count]
        taxon, summer = bundle[2], bundle[9] == "summer"
        methods = next(kind[2] for kind in KINDS if kind[0] == taxon)
        method = chance.choice([m for m in methods if (m in BUDS) == summer] or methods)
        made = date.fromisoformat(bundle[4]) + timedelta(days=1 if summer else chance.randrange(40, 80))
        plant = chance.choice(by_kind[taxon])
        yield (f"G{number}", bundle[0], plant[0], method, made.isoformat(), bundle[7], plant[4], 1 if method in BUDS else 2,
               "rubber", chance.choice(("A", "B", "C", "D")), plant[5], made)  # fmt: skip


def _looks(chance: random.Random, graft: tuple):
    code, method, made = graft[0], graft[3], graft[11]
    alive = chance.random() < TAKES[method]
    bud = method in BUDS
    words = (
        ("set", "set", "forced", "growing", "growing")
        if bud
        else ("swelling", "pushing", "growing", "growing", "growing")
    )
    days = (25, 60, 230, 310, 360) if bud else (30, 50, 75, 200, 420)
    for at, (days_on, word) in enumerate(zip(days, words, strict=True)):
        on = (made + timedelta(days=days_on)).isoformat()
        if alive or at == 0:
            yield code, on, word, "", ""
        else:
            yield code, on, "dead", "drought" if chance.random() < 0.2 else "", chance.choice(("", "no", "unsure"))


def _file(path: Path, header: str, rows: list) -> None:
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header.split(","))
        writer.writerows(rows)


if __name__ == "__main__":
    print(write(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 50_000))
