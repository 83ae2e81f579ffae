"""The house: which room may import which, what may be loaded at the start, and that every room stands alone."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
MODULES = sorted(
    path
    for folder in ("graftbook", "labels")
    for path in (TOP / folder).rglob("*.py")
    if "migrations" not in path.parts
)

BELOW_ACTIONS = {
    "graftbook.errors", "graftbook.numbers", "graftbook.visible", "graftbook.units", "graftbook.dates",
    "graftbook.codes", "graftbook.trade", "graftbook.stats",
    "graftbook.fit", "graftbook.season", "graftbook.lineage", "graftbook.book", "graftbook.paper", "graftbook.sheets",
    "labels",
}  # fmt: skip

# Sub-room of actions, from the ground up -> sub-rooms it may import. Each stands on rooms above it in this list only.
SUB_ROOMS = {
    "desk": (),
    "outcome": ("desk",),
    "trade": ("desk",),
    "names": ("desk", "outcome", "trade"),
    "weather": ("desk", "outcome"),
    "tags": ("desk", "outcome", "names", "trade"),
    "plants": ("desk", "outcome", "names", "tags"),
    "wood": ("desk", "outcome", "names", "trade", "plants"),
    "takes": ("desk", "outcome", "names", "weather", "plants"),
    "compare": ("desk", "outcome", "names", "takes"),
    "grafts": ("desk", "outcome", "names", "trade", "plants", "wood"),
    "people": ("desk", "names", "wood", "takes"),
    "rounds": ("desk", "outcome", "names", "weather", "tags", "wood"),
    "plan": ("desk", "outcome", "names", "trade", "tags", "plants", "wood", "takes", "grafts"),
    "review": ("desk", "outcome", "takes", "compare"),
    "exchange": (
        "desk",
        "outcome",
        "names",
        "trade",
        "tags",
        "plants",
        "wood",
        "grafts",
        "people",
        "rounds",
        "plan",
    ),
    "soundness": ("desk",),
    "together": ("desk", "names", "exchange", "soundness"),
}

# Room -> rooms of ours it may import. What is not listed is denied; a room may always import from itself.
OURS = {
    "labels": set(),
    "graftbook": set(),
    "graftbook.errors": set(),
    "graftbook.numbers": set(),
    "graftbook.visible": set(),
    "graftbook.units": {"graftbook.errors", "graftbook.numbers"},
    "graftbook.dates": {"graftbook.errors"},
    "graftbook.codes": {"graftbook.errors"},
    "graftbook.trade": {"graftbook.errors", "graftbook.units"},
    "graftbook.stats": {"graftbook.errors"},
    "graftbook.fit": {"graftbook.errors", "graftbook.visible", "graftbook.units", "graftbook.trade", "graftbook.stats"},
    "graftbook.season": {"graftbook.errors", "graftbook.visible", "graftbook.units", "graftbook.trade"},
    "graftbook.lineage": {"graftbook.errors"},
    "graftbook.paper": {"graftbook.errors", "graftbook.units", "labels"},
    "graftbook.sheets": {"graftbook.errors", "graftbook.units", "graftbook.dates", "graftbook.trade"},
    "graftbook.book": {"graftbook.errors", "graftbook.units", "graftbook.dates", "graftbook.codes"},
    "graftbook.actions": BELOW_ACTIONS,
    **{
        f"graftbook.actions.{room}": BELOW_ACTIONS | {f"graftbook.actions.{each}" for each in others}
        for room, others in SUB_ROOMS.items()
    },
    "graftbook.output": {"graftbook.actions.desk", "graftbook.units", "graftbook.visible"},
    "graftbook.web": {
        "graftbook", "graftbook.errors", "graftbook.codes", "graftbook.visible", "graftbook.actions", "graftbook.output", "labels",
    },
    "graftbook.cli": {
        "graftbook", "graftbook.errors", "graftbook.numbers", "graftbook.visible", "graftbook.actions", "graftbook.output",
        "graftbook.web",
    },
    "graftbook.__main__": {"graftbook.cli"},
}  # fmt: skip

# Room -> libraries from outside the standard library it may import, and whether only inside functions.
THEIRS = {
    "labels": {"qrcode": "inside", "reportlab": "inside", "zxingcpp": "inside", "PIL": "inside", "numpy": "inside"},
    "graftbook.codes": {"stdnum": "inside"},
    "graftbook.stats": {"numpy": "inside", "scipy": "inside"},
    "graftbook.fit": {"numpy": "inside", "scipy": "inside"},
    "graftbook.season": {"numpy": "inside", "icalendar": "inside"},
    "graftbook.paper": {"reportlab": "inside", "matplotlib": "inside", "numpy": "inside"},
    "graftbook.sheets": {"python_calamine": "inside", "rapidfuzz": "inside"},
    "graftbook.book": {
        "sqlmodel": "top", "sqlalchemy": "top", "alembic": "inside", "pydantic": "top", "annotated_types": "top", "uuid6": "top",
    },
    "graftbook.actions": {"sqlmodel": "top", "rapidfuzz": "inside", "platformdirs": "inside", "openpyxl": "inside"},
    "graftbook.output": {"rich": "inside"},
    "graftbook.web": {
        "starlette": "top", "jinja2": "top", "itsdangerous": "top", "uuid6": "top", "uvicorn": "inside", "anyio": "inside",
        "platformdirs": "inside",
    },
    "graftbook.cli": {
        "typer": "top", "rich": "inside", "starlette": "inside", "uvicorn": "inside", "jinja2": "inside", "itsdangerous": "inside",
        "python_multipart": "inside",
    },
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
    "openpyxl",
    "starlette",
    "jinja2",
    "python_calamine",
)


def module_name(path: Path) -> str:
    parts = path.relative_to(TOP).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(name: str) -> str:
    """The longest room in the table that the module lies in."""
    return max((room for room in OURS if name == room or name.startswith(room + ".")), key=len)


def imports_of(path: Path) -> list[tuple[str, bool]]:
    """Every module imported, those for the type checker among them, and whether at the top of the file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    at_top = {id(node) for node in tree.body}
    found = []
    for node in ast.walk(tree):
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
            version = imported == "graftbook.__version__" and room in ("graftbook.cli", "graftbook.web")
            assert version or allowed_ours(room, imported), f"{name} may not import {imported}"
        elif head not in sys.stdlib_module_names:
            place = THEIRS.get("graftbook.actions" if room.startswith("graftbook.actions.") else room, {}).get(head)
            assert place is not None, f"{name} may not import {imported}"
            assert place == "top" or not at_top, f"{name} may import {head} inside functions only"


