"""The house: which room may import which, what may be loaded at the start, and that every room stands alone."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
MODULES = sorted(
    path
    for folder in ("graftbook", "labels")
    for path in (TOP / folder).rglob("*.py")
    if "migrations" not in path.parts
)

# Room -> rooms of ours it may import. What is not listed is denied; a room may always import from itself.
OURS = {
    "labels": set(),
    "graftbook": set(),
    "graftbook.errors": set(),
    "graftbook.units": {"graftbook.errors"},
    "graftbook.dates": {"graftbook.errors"},
    "graftbook.codes": {"graftbook.errors"},
    "graftbook.trade": {"graftbook.errors", "graftbook.units"},
    "graftbook.stats": {"graftbook.errors"},
    "graftbook.fit": {"graftbook.errors", "graftbook.units", "graftbook.trade", "graftbook.stats"},
    "graftbook.season": {"graftbook.errors", "graftbook.units", "graftbook.trade"},
    "graftbook.lineage": {"graftbook.errors"},
    "graftbook.paper": {"graftbook.errors", "graftbook.units", "labels"},
    "graftbook.book": {"graftbook.errors", "graftbook.units", "graftbook.dates", "graftbook.codes"},
    "graftbook.actions": {
        "graftbook.errors", "graftbook.units", "graftbook.dates", "graftbook.codes", "graftbook.trade", "graftbook.stats",
        "graftbook.fit", "graftbook.season", "graftbook.lineage", "graftbook.book", "graftbook.paper", "labels",
    },
    "graftbook.output": {"graftbook.actions.results", "graftbook.units"},
    "graftbook.cli": {"graftbook", "graftbook.errors", "graftbook.actions", "graftbook.output"},
    "graftbook.__main__": {"graftbook.cli"},
}  # fmt: skip

# Room -> libraries from outside the standard library it may import, and whether only inside functions.
THEIRS = {
    "labels": {"qrcode": "inside", "reportlab": "inside", "zxingcpp": "inside", "PIL": "inside", "numpy": "inside"},
    "graftbook.codes": {"stdnum": "inside"},
    "graftbook.stats": {"numpy": "inside", "scipy": "inside", "statsmodels": "inside"},
    "graftbook.fit": {"numpy": "inside", "scipy": "inside"},
    "graftbook.season": {"numpy": "inside", "icalendar": "inside"},
    "graftbook.paper": {"reportlab": "inside", "matplotlib": "inside", "numpy": "inside"},
    "graftbook.book": {
        "sqlmodel": "top", "sqlalchemy": "top", "alembic": "inside", "pydantic": "top", "annotated_types": "top", "uuid6": "top",
    },
    "graftbook.actions": {"sqlmodel": "top", "rapidfuzz": "inside", "platformdirs": "inside"},
    "graftbook.output": {"rich": "inside"},
    "graftbook.cli": {"typer": "top", "rich": "inside"},
}  # fmt: skip

NOT_AT_START = (
    "sqlmodel",
    "sqlalchemy",
    "numpy",
    "scipy",
    "reportlab",
    "qrcode",
    "statsmodels",
    "PIL",
    "alembic",
    "matplotlib",
    "pandas",
    "icalendar",
)


def module_name(path: Path) -> str:
    parts = path.relative_to(TOP).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(name: str) -> str:
    """The longest room in the table that the module lies in."""
    return max((room for room in OURS if name == room or name.startswith(room + ".")), key=len)


def imports_of(path: Path) -> list[tuple[str, bool]]:
    """Every module imported, and whether at the top of the file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    checking = {
        id(child)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)
        for child in ast.walk(node)
    }
    at_top = {id(node) for node in tree.body}
    found = []
    for node in ast.walk(tree):
        if id(node) in checking:
            continue
        if isinstance(node, ast.Import):
            found += [(alias.name, id(node) in at_top) for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module is not None:
            assert node.level == 0, f"{path}: imports are written in full"
            found += [(f"{node.module}.{alias.name}", id(node) in at_top) for alias in node.names]
    return found


def allowed_ours(room: str, name: str) -> bool:
    inside = name == room or name.startswith(room + ".")
    return inside or any(name == other or name.startswith(other + ".") for other in OURS[room] if other != "graftbook")


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_room_imports_only_what_the_table_allows(path):
    name = module_name(path)
    room = room_of(name)
    for imported, at_top in imports_of(path):
        head = imported.split(".")[0]
        if head in ("graftbook", "labels"):
            version = imported == "graftbook.__version__" and room == "graftbook.cli"
            assert version or allowed_ours(room, imported), f"{name} may not import {imported}"
        elif head not in sys.stdlib_module_names:
            place = THEIRS.get(room, {}).get(head)
            assert place is not None, f"{name} may not import {imported}"
            assert place == "top" or not at_top, f"{name} may import {head} inside functions only"


def test_every_room_of_the_table_exists():
    names = {module_name(path) for path in MODULES}
    assert names >= set(OURS)


def test_every_module_can_be_imported_alone():
    code = (
        "import importlib, sys\n"
        "for name in sys.argv[1:]:\n"
        "    for loaded in [m for m in sys.modules if m.split('.')[0] in ('graftbook', 'labels')]:\n"
        "        if not loaded.startswith('graftbook.book'): del sys.modules[loaded]\n"
        "    importlib.import_module(name)\n"
    )
    names = [name for name in map(module_name, MODULES) if name != "graftbook.__main__"]
    done = subprocess.run([sys.executable, "-W", "error", "-c", code, *names], capture_output=True, text=True, cwd=TOP)
    assert (0, "") == (done.returncode, done.stderr)


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["take", "--help"], ["graft", "--help"]])
def test_help_and_version_load_nothing_heavy(words):
    code = (
        "import sys\n"
        "from graftbook.cli.main import main\n"
        f"code = main({words!r})\n"
        f"heavy = [name for name in {NOT_AT_START!r} if name in sys.modules]\n"
        "sys.exit(f'{code} {heavy}' if code or heavy else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=TOP)
    assert (0, "") == (done.returncode, done.stderr)


def test_no_file_is_longer_than_a_talk():
    long = {module_name(path): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {} == {name: lines for name, lines in long.items() if lines > 400}


def test_no_module_is_named_after_one_of_the_standard_library():
    clash = [
        module_name(path) for path in MODULES if path.stem in {"json", "csv", "statistics", "types", "calendar", "code"}
    ]
    assert [] == clash


def test_init_files_hold_nothing_but_names_of_others():
    for path in MODULES:
        if path.name == "__init__.py":
            tree = ast.parse(path.read_text(encoding="utf-8"))
            kinds = {type(node) for node in tree.body}
            assert kinds <= {ast.Expr, ast.Import, ast.ImportFrom, ast.Assign}, path


def test_functions_are_short():
    """Thirty lines is the aim; sixty without a word why is too many."""
    long = []
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef) and node.end_lineno - node.lineno >= 60:
                long.append(f"{module_name(path)}.{node.name}")
    assert [] == long
