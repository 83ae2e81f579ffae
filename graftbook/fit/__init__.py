"""Which wood fits which stock by which method, with the reasons."""
