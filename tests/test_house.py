"""The house keeps its own rules: the map, the packages, the sizes, the clock, the contracts, the addresses."""

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from fnmatch import fnmatch
from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.write_map import map_lines, mapped_lines, with_map

REPOSITORY = Path(__file__).parent.parent
ROOMS = ("bot", "core")
LONGEST_MODULE = 350  # [lines]

TOP_LEVEL = {
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    "README.md",
    "bot",
    "core",
    "demo",
    "deploy",
    "pyproject.toml",
    "tests",
}

CLOCK_AND_WORLD = {
    "datetime.date.today",
    "datetime.datetime.now",
    "datetime.datetime.today",
    "datetime.datetime.utcnow",
    "input",
    "open",
    "print",
}

HEAVY = {"highspy", "matplotlib", "nio", "numpy", "psycopg", "scipy", "telegram"}

# Written so that they do not match themselves.
ADDRESSES = (
    re.compile(r"\b(?:pypi|pythonhosted|npmjs|crates|debian|ubuntu)\.(?:org|com|io|net)\b"),
    re.compile(r"(?<![\w.~/-])/(?:root|work|tmp|home|Users)(?:/|\b)"),
)
# A file that needs one of the above, and why.
NEEDED_ADDRESSES = {"tests/test_house.py": "samples of what is looked for"}


def modules(*rooms: str) -> list[Path]:
    return [module for room in rooms for module in sorted((REPOSITORY / room).rglob("*.py"))]


def place(path: Path) -> str:
    return path.relative_to(REPOSITORY).as_posix()


# --- The map


def test_the_map_has_the_first_line_of_every_module_and_nothing_else() -> None:
    page = (REPOSITORY / "DEVELOPERS.md").read_text(encoding="utf-8")

    mapped = mapped_lines(page)

    assert mapped == map_lines(REPOSITORY), "the map and the modules differ: run `make map`"


def test_a_new_map_leaves_the_rest_of_the_page_alone() -> None:
    page = with_map((REPOSITORY / "DEVELOPERS.md").read_text(encoding="utf-8"), ["- `gone.py` - Gone."])

    again = with_map(page, ["- `core/` - One.", "- `core/two.py` - Two."])

    assert mapped_lines(again) == ["- `core/` - One.", "- `core/two.py` - Two."]
    assert with_map(again, ["- `gone.py` - Gone."]) == page


def test_a_module_without_a_docstring_has_no_line_on_the_map(tmp_path: Path) -> None:
    (tmp_path / "core").mkdir()
    (tmp_path / "core" / "silent.py").write_text("X = 1\n", encoding="utf-8")

    with pytest.raises(ValueError, match=r"silent\.py has no docstring"):
        map_lines(tmp_path)


# --- What ships


def test_the_packages_listed_are_the_packages_there_are() -> None:
    settings = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))

    folders = {module.parent for module in modules(*ROOMS)}

    assert settings["tool"]["setuptools"]["packages"] == sorted(place(folder).replace("/", ".") for folder in folders)
    assert [place(folder) for folder in folders if not (folder / "__init__.py").exists()] == []


def test_the_wheel_holds_bot_and_core_whole_with_the_migrations_and_nothing_else(tmp_path: Path) -> None:
    source = copy_of_the_house(tmp_path / "source")
    for page in ("LICENSE", "README.md"):
        shutil.copy(REPOSITORY / page, source)

    run_quietly(
        [
            sys.executable,
            "-m",
            "pip",
            "wheel",
            "--no-deps",
            "--no-build-isolation",
            "--no-index",
            "-w",
            tmp_path,
            source,
        ]
    )
    (wheel,) = tmp_path.glob("*.whl")
    shipped = {name for name in ZipFile(wheel).namelist() if ".dist-info/" not in name}

    assert shipped == {place(path) for room in ROOMS for path in (REPOSITORY / room).rglob("*") if is_source(path)}
    assert [name for name in shipped if fnmatch(name, "core/storage/migrations/versions/*.py")] != []


