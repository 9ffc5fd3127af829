"""A job written in metres is metric without being told."""

from __future__ import annotations

from importlib.resources import files

import pytest

from airwright.decor.pieces import SPECS
from airwright.job import Job, Studio, read_job
from airwright.job.studio import House
from airwright.job.units_written import studio_for, units_written
from airwright.units import System


def job_with(height: str, cluster: str = "4 x 11in @ 9.5in") -> Job:
    text = files("airwright.job").joinpath("examples", "ferry-terminal.toml").read_text("utf-8")
    head = text.split("[[pieces]]")[0]
    text = f'''{head}
[[pieces]]
name    = "Column"
kind    = "column"
height  = "{height}"
body    = ["{cluster}"]
shades  = ["coral", "sand", "teal", "white"]
'''
    found = read_job(text, SPECS).job
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("height", "cluster", "system"),
    [
        ("6 ft", "4 x 11in @ 9.5in", System.FEET),
        ("74 in", "4 x 11in @ 9.5in", System.FEET),
        ("1.9 m", "4 x 11in @ 24cm", System.METRIC),
        ("190 cm", "4 x 11in @ 24cm", System.METRIC),
    ],
)
def test_the_lengths_of_the_pieces_decide(height: str, cluster: str, system: System) -> None:
    job = job_with(height, cluster)
    assert units_written(job) is system
    assert studio_for(job, Studio()).studio.units is system


def test_a_studio_that_says_its_units_keeps_them() -> None:
    job = job_with("1.9 m", "4 x 11in @ 24cm")
    told = Studio(studio=House(units=System.FEET))
    assert studio_for(job, told).studio.units is System.FEET
    once = studio_for(job, Studio())
    assert studio_for(job_with("6 ft"), once).studio.units is System.FEET
