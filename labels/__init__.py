"""Putting a QR tag on paper: media, code, layout, PDF, and reading tags back from a photo."""
