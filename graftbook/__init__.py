"""Graftbook: the book of a grafter's year, from prunings to living trees."""

__version__ = "0.6.0"
