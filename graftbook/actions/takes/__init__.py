"""How often grafts took: factors, judging by endpoint, rows with their ranges, what went along with what.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "advice", "confounders", "early", "factor_text", "factors", "green_tip", "judging", "question", "take_rows", "take_table",
    "timing",
)  # fmt: skip
