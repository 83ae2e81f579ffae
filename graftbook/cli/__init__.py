"""The command line: parse, call one action, render. No decisions are taken here."""
