"""What another user of the computer may do: for the tests of folders that are read-only, which are no such thing to root."""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable


def as_somebody_else(work: Callable[[], int]) -> int:
    """Run in a child without the rights of root, for whom no folder is read-only; gives back the child's exit code."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # forking beside threads; the child only tries the folder
        child = os.fork()
    if child == 0:
        code = 99
        try:
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            code = work()
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
