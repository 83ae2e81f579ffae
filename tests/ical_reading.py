"""A reader of calendar files written from RFC 5545 alone, which shares no code with the library that writes them.

It is strict: what the standard forbids is an AssertionError that names the section.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

_LINE = re.compile(r'([A-Z0-9-]+)((?:;[A-Z0-9-]+=(?:"[^"]*"|[^";:,]*)(?:,(?:"[^"]*"|[^";:,]*))*)*):(.*)', re.DOTALL)
_ESCAPE = re.compile(r"\\(.)", re.DOTALL)
_DURATION = re.compile(r"[+-]?P(?:\d+W|(?:\d+D)?(?:T(?:\d+H)?(?:\d+M)?(?:\d+S)?)?)$")
TEXTS = ("SUMMARY", "DESCRIPTION", "LOCATION")
STATUSES = {"VEVENT": ("TENTATIVE", "CONFIRMED", "CANCELLED"),
            "VTODO": ("NEEDS-ACTION", "COMPLETED", "IN-PROCESS", "CANCELLED")}  # fmt: skip


@dataclass
class Component:
    """A component: its name, its properties as name -> (parameters, value as written), and what lies in it."""

    name: str
    properties: dict[str, tuple[dict[str, str], str]] = field(default_factory=dict)
    inside: list[Component] = field(default_factory=list)

    def text(self, name: str) -> str:
        """A TEXT value with its escapes undone (3.3.11)."""
        value = self.properties[name][1]
        bare = re.sub(r"\\.", "", value)
        assert not re.search(r"[,;\\\n]", bare), f"3.3.11: , ; and \\ are escaped in TEXT: {value!r}"
        assert all(sign in "\\;,nN" for sign in _ESCAPE.findall(value)), f"3.3.11: unknown escape in {value!r}"
        return _ESCAPE.sub(lambda match: "\n" if match[1] in "nN" else match[1], value)

    def value(self, name: str) -> str:
        return self.properties[name][1]

    def parameters(self, name: str) -> dict[str, str]:
        return self.properties[name][0]


def read(content: bytes) -> Component:
    """The calendar of a file, checked against the rules that bear on what Graftbook writes."""
    assert content.endswith(b"\r\n"), "3.1: every line ends in CRLF"
    assert content.count(b"\n") == content.count(b"\r\n") == content.count(b"\r"), "3.1: no bare CR or LF"
    physical = content.split(b"\r\n")[:-1]
    for line in physical:
        assert len(line) <= 75, f"3.1: no line over 75 octets: {line!r}"
        line.decode("utf-8")  # a character split by folding would not decode
    lines: list[str] = []
    for line in physical:
        if line[:1] in (b" ", b"\t"):
            lines[-1] += line[1:].decode()
        else:
            lines.append(line.decode())
    calendar, rest = _component(lines, 0)
    assert rest == len(lines), "3.4: one calendar"
    _check_calendar(calendar)
    return calendar


def _component(lines: list[str], at: int) -> tuple[Component, int]:
    begin = lines[at]
    assert begin.startswith("BEGIN:"), f"3.4: a component begins, not {begin!r}"
    made, at = Component(begin[6:]), at + 1
    while not lines[at].startswith("END:"):
        if lines[at].startswith("BEGIN:"):
            part, at = _component(lines, at)
            made.inside.append(part)
            continue
        match = _LINE.fullmatch(lines[at])
        assert match is not None, f"3.1: a content line is name, parameters and value: {lines[at]!r}"
        assert match[1] not in made.properties, f"3.6: {match[1]} once in {made.name}"
        parameters = dict(part.split("=", 1) for part in match[2].split(";") if part)
        made.properties[match[1]] = (parameters, match[3])
        at += 1
    assert lines[at] == f"END:{made.name}", f"3.4: {made.name} ends"
    return made, at + 1


def _check_calendar(calendar: Component) -> None:
    assert calendar.name == "VCALENDAR"
    assert calendar.value("VERSION") == "2.0", "3.7.4"
    assert calendar.value("PRODID"), "3.7.3"
    uids = [part.value("UID") for part in calendar.inside]
    assert len(uids) == len(set(uids)), "3.8.4.7: a UID is that of one entry"
    for part in calendar.inside:
        _check_entry(part)


def _check_entry(entry: Component) -> None:
    assert entry.name in STATUSES, f"3.6: {entry.name}"
    assert len(entry.value("UID").encode()) <= 255, "3.8.4.7"
    for name in ("DTSTAMP", "LAST-MODIFIED"):
        assert re.fullmatch(r"\d{8}T\d{6}Z", entry.value(name)), f"3.8.7.2, 3.8.7.3: {name} in UTC"
    assert int(entry.value("SEQUENCE")) >= 0, "3.8.7.4"
    assert entry.value("STATUS") in STATUSES[entry.name], "3.8.1.11"
    day = "DTSTART" if entry.name == "VEVENT" else "DUE"
    assert entry.parameters(day) == {"VALUE": "DATE"}, "3.2.20: a day says that it is one"
    assert re.fullmatch(r"\d{8}", entry.value(day)), "3.3.4"
    for name in TEXTS:
        if name in entry.properties:
            entry.text(name)
    for alarm in entry.inside:
        assert alarm.name == "VALARM", "3.6.6"
        assert alarm.value("ACTION") == "DISPLAY" and alarm.text("DESCRIPTION"), "3.6.6"
        assert _DURATION.fullmatch(alarm.value("TRIGGER")), "3.3.6"
        if entry.name == "VTODO":
            assert alarm.parameters("TRIGGER").get("RELATED") == "END", "3.8.6.3: with a DUE only, tied to the end"


class Program:
    """A calendar program that takes files in: what it holds by UID, the higher SEQUENCE winning, else the later DTSTAMP
    (RFC 5546, 2.1.5); what is cancelled goes."""

    def __init__(self) -> None:
        self.held: dict[str, Component] = {}
        self._newest: dict[str, tuple[int, str]] = {}

    def take_in(self, content: bytes) -> None:
        for entry in read(content).inside:
            uid, age = entry.value("UID"), (int(entry.value("SEQUENCE")), entry.value("DTSTAMP"))
            if uid in self._newest and age < self._newest[uid]:
                continue
            self._newest[uid] = age
            if entry.value("STATUS") == "CANCELLED":
                self.held.pop(uid, None)
            else:
                self.held[uid] = entry

    def days(self) -> list[tuple[str, str]]:
        """Day and summary of all it shows, in order."""
        day = {"VEVENT": "DTSTART", "VTODO": "DUE"}
        return sorted((entry.value(day[entry.name]), entry.text("SUMMARY")) for entry in self.held.values())
