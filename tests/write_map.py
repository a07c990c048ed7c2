"""Writes the map of DEVELOPERS.md: each module of core and bot with the first line of its docstring."""

import ast
import sys
from collections.abc import Sequence
from pathlib import Path

REPOSITORY = Path(__file__).parent.parent
BEGIN = "<!-- the map: `make map` writes it from the modules' first lines -->"
END = "<!-- the end of the map -->"


def map_lines(repository: Path) -> list[str]:
    """One line a module, a folder before what is in it.

    Raises:
        ValueError: a module has no docstring, and so no line.

    """
    return [
        f"- `{_place(module.relative_to(repository))}` - {_first_line(module)}"
        for room in ("bot", "core")
        for module in sorted((repository / room).rglob("*.py"))
    ]


def mapped_lines(page: str) -> list[str]:
    """The lines of the map as the page has them.

    Raises:
        ValueError: the page lacks one of the two marks.

    """
    _, found_begin, after = page.partition(BEGIN)
    inside, found_end, _ = after.partition(END)
    if not found_begin or not found_end:
        raise ValueError(f"DEVELOPERS.md needs two lines that hold the map between them:\n{BEGIN}\n{END}")
    return [line for line in inside.splitlines() if line]


def with_map(page: str, lines: Sequence[str]) -> str:
    """The page with these lines for its map, the rest of it untouched.

    Raises:
        ValueError: the page lacks one of the two marks.

    """
    mapped_lines(page)
    before, _, after = page.partition(BEGIN)
    _, _, rest = after.partition(END)
    return "\n".join([before + BEGIN, "", *lines, "", END + rest])


def main() -> int:
    """Rewrite the map in place; 0, or 1 with the reason when it cannot be done."""
    page = REPOSITORY / "DEVELOPERS.md"
    try:
        page.write_text(with_map(page.read_text(encoding="utf-8"), map_lines(REPOSITORY)), encoding="utf-8")
    except (FileNotFoundError, ValueError) as reason:
        print(reason, file=sys.stderr)
        return 1
    return 0


def _place(module: Path) -> str:
    return f"{module.parent.as_posix()}/" if module.name == "__init__.py" else module.as_posix()


def _first_line(module: Path) -> str:
    docstring = ast.get_docstring(ast.parse(module.read_text(encoding="utf-8")))
    if not docstring:
        raise ValueError(f"{module} has no docstring, and so no line on the map")
    return docstring.splitlines()[0]


if __name__ == "__main__":
    sys.exit(main())
