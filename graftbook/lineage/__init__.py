"""Identity of a thing by the statements on it, its ancestors and descendants, and what was exposed: pure, over plain arrays."""
