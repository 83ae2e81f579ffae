"""Growers' own spreadsheets: bytes into tables, and tables, by a reading that can be shown and mended, into plain facts."""
