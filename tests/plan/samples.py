"""Small jobs for the plan's tests."""

from __future__ import annotations

from airwright.decor.pieces import SPECS
from airwright.job import Job, Studio, read_job
from airwright.job.examples import example_text
from airwright.plan.planning import make_plan
from airwright.plan.values import Plan


def job(text: str | None = None) -> Job:
    """A job that must be readable; the example by default."""
    reading = read_job(example_text("ferry-terminal") if text is None else text, SPECS)
    assert reading.job is not None, reading.findings
    return reading.job


def column(**changes: str) -> str:
    """A job with one column; values are written as TOML."""
    keys = {
        "height": '"6 ft"',
        "body": '["4 x 11in @ 9.5in"]',
        "shades": '["coral", "sand", "teal", "white"]',
        **changes,
    }
    head = example_text("ferry-terminal").split("[[pieces]]")[0]
    body = "\n".join(f"{key} = {value}" for key, value in keys.items())
    return f'{head}\n[[pieces]]\nname = "Column"\nkind = "column"\n{body}\n'


def plan(text: str | None = None, studio: Studio | None = None) -> Plan:
    """The plan of a job."""
    return make_plan(job(text), studio)
