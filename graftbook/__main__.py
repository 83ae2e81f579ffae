"""`python -m graftbook`."""

from graftbook.cli.main import run

run()
