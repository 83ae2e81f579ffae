"""Many phones at one bench: how long a page and a look take at the server, and whether any was refused.

`python tests/bench/phones.py [PHONES [SECONDS [GRAFTS]]]` serves an invented book on this
computer; each phone records one look every two seconds and opens the thing it looked at. Figures are printed, nothing is asserted.
"""

from __future__ import annotations

import asyncio
import os
import random
import re
import sys
import tempfile
import time
from pathlib import Path

import invented_book

sys.path.insert(0, str(Path(__file__).parent.parent))

PAGES = ("/", "/G1", "/P1", "/W1", "/G1/history", "/many?codes=G1-G60", "/store", "/find?q=pear", "/tags", "/took")
PAUSE = 2.0


async def play(base: str, code: str, phones: int, seconds: float, grafts: int) -> None:
    """Let the phones in, open each page twice, then record."""
    import httpx2

    async with httpx2.AsyncClient(base_url=base, trust_env=False, timeout=60) as one:
        await _join(one, code, "first")
        for path in PAGES:
            times = [await _timed(one.get(path)) for _ in range(3)]
            print(
                f"{path:<22} {1000 * times[0][0]:7.0f} ms, then {1000 * min(times[1][0], times[2][0]):6.0f} ms  {times[0][1]}"
            )
    taken: dict[str, list[float]] = {"look": [], "page": []}
    refused: list[str] = []
    await asyncio.gather(*(_phone(base, code, at, seconds, grafts, taken, refused) for at in range(phones)))
    for what, each in taken.items():
        each.sort()
        print(f"{what}: {len(each)}, half within {1000 * each[len(each) // 2]:.0f} ms, 99 of 100 within "
              f"{1000 * each[int(len(each) * 0.99)]:.0f} ms, all within {1000 * each[-1]:.0f} ms")  # fmt: skip
    print(f"refused: {len(refused)}", *refused[:3], sep="\n")


async def _phone(base, code, at, seconds, grafts, taken, refused) -> None:
    import httpx2
    from uuid6 import uuid7

    chance = random.Random(at)
    await asyncio.sleep(PAUSE * chance.random())
    async with httpx2.AsyncClient(base_url=base, trust_env=False, timeout=60) as me:
        token = await _join(me, code, f"phone {at}")
        end = time.monotonic() + seconds
        while (begun := time.monotonic()) < end:
            graft = f"G{chance.randint(1, grafts)}"
            form = {"token": token, "uid": str(uuid7()), "code": graft, "state": "not-found"}
            took, status, text = await _timed(me.post("/look", data=form, headers={"Origin": base}), words=True)
            taken["look"].append(took)
            if status != 303:
                refused.append(text[-400:])
            taken["page"].append((await _timed(me.get(f"/{graft}")))[0])
            await asyncio.sleep(max(0.0, PAUSE - (time.monotonic() - begun)))


async def _join(me, code: str, name: str) -> str:
    form = (await me.get("/join")).text
    token = re.search('name="token" value="([^"]+)"', form)[1]
    await me.post(
        "/join", data={"token": token, "name": name, "code": code}, headers={"Origin": str(me.base_url).rstrip("/")}
    )
    return re.search('name="token" value="([^"]+)"', (await me.get("/more")).text)[1]


async def _timed(asked, words: bool = False):
    begun = time.perf_counter()
    answer = await asked
    took = time.perf_counter() - begun
    return (took, answer.status_code, answer.text) if words else (took, answer.status_code)


def main() -> None:
    """One run."""
    phones, seconds, grafts = (int(word) for word in [*sys.argv[1:], *("60", "60", "5000")[len(sys.argv) - 1 :]])
    from running import Running

    from graftbook.cli.main import main as graftbook

    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_DATA_HOME"] = folder
        book = os.environ.get("GRAFTBOOK_BENCH_BOOK", f"{folder}/book.sqlite")
        invented_book.write(Path(folder) / "in", grafts)
        for words in (["start"], ["import", f"{folder}/in"]):
            assert 0 == graftbook(["--book", book, *words])
        with Running(book, lan=True) as running:
            asyncio.run(play(running.base, running.code, phones, seconds, grafts))


if __name__ == "__main__":
    main()