def test_starting_the_program_imports_nothing_heavy() -> None:
    # given a fresh interpreter, since this one has imported much already
    program = "import sys, bot.__main__; print(*sorted(sys.modules))"

    imported = run_quietly([sys.executable, "-c", program]).stdout.split()

    assert HEAVY.intersection(imported) == set()


# --- Sizes and places


def test_no_module_is_longer_than_one_can_read() -> None:
    lengths = {place(module): len(module.read_text(encoding="utf-8").splitlines()) for module in modules(*ROOMS)}

    too_long = {name: length for name, length in lengths.items() if length > LONGEST_MODULE}

    assert too_long == {}, "a module past this length is two"


def test_the_top_level_holds_only_what_belongs_there() -> None:
    ignored = [
        line.rstrip("/") for line in (REPOSITORY / ".gitignore").read_text(encoding="utf-8").splitlines() if line
    ]

    names = {path.name for path in REPOSITORY.iterdir() if not path.name.startswith(".")}
    stray = {name for name in names - TOP_LEVEL if not any(fnmatch(name, pattern) for pattern in ignored)}

    assert stray == set()
    assert TOP_LEVEL - names == set()


# --- Time and the world


def test_core_outside_storage_reads_no_clock_and_opens_nothing() -> None:
    storage = REPOSITORY / "core" / "storage"

    found = {
        place(module): names
        for module in modules("core")
        if storage not in module.parents and (names := reached_for(module.read_text(encoding="utf-8")))
    }

    assert found == {}


@pytest.mark.parametrize(
    ("source", "name"),
    [
        ("from datetime import datetime\ndatetime.now()", "datetime.datetime.now"),
        ("from datetime import UTC, datetime as moment\nmoment.now(UTC)", "datetime.datetime.now"),
        ("import datetime as d\nd.datetime.utcnow()", "datetime.datetime.utcnow"),
        ("from datetime import date\nfield(default_factory=date.today)", "datetime.date.today"),
        ("import time\ntime.time()", "time.time"),
        ("from time import monotonic as tick\ntick()", "time.monotonic"),
        ("open('x')", "open"),
    ],
)
def test_a_look_at_the_clock_or_the_world_is_found(source: str, name: str) -> None:
    assert reached_for(source) == [name]


def test_taking_a_moment_apart_is_no_look_at_the_clock() -> None:
    source = "from datetime import datetime\ndef f(at: datetime, time: datetime): return at.time(), time.hour, at.now"

    assert reached_for(source) == []


# --- Contracts


AGAINST_THE_RULES = [
    ("core.domain.stray_above", "core.strength"),
    ("core.domain.stray_outside", "bot"),
    ("core.planning.stray_beside", "core.recovery"),
    ("core.planning.stray_reading", "core.notation"),
    ("core.application.stray_waiting", "asyncio"),
    ("core.recovery.stray_asking", "sqlalchemy"),
    ("bot.rendering.stray_above", "bot.connectors"),
    ("bot.connectors.stray_storing", "core.storage.tables"),
]
WITHIN_THE_RULES = [
    ("core.planning.lawful_below", "core.strength"),
    ("core.storage.lawful_asking", "sqlalchemy"),
    ("bot.connectors.lawful_below", "bot.rendering"),
]
NOT_PLACED = ["bot.massage", "core.massage"]


