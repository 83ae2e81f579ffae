"""The record, and the only room that knows SQL."""
