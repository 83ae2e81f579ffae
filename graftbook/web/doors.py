"""Who comes in: the key that opens once, the code to join with and its tries, signed cookies and signed forms.

A cookie holds who its bearer is and when it was given, signed; nothing else is trusted. A form carries a token made of the
same secret and the bearer, so that no other page can have made it.
"""

from __future__ import annotations

import secrets
import time
from collections import deque
from hashlib import sha256

from itsdangerous import BadSignature, Signer, URLSafeTimedSerializer

from graftbook.web.kept import Member, Members

DAYS = 30
"""So long a cookie lets its bearer in."""
SIGNS = "0123456789ACDEFGHJKMNPQRTVWXY"
_ALIKE = str.maketrans("OILSBZU", "011582V")
CODE_SIGNS = 10
"""Signs of a code to join with: 10 of 29, 48 bits."""
TRIES, WITHIN_SECONDS = 8, 600
"""Wrong codes one address may try in that time; all addresses together eight times as many."""


class Doors:
    """The ways in to the bench of one book. `codes` are what others join with, by the role each gives; empty where nobody can."""

    def __init__(self, members: Members, *, lan: bool) -> None:
        self.members = members
        self.codes = {role: _new_code() for role in ("record", "look")} if lan else {}
        self._key: str | None = secrets.token_urlsafe(24)
        self._cookies = URLSafeTimedSerializer(
            members.secret, salt="graftbook bench cookie", signer_kwargs={"digest_method": sha256}
        )
        self._forms = Signer(members.secret, salt="graftbook bench form", digest_method=sha256)
        self._wrong: deque[tuple[float, str]] = deque()

    @property
    def key(self) -> str | None:
        """The key that opens once, None when it has been used."""
        return self._key

    def open(self, key: str, name: str) -> Member | None:
        """The owner, let in by the key; None for a wrong key or one that was used."""
        if self._key is None or not secrets.compare_digest(key.encode(), self._key.encode()):
            return None
        self._key = None
        return self.members.join(name, "owner")

    def shut(self, address: str, now: float | None = None) -> bool:
        """Whether an address has tried too many wrong codes to try another."""
        moment = time.monotonic() if now is None else now
        while self._wrong and self._wrong[0][0] < moment - WITHIN_SECONDS:
            self._wrong.popleft()
        return sum(who == address for _, who in self._wrong) >= TRIES or len(self._wrong) >= 8 * TRIES

    def join(self, code: str, name: str, address: str) -> Member | None:
        """Someone new, let in by a code to join with, in its role; None for a wrong code, which counts as a try."""
        given = "".join(sign for sign in code.upper() if sign.isalnum()).translate(_ALIKE)
        for role, right in self.codes.items():
            if secrets.compare_digest(given.encode(), right.encode()):
                return self.members.join(name, role)
        self._wrong.append((time.monotonic(), address))
        return None

    def cookie(self, member: Member) -> str:
        """What the cookie of a member holds."""
        return str(self._cookies.dumps(member.id))

    def bearer(self, cookie: str | None) -> Member | None:
        """Whose cookie it is; None for none, one that was not given here or too long ago, and one sent away."""
        if not cookie:
            return None
        try:
            id_ = self._cookies.loads(cookie, max_age=DAYS * 86_400)
        except BadSignature:
            return None
        return self.members.get(id_) if isinstance(id_, str) else None

    def token(self, member: Member | None) -> str:
        """What the forms on a member's pages carry."""
        return self._forms.get_signature((member.id if member is not None else "nobody").encode()).decode()

    def made_here(self, token: str, member: Member | None) -> bool:
        """Whether a form with this token was made for this member."""
        return secrets.compare_digest(token.encode(), self.token(member).encode())


def _new_code() -> str:
    return "".join(secrets.choice(SIGNS) for _ in range(CODE_SIGNS))


def in_groups(code: str) -> str:
    """A code to join with as it is read out: in two groups."""
    return f"{code[:5]}-{code[5:]}"
