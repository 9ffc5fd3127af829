"""Records of the keys that people set."""

from __future__ import annotations

import re
import tomllib

from airwright.decor.pieces import SPECS
from airwright.job.records import job_records, studio_records


def test_what_holds_if_a_key_is_left_out_is_written_as_a_file_writes_it() -> None:
    """TOML 1.0: a table left out stands there as an inline table."""
    tables = (*job_records(SPECS).values(), studio_records())
    rows = [row for table in tables for row in table if row.default]
    assert not [row.path for row in rows if re.search(r"\w+\(", str(row.default))]
    for row in rows:
        if str(row.default).startswith("{ "):
            assert tomllib.loads(f"key = {row.default}")["key"]
