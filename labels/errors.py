"""What can go wrong with a tag, as facts: expected, found, what to do next. The caller words it for its own people."""

from __future__ import annotations


class LabelError(Exception):
    """A tag cannot be made or read. Every kind has `expected`, `found` and `next_step`, each without a full stop."""

    expected: str
    found: str
    next_step: str

    def __init__(self, expected: str, found: str, next_step: str) -> None:
        self.expected, self.found, self.next_step = expected, found, next_step

    def __str__(self) -> str:
        return f"expected {self.expected}; found {self.found}; {self.next_step}"


class DoesNotFit(LabelError):
    """The tag is too big for the medium. `fits`: the lines, in order of priority, that would have fitted."""

    def __init__(self, expected: str, found: str, next_step: str, fits: tuple[str, ...] = ()) -> None:
        super().__init__(expected, found, next_step)
        self.fits = fits


class BadPayload(LabelError):
    """The text for the code is empty, too long, or not plain ASCII."""


class BadJob(LabelError):
    """A print job that makes no sense: a start cell that is not on the sheet, no copies, a wild offset or scale."""


class BadMedium(LabelError):
    """A medium whose figures contradict each other. `problems`: all of them, one sentence each."""

    def __init__(self, name: str, problems: tuple[str, ...]) -> None:
        super().__init__(f"figures of {name} that hold together", "; ".join(problems), "measure a sheet and mend it")
        self.name, self.problems = name, problems


class UnknownMedium(LabelError):
    """No medium of that name. `near`: names that look like it, nearest first, perhaps none."""

    def __init__(self, name: str, near: tuple[str, ...]) -> None:
        hint = f"did you mean {' or '.join(near)}" if near else "list the media and choose one"
        super().__init__("the name of a medium", name, hint)
        self.name, self.near = name, near


class MissingGlyph(LabelError):
    """The font cannot print some characters of `text`. `missing`: those characters, each once, in order."""

    def __init__(self, text: str, missing: tuple[str, ...]) -> None:
        named = ", ".join(f"{c if c.isprintable() else 'control character'} (U+{ord(c):04X})" for c in missing)
        super().__init__("characters the tag font can print", f"{named} in {text!r}", "write it in other letters")
        self.text, self.missing = text, missing


class MissingLibrary(LabelError):
    """A library needed for this is not installed. `package`: what to install."""

    def __init__(self, expected: str, package: str) -> None:
        super().__init__(expected, "it is not installed", f"run: pip install {package}")


class UnreadableImage(LabelError):
    """The picture cannot be opened or is too large."""
