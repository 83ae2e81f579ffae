"""The clocks of the grafter's year: its turn, how long wood keeps, what aftercare is due."""
