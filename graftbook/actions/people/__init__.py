"""People, wood received from them and asked for by them, and what took of it.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("donor_results", "people", "receiving", "requests")
