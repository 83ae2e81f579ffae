"""Small numbers said honestly: how sure a count of a few grafts can be."""
