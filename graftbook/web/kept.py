"""What the bench keeps between two starts beside the book: its secret, and who has joined.

A phone that has joined stays joined when the laptop is started again, and one that was sent away stays away. The file lies in
the user's own data directory, readable to that user alone, and is written whole or not at all.
"""

from __future__ import annotations

import json
import os
import secrets
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from threading import Lock

ROLES = ("look", "record", "owner")
"""What a member may do, each all that those before it may: look, record, and all that the person at the book itself may."""
MOST_KEPT = 500


@dataclass(frozen=True)
class Member:
    """Someone who has joined: `name` is the `who` of their entries ('' for nobody in particular); `joined` an ISO moment in
    UTC; `ended` tells that they were sent away."""

    id: str
    name: str
    role: str
    joined: str
    ended: bool = False

    def may(self, role: str) -> bool:
        """Whether this member may do what `role` may."""
        return not self.ended and ROLES.index(self.role) >= ROLES.index(role)


class Members:
    """Who has joined the bench of one book, and the secret their cookies are signed with."""

    def __init__(self, file: Path | None) -> None:
        """`file` None keeps nothing."""
        self._file, self._lock = file, Lock()
        held = _held(file)
        self.secret = str(held.get("secret") or secrets.token_urlsafe(32))
        self._all = {row["id"]: Member(**row) for row in held.get("members", ())}

    @classmethod
    def of_book(cls, location: str) -> Members:
        """Those of the book at a place."""
        from platformdirs import user_data_dir

        where = location if "://" in location else str(Path(location).expanduser().resolve())
        folder = Path(user_data_dir("graftbook", appauthor=False)) / "bench"
        return cls(folder / f"{sha256(where.encode()).hexdigest()[:24]}.json")

    def get(self, id_: str) -> Member | None:
        """The member, None for one that never joined or was sent away."""
        found = self._all.get(id_)
        return None if found is None or found.ended else found

    def every(self) -> tuple[Member, ...]:
        """Everyone who has joined and may come in, the newest first."""
        return tuple(reversed([each for each in self._all.values() if not each.ended]))

    def join(self, name: str, role: str) -> Member:
        """Let someone in."""
        moment = datetime.now(UTC).isoformat(timespec="seconds")
        return self._put(Member(secrets.token_urlsafe(12), name.strip()[:80], role, moment))

    def end(self, id_: str) -> Member | None:
        """Send a member away; None where there is no such member."""
        found = self.get(id_)
        return None if found is None else self._put(replace(found, ended=True))

    def _put(self, member: Member) -> Member:
        with self._lock:
            self._all[member.id] = member
            self._keep()
        return member

    def _keep(self) -> None:
        if self._file is None:
            return
        rows = [asdict(each) for each in list(self._all.values())[-MOST_KEPT:]]
        self._file.parent.mkdir(parents=True, exist_ok=True)
        part = self._file.with_suffix(".part")
        part.unlink(missing_ok=True)
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as out:
            json.dump({"secret": self.secret, "members": rows}, out)
        part.replace(self._file)


def _held(file: Path | None) -> dict:
    """What was kept; nothing where there is no such file or it cannot be read as one."""
    try:
        found = json.loads(file.read_text(encoding="utf-8")) if file is not None else {}
        [Member(**row) for row in found.get("members", ())]
    except (OSError, ValueError, TypeError, AttributeError):
        return {}
    return found
