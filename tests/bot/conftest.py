"""The flag that writes expected files anew, for a person to read the difference."""

from pathlib import Path

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--rewrite",
        action="store_true",
        default=False,
        help="write demo/*.txt and tests/problems.md as they are now, and fail so that a person reads the difference",
    )


class Expected:
    """Compares a file with what it is made from; with `--rewrite`, writes it and fails."""

    def __init__(self, *, rewrites: bool) -> None:
        self.rewrites = rewrites

    def __call__(self, file: Path, made: str) -> None:
        if self.rewrites and (not file.exists() or file.read_text(encoding="utf-8") != made):
            file.write_text(made, encoding="utf-8")
            pytest.fail(f"{file.name} is written anew: read the difference, then run again")
        assert made == file.read_text(encoding="utf-8")


@pytest.fixture
def expected(request: pytest.FixtureRequest) -> Expected:
    return Expected(rewrites=bool(request.config.getoption("--rewrite", default=False)))