@pytest.fixture(scope="module")
def what_the_contracts_say(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What lint-imports prints about a house with all the strays above: one run, for each takes a second."""
    house = copy_of_the_house(tmp_path_factory.mktemp("stray") / "house")
    for room in NOT_PLACED:
        folder = house / room.replace(".", "/")
        folder.mkdir()
        (folder / "__init__.py").touch()
    for module, imported in AGAINST_THE_RULES + WITHIN_THE_RULES:
        (house / f"{module.replace('.', '/')}.py").write_text(f"import {imported}\n", encoding="utf-8")
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]
    finished = subprocess.run(command, cwd=house, capture_output=True, text=True, check=False, timeout=120)
    assert finished.returncode == 1, finished.stdout + finished.stderr
    return finished.stdout


@pytest.mark.parametrize("room", NOT_PLACED)
def test_a_folder_that_nobody_placed_breaks_the_contracts(what_the_contracts_say: str, room: str) -> None:
    assert f"- {room}\n" in what_the_contracts_say


@pytest.mark.parametrize(("module", "imported"), AGAINST_THE_RULES)
def test_an_import_against_the_rules_breaks_a_contract(what_the_contracts_say: str, module: str, imported: str) -> None:
    assert f"{module} -> {imported} (" in what_the_contracts_say


@pytest.mark.parametrize(("module", "imported"), WITHIN_THE_RULES)
def test_an_import_within_the_rules_breaks_none(what_the_contracts_say: str, module: str, imported: str) -> None:
    assert f"{module} -> {imported} (" not in what_the_contracts_say


# --- Addresses


def test_the_constraints_are_versions_for_all_that_is_asked_for_and_name_no_address() -> None:
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked_for = [
        *project["dependencies"],
        *(name for extra in project["optional-dependencies"].values() for name in extra),
    ]

    lines = (REPOSITORY / "deploy" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {line.partition("==")[0] for line in lines}

    assert [line for line in lines if not re.fullmatch(r"[a-z0-9-]+==[0-9][0-9a-z.]*( ; [^/]+)?", line)] == []
    assert {re.split(r"[\[<>=]", name)[0].replace("_", "-") for name in asked_for} - pinned == set()


def test_no_file_names_a_registry_or_a_path_of_one_machine() -> None:
    found = [
        f"{name}:{number}: {line.strip()}"
        for name, text in texts()
        if name not in NEEDED_ADDRESSES
        for number, line in enumerate(text.splitlines(), start=1)
        if any(address.search(line) for address in ADDRESSES)
    ]

    assert found == []


@pytest.mark.parametrize(
    "path", ["/" + "root/x", "see /" + "work/x", "'/tmp/x.db'", "/home/tove/x", "files.python" + "hosted.org"]
)
def test_a_path_of_one_machine_is_found(path: str) -> None:
    assert any(address.search(path) for address in ADDRESSES)


# --- What the tests above stand on


def is_source(path: Path) -> bool:
    return path.is_file() and path.suffix != ".pyc"


def texts() -> Iterator[tuple[str, str]]:
    """Name and text of every file of the repository that is one."""
    for top in sorted([*TOP_LEVEL, ".ci", ".gitignore"]):
        paths = [REPOSITORY / top, *(REPOSITORY / top).rglob("*")]
        for path in filter(is_source, paths):
            try:
                yield place(path), path.read_text(encoding="utf-8")
            except UnicodeDecodeError:
                continue


def copy_of_the_house(target: Path) -> Path:
    target.mkdir()
    shutil.copy(REPOSITORY / "pyproject.toml", target)
    for room in ROOMS:
        shutil.copytree(REPOSITORY / room, target / room, ignore=shutil.ignore_patterns("__pycache__"))
    return target


def run_quietly(command: Sequence[str | Path]) -> subprocess.CompletedProcess[str]:
    finished = subprocess.run(command, cwd=REPOSITORY, capture_output=True, text=True, check=False, timeout=120)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    return finished


def reached_for(source: str) -> list[str]:
    """Full names of what a module uses of the clock and of the world outside."""
    tree = ast.parse(source)
    full_names: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            full_names |= {alias.asname or alias.name: alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            full_names |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
    names = (full_name(node, full_names) for node in ast.walk(tree) if isinstance(node, ast.Attribute | ast.Name))
    return [name for name in names if name in CLOCK_AND_WORLD or name.startswith("time.")]


def full_name(node: ast.expr, full_names: Mapping[str, str]) -> str:
    if isinstance(node, ast.Attribute):
        # The name of a variable says nothing of what it holds, so only imported names lead on.
        of = (
            full_names.get(node.value.id, "") if isinstance(node.value, ast.Name) else full_name(node.value, full_names)
        )
        return f"{of}.{node.attr}"
    return full_names.get(node.id, node.id) if isinstance(node, ast.Name) else ""
