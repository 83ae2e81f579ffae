"""backup and restore killed half-way: what was there before is there still, and trying again leaves no crumb."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from whole_book import everything

KILLED = """
import sys, time
from pathlib import Path
from graftbook.book import backup, restoring
from graftbook.cli.main import main

def hang(*_):
    print("here", flush=True)
    time.sleep(60)

if sys.argv[2] == "backup":
    backup._verify = hang
else:
    restoring.OpenBook._step = lambda self: hang
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="nothing to kill with")
@pytest.mark.parametrize(
    "words", [("backup", "kept.sqlite"), ("backup", "new.sqlite"), ("restore", "other.sqlite", "--yes")]
)
def test_a_kill_half_way_leaves_what_was_there(words, on_sqlite, sqlite_location, tmp_path):
    assert 0 == on_sqlite("tree", "add", "Quern Russet", "--species", "apple").code
    on_sqlite("backup", tmp_path / "kept.sqlite")
    on_sqlite("backup", tmp_path / "other.sqlite")
    on_sqlite("tree", "add", "Dun Reinette", "--species", "apple")
    now, kept = everything(sqlite_location), (tmp_path / "kept.sqlite").read_bytes()
    # the book is the first word, so that the verb is the second
    line = [sys.executable, "-c", KILLED, f"--book={sqlite_location}", *words]
    running = subprocess.Popen(line, stdout=subprocess.PIPE, text=True, cwd=tmp_path)
    assert "here\n" == running.stdout.readline()
    running.send_signal(signal.SIGKILL)
    running.communicate()
    assert now == everything(sqlite_location)
    assert kept == (tmp_path / "kept.sqlite").read_bytes()
    assert not (tmp_path / "new.sqlite").exists()
    for folder in tmp_path.glob(".*graftbook-part"):
        for path in (*folder.iterdir(), folder):
            os.utime(path, (time.time() - 7200,) * 2)
    assert 0 == on_sqlite(words[0], tmp_path / words[1], *words[2:]).code
    assert [] == [path for path in Path(tmp_path).iterdir() if "graftbook-part" in path.name]
