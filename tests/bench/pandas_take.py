"""The yardstick of take: the same sums by hand with pandas over the book's own tables. Run as a whole process.

`pandas_take.py take BOOK DAY` prints made, took, failed, lost and not decided by kind, method and unit; `pandas_take.py
compare BOOK DAY` the Mantel-Haenszel odds ratio and the CMH chance of cleft against whip-and-tongue within kinds. Grafts on
grafts and grafts gone home, of which the invented book has none, are left out of the rules.
"""

import csv
import sqlite3
import sys
from pathlib import Path

import numpy as np
import pandas as pd

METHODS = Path(__file__).parents[2] / "graftbook" / "trade" / "data" / "methods.csv"
GRAFTS = """SELECT g.id, g.unit, g.method, g.made_on, coalesce(b.taxon, p.taxon) AS taxon FROM graft g
    LEFT JOIN bundle b ON b.id = g.bundle_id LEFT JOIN plant p ON p.id = g.host_plant_id WHERE g.made_on <= ?"""
LOOKS = 'SELECT graft_id, "on", state, union_fault FROM look WHERE "on" <= ? ORDER BY graft_id, "on", id'


def judge_days() -> dict[str, int]:
    with METHODS.open(encoding="utf-8", newline="") as lines:
        return {row["method"]: int(row["judge_days"]) for row in csv.DictReader(lines)}


def outcomes(book: str, day: str) -> pd.DataFrame:
    """Every graft with what became of it by the rule of `took`."""
    with sqlite3.connect(book) as held:
        grafts = pd.read_sql(GRAFTS, held, params=[day], parse_dates=["made_on"]).set_index("id")
        looks = pd.read_sql(LOOKS, held, params=[day], parse_dates=["on"])
    grafts["age"] = pd.to_timedelta(grafts["method"].map(judge_days()).fillna(60), unit="D")
    looks = looks.join(grafts[["made_on", "age"]], on="graft_id", how="inner")
    forced = looks[looks["state"] == "forced"].groupby("graft_id")["on"].min()
    looks["judge_from"] = looks["graft_id"].map(forced).fillna(looks["made_on"]) + looks["age"]
    growing = looks[looks["state"] == "growing"]
    late = growing[growing["on"] >= growing["judge_from"]]["graft_id"].unique()
    days = growing.groupby("graft_id")["on"].nunique()
    took = grafts.index.isin(late) | grafts.index.isin(days[days > 1].index)
    last = looks[looks["state"] != "not-found"].groupby("graft_id").last()  # of each column the last that was said
    final = looks.groupby("graft_id")["state"].last()
    grafts = grafts.join(last[["state", "union_fault", "on"]]).join(final.rename("final"))
    gone = grafts["state"].isin(["dead", "not-set"])
    lost = gone & (grafts["state"] == "dead") & (grafts["union_fault"] == "no")
    end = grafts["made_on"] + pd.Timedelta(days=120)
    year = end.dt.year + (end.dt.month >= 11)
    deadline = pd.to_datetime(year.astype(str) + "-10-31")
    never = (grafts["on"] >= grafts["made_on"] + grafts["age"]) & (pd.Timestamp(day) > deadline)
    grafts["outcome"] = np.select(
        [took, lost, gone, grafts["final"] == "not-found", never],
        ["yes", "lost", "failed", "unknown", "failed"],
        "waiting",
    )
    return grafts


def take(book: str, day: str) -> None:
    """Counts by kind, method and unit, and Wilson's range of each."""
    table = outcomes(book, day).groupby(["taxon", "method", "unit", "outcome"]).size().unstack(fill_value=0)
    for name in ("yes", "failed", "lost", "waiting", "unknown"):
        if name not in table:
            table[name] = 0
    k, n, z = table["yes"], table["yes"] + table["failed"], 1.959963984540054
    middle, reach = k / n + z * z / (2 * n), z * np.sqrt(k / n * (1 - k / n) / n + z * z / (4 * n * n))
    table["low"], table["high"] = (middle - reach) / (1 + z * z / n), (middle + reach) / (1 + z * z / n)
    for (taxon, method, unit), row in table.iterrows():
        made = int(row[["yes", "failed", "lost", "waiting", "unknown"]].sum())
        print(taxon, method, unit, made, int(row["yes"]), int(row["failed"]), int(row["lost"]), sep=",")


def compare(book: str, day: str) -> None:
    """The common odds ratio and the test of cleft against whip-and-tongue within kinds and units."""
    from scipy.stats import chi2

    held = outcomes(book, day)
    held = held[held["method"].isin(["cleft", "whip-and-tongue"]) & held["outcome"].isin(["yes", "failed"])]
    over = under = gap = spread = 0.0
    for _, part in held.groupby(["taxon", "unit"]):
        first, second = (part[part["method"] == method]["outcome"] == "yes" for method in ("cleft", "whip-and-tongue"))
        n1, n2, k1, k2 = len(first), len(second), int(first.sum()), int(second.sum())
        total, all_took = n1 + n2, k1 + k2
        if min(n1, n2) and 0 < all_took < total:
            over, under = over + k1 * (n2 - k2) / total, under + (n1 - k1) * k2 / total
            gap += k1 - n1 * all_took / total
            spread += n1 * n2 * all_took * (total - all_took) / (total**2 * (total - 1))
    print(f"{over / under:.6f},{chi2.sf(gap**2 / spread, 1):.6g}")


if __name__ == "__main__":
    {"take": take, "compare": compare}[sys.argv[1]](sys.argv[2], sys.argv[3])