def test_every_room_of_the_table_exists():
    names = {module_name(path) for path in MODULES}
    assert names >= set(OURS)


def test_sub_rooms_stand_on_those_above_them_in_the_list():
    order = list(SUB_ROOMS)
    for room, others in SUB_ROOMS.items():
        assert set(others) <= set(order[: order.index(room)]), room


def test_every_file_of_actions_lies_in_a_sub_room():
    actions = TOP / "graftbook" / "actions"
    assert {"__init__.py"} == {path.name for path in actions.glob("*.py")}
    assert set(SUB_ROOMS) == {path.parent.name for path in actions.glob("*/__init__.py")}


def face_of(room: str) -> set[str]:
    """The modules that a sub-room shows to others."""
    tree = ast.parse((TOP / "graftbook" / "actions" / room / "__init__.py").read_text(encoding="utf-8"))
    return set(ast.literal_eval(next(node.value for node in tree.body if isinstance(node, ast.Assign))))


def test_other_rooms_use_the_face_of_a_sub_room_and_all_of_it_is_used():
    used: dict[str, set[str]] = {room: set() for room in SUB_ROOMS}
    for path in MODULES:
        for imported, _ in imports_of(path):
            if imported.startswith("graftbook.actions.") and not module_name(path).startswith(
                f"graftbook.actions.{imported.split('.')[2]}"
            ):
                used[imported.split(".")[2]].add(imported.split(".")[3])
    assert used == {room: face_of(room) for room in SUB_ROOMS}


def test_no_import_runs_in_a_circle():
    """Whatever the file, wherever the import stands in it, imports for the type checker among them."""
    names = {module_name(path) for path in MODULES}
    arrows: dict[str, set[str]] = {}
    for path in MODULES:
        found = {name if name in names else name.rpartition(".")[0] for name, _ in imports_of(path)}
        arrows[module_name(path)] = found & names
    try:
        tuple(TopologicalSorter(arrows).static_order())
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


ALONE = """
import importlib, os, sys
for name in sys.argv[1].split():
    importlib.import_module(name)
failed = []
for name in sys.argv[2:]:
    child = os.fork()
    if child == 0:
        try:
            importlib.import_module(name)
        except BaseException as error:
            print(name, repr(error), file=sys.stderr)
            os._exit(1)
        os._exit(0)
    if os.waitpid(child, 0)[1]:
        failed.append(name)
sys.exit(bool(failed))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a process for each module is forked, which this system cannot")
@pytest.mark.parametrize("book", [False, True], ids=["other rooms, once the book is loaded", "book"])
def test_every_module_can_be_imported_alone(book):
    """Each in a process of its own, forked from one that has loaded nothing of ours but, to save time, the book."""
    there = "sqlmodel alembic.config" if book else "sqlmodel typer graftbook.book.tables"
    names = [name for name in map(module_name, MODULES) if name.startswith("graftbook.book") == book]
    words = [sys.executable, "-W", "error", "-c", ALONE, there, *(set(names) - {"graftbook.__main__"})]
    done = subprocess.run(words, capture_output=True, text=True, cwd=TOP)
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


def test_no_two_classes_have_one_name():
    """A name says what a thing is; two things of one name are told apart by nobody who reads an error or a list."""
    where: dict[str, list[str]] = {}
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                where.setdefault(node.name, []).append(module_name(path))
    shared = {name: modules for name, modules in where.items() if len(modules) > 1}
    assert {} == shared
