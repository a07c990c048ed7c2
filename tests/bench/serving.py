"""Start of a process that serves a measured morning: it loads what `rackside serve` loads, and as it does."""

import sys

from bot.loading import loading


def serve_morning() -> None:
    """Serve a morning on the database of a URL; prints what was measured, the start from an instant of the clock on."""
    with loading():
        import asyncio
        import json

        # The commands are not run here, but whoever serves has loaded them.
        from bot.cli import program
        from core.storage.unit_of_work import open_store
        from tests.bench.served_morning import morning
    assert program.name is not None

    opened = open_store(sys.argv[1])
    print(json.dumps(asyncio.run(morning(opened, begun=float(sys.argv[2])))))
    opened.close()


if __name__ == "__main__":
    serve_morning()
