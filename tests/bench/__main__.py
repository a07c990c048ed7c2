"""Runs the measurements: all of them, or those that are named.

A measurement is a module beside this one with a `main()` that takes nothing and prints what it measured.
"""

import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pkgutil import iter_modules

import tests.bench
from bot.loading import loading


def measurements() -> dict[str, Callable[[], object]]:
    """Name and `main` of each measurement, in the order of their names."""
    found: dict[str, Callable[[], object]] = {}
    for name in sorted(module.name for module in iter_modules(tests.bench.__path__) if module.name != "__main__"):
        main: object = getattr(import_module(f"tests.bench.{name}"), "main", None)
        if callable(main):
            found[name] = main
    return found


def main(names: Sequence[str]) -> int:
    """Run the measurements that are named, or all; 0, or 2 when a name is unknown or there is nothing to run."""
    # As the program does when it starts.
    with loading():
        known = measurements()
    unknown = [name for name in names if name not in known]
    if unknown or not known:
        print(f"no measurement: {', '.join(unknown) or 'none is written'}", file=sys.stderr)
        print(f"there are: {', '.join(known) or 'none'}", file=sys.stderr)
        return 2
    for name in names or known:
        print(f"== {name}", flush=True)
        known[name]()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
