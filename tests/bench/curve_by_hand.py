"""The yardstick for take curve: what a person with pandas and statsmodels would write for this one question of this one book.

`python tests/bench/curve_by_hand.py BOOK` reads the grafts and looks of a SQLite book, judges took by the same rule, and fits
one smooth logistic line a kind over the day of the season, its penalty chosen by AIC, with a band at one x.
"""

from __future__ import annotations

import sqlite3
import sys

import numpy as np
import pandas as pd
import statsmodels.api as sm
from statsmodels.gam.api import BSplines, GLMGam

AS_OF = "2027-11-30"
JUDGE_DAYS = {"whip-and-tongue": 60, "cleft": 60, "bark": 60, "chip-bud": 30, "T-bud": 30}


def judged(book: str) -> pd.DataFrame:
    """Every graft with whether it took (1, 0, or missing while not decided)."""
    with sqlite3.connect(book) as connection:
        grafts = pd.read_sql(
            "SELECT graft.id, unit, method, made_on, taxon FROM graft JOIN bundle ON bundle.id = bundle_id",
            connection, parse_dates=["made_on"],
        )  # fmt: skip
        looks = pd.read_sql(
            'SELECT graft_id, "on", state, union_fault FROM look ORDER BY graft_id, "on", id',
            connection,
            parse_dates=["on"],
        )
    looks = looks[looks.on <= AS_OF].merge(grafts[["id", "made_on", "method"]], left_on="graft_id", right_on="id")
    growing = looks[looks.state == "growing"]
    old = growing.on >= growing.made_on + pd.to_timedelta(growing.method.map(JUDGE_DAYS), unit="D")
    took = set(growing.graft_id[old]) | set(growing.groupby("graft_id").on.nunique().loc[lambda days: days > 1].index)
    last = looks.groupby("graft_id").tail(1).set_index("graft_id")
    failed = last[last.state.isin(["dead", "not-set"]) & ~((last.union_fault == "no") & (last.state == "dead"))].index
    grafts["took"] = np.where(grafts.id.isin(took), 1.0, np.where(grafts.id.isin(failed), 0.0, np.nan))
    start = pd.to_datetime((grafts.made_on.dt.year - (grafts.made_on.dt.month < 11)).astype(str) + "-11-01")
    grafts["x"] = (grafts.made_on - start).dt.days.astype(float)
    return grafts.dropna(subset="took")


def main(book: str) -> None:
    """One line a kind and unit."""
    for (taxon, unit), kind in judged(book).groupby(["taxon", "unit"]):
        if kind.x.nunique() < 5:
            print(taxon, unit, "too few days")
            continue
        cells = kind.groupby("x").took.agg(["sum", "count"]).reset_index()
        splines = BSplines(cells.x, df=[13], degree=[3])
        counts = np.column_stack([cells["sum"], cells["count"] - cells["sum"]])
        best = min(
            (
                GLMGam(counts, smoother=splines, alpha=10.0**step, family=sm.families.Binomial()).fit()
                for step in range(-3, 7)
            ),
            key=lambda fit: fit.aic,
        )
        low, high = best.get_prediction().conf_int().T
        print(
            taxon, unit, int(cells["sum"].sum()), int(cells["count"].sum()), round(low.min(), 3), round(high.max(), 3)
        )


if __name__ == "__main__":
    main(sys.argv[1])
