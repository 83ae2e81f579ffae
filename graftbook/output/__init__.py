"""Results into what people and programs read: tables, JSON and CSV."""
