"""What the grafting trade knows, as tables with their sources, and the questions a grower puts to them."""
