"""Sheets to carry and pages to read as PDF: plain values this room defines go in, bytes of a file come out."""
