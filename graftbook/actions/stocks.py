"""Stocks measured: one by one, or as a grade."""

from __future__ import annotations

from collections.abc import Sequence

from graftbook import units
from graftbook.actions import plant_words
from graftbook.actions.desk import Desk
from graftbook.actions.plants import alive_on, dated_note, find_plants, not_older
from graftbook.actions.results import Recorded, code_list, count
from graftbook.errors import UsageProblem


def measure(
    desk: Desk, text: str, diameters: Sequence[str] = (), grade: str | None = None, on: str | None = None,
    who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record a diameter for each plant in the order of the codes, or one grade for all of them.

    A grade takes the place of diameters measured before. Raises UsageProblem unless there are as many diameters as plants.
    """
    if bool(diameters) == (grade is not None):
        raise UsageProblem(
            "either diameters or a grade", "both" if diameters else "neither",
            "Such as: graftbook stock measure P12-P13 8.1mm 8.4mm, or graftbook stock measure P12-P60 --grade 6-8mm",
        )  # fmt: skip
    day = desk.day(on)
    with desk.book.write("measure", desk.person(who)) as unit:
        plants = find_plants(unit.session, text)
        named = tuple(plant.code for plant in plants)
        if grade is not None:
            each = [_grade(desk, grade)] * len(plants)
        else:
            each = _diameters(desk, named, diameters)
        for plant, values in zip(plants, each, strict=True):
            alive_on(plant, day, "diameter")
            not_older(plant, day, plant.measured_on, "diameter")
            unit.amend(plant, measured_on=day, **values, **dated_note(plant, day, note))
        entry = unit.commit(f"Measured {code_list(named)}: {_said(desk, each)}, {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id, named)


def _grade(desk: Desk, text: str) -> dict[str, float | None]:
    values = plant_words.grade_values(desk, text)
    if values["grade_min_mm"] is None:
        raise UsageProblem("a grade, such as 6-8mm", repr(text))
    return {**values, "diameter_mm": None}


def _diameters(desk: Desk, named: tuple[str, ...], texts: Sequence[str]) -> list[dict[str, float | None]]:
    if len(texts) != len(named):
        raise UsageProblem(
            f"{count(len(named), 'diameter')}, one for each of {code_list(named)}", f"{len(texts)}",
            "Nothing was recorded; for one size for all of them use --grade",
        )  # fmt: skip
    return [{"diameter_mm": desk.length(text, units.STOCK_DIAMETER)} for text in texts]


def _said(desk: Desk, each: Sequence[dict[str, float | None]]) -> str:
    unit = desk.settings.units
    if "grade_min_mm" in each[0]:
        return f"grade {units.show_range(each[0]['grade_min_mm'], each[0]['grade_max_mm'], unit)}"
    sizes = [units.show_length(values["diameter_mm"], unit) for values in each]
    return ", ".join(sizes if len(sizes) <= 8 else [*sizes[:6], "…", sizes[-1]])
