"""Wants and the plan of a grafting day: what goes where, what it rests on, the sheet, and the day recorded.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = "circumstances", "plan_departures", "plan_inputs", "plan_recording", "plan_sheet", "planning", "wants"
