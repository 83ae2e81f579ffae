"""What one printer does to one medium: how far it shifts, whether it prints true to size, how fine its dots are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

from graftbook.errors import UsageProblem

FIELDS = ("printer", "medium", "shift_right_mm", "shift_down_mm", "scale_across", "scale_down", "dpi")


@dataclass(frozen=True)
class Printer:
    """A printer's setting for a medium. Shifts in mm, -25 to 25; scales are true length over printed length, 0.9 to 1.1;
    `dpi` None means not known."""

    printer: str
    medium: str
    shift_right_mm: float = 0.0
    shift_down_mm: float = 0.0
    scale_across: float = 1.0
    scale_down: float = 1.0
    dpi: int | None = None


def parse(given: Mapping[str, str]) -> dict[str, str]:
    """The cells of a printer's row, checked. Raises UsageProblem naming every cell that cannot stand."""
    wrong = [f"no field {name}" for name in given if name not in FIELDS]
    wrong += [f"{name} is missing" for name in ("printer", "medium") if not given.get(name, "").strip()]
    row = {name: given.get(name, "").strip() for name in FIELDS}
    for name, low, high in (
        ("shift_right_mm", -25, 25), ("shift_down_mm", -25, 25), ("scale_across", 0.9, 1.1), ("scale_down", 0.9, 1.1),
        ("dpi", 100, 4800),
    ):  # fmt: skip
        if row[name] and not _between(row[name], low, high):
            wrong.append(f"{name} is {row[name]}, not from {low} to {high}")
    if wrong:
        raise UsageProblem(f"a printer's setting of {', '.join(FIELDS)}", "; ".join(wrong))
    return row


def of_row(row: Mapping[str, str]) -> Printer:
    """A setting from a checked row."""
    numbers = {field.name: float(row[field.name]) for field in fields(Printer)[2:6] if row.get(field.name)}
    return Printer(row["printer"], row["medium"], dpi=int(float(row["dpi"])) if row.get("dpi") else None, **numbers)


def to_row(printer: Printer) -> dict[str, str]:
    """The row of a setting."""
    values = {field.name: getattr(printer, field.name) for field in fields(Printer)}
    return parse({name: "" if value is None else f"{value:.10g}" if isinstance(value, float) else str(value)
                  for name, value in values.items()})  # fmt: skip


def _between(text: str, low: float, high: float) -> bool:
    try:
        return low <= float(text) <= high
    except ValueError:
        return False
