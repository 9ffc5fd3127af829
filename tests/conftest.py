"""Options and hooks shared by every test.

Two things live here because pytest wants them in the outermost conftest:
the meaning of the origin markers, and the record of our figures beside
published ones (``--validation-out=FILE``), which also works under xdist.  Write the
option with ``=``: before this file is read, pytest takes a file after a space for a test.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, settings

from tests.services import chromium, postgres_url, skip_where_missing

settings.register_profile("busy", deadline=None)
settings.register_profile(  # for mutation tests: that a test fails is enough, no smallest case
    "quick",
    deadline=None,
    max_examples=8,
    derandomize=True,
    database=None,
    phases=(Phase.explicit, Phase.generate),
)
settings.load_profile("busy")  # a busy machine is slow, not wrong

__all__ = ["chromium", "postgres_url"]

#: Where an expected value came from.  Every test in tests/validation carries one.
ORIGINS = (
    "published",
    "closed_form",
    "other_program",
    "common_practice",
    "from_memory",
    "regression",
)
VALIDATION_ROW = "airwright-validation-row"
VALIDATION_DIR = Path(__file__).parent / "validation"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--validation-out",
        metavar="FILE",
        default=os.environ.get("AIRWRIGHT_VALIDATION_OUT"),
        help="write every recorded comparison (ours beside published) to this JSON file",
    )


def pytest_configure(config: pytest.Config) -> None:
    # Only the process that gathers the reports writes; xdist workers just report.
    target = config.getoption("--validation-out")
    if target and not hasattr(config, "workerinput"):
        config.pluginmanager.register(ValidationRecorder(Path(target)), "validation-recorder")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Refuse a validation test that does not say where its expected value came from."""
    nameless = [
        item.nodeid
        for item in items
        if VALIDATION_DIR in item.path.parents and origin_of(item) is None
    ]
    if nameless:
        listed = "\n  ".join(nameless)
        raise pytest.UsageError(
            f"each test in tests/validation needs one of the markers {', '.join(ORIGINS)}; "
            f"missing on:\n  {listed}"
        )
    skip_where_missing(items)


def origin_of(item: pytest.Item) -> str | None:
    """The origin marker closest to the test (function before class before module)."""
    return next((mark.name for mark in item.iter_markers() if mark.name in ORIGINS), None)


class ValidationRecorder:
    """Gathers the rows that travel on the test reports and writes them once, at the end."""

    def __init__(self, target: Path) -> None:
        self.target = target
        self.rows: list[dict[str, Any]] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call":
            self.rows += [value for key, value in report.user_properties if key == VALIDATION_ROW]

    @pytest.hookimpl(wrapper=True)
    def pytest_sessionfinish(self) -> Iterator[None]:
        result = yield
        self.rows.sort(key=lambda row: (row["test"], row["order"]))
        self.target.parent.mkdir(parents=True, exist_ok=True)
        draft = self.target.with_name(self.target.name + ".part")
        draft.write_text(json.dumps(self.rows, indent=1, ensure_ascii=False), encoding="utf-8")
        draft.replace(self.target)
        return result
