"""The job file: schema, reading, writing, findings, examples."""

from airwright.job.cluster import Cluster, Inflated, NotationError, Part
from airwright.job.findings import Finding, Severity, has_errors, in_order
from airwright.job.models import DoubleSpec, Job, OptionSpec, ShadeSpec, Venue
from airwright.job.pieces import PieceSpec
from airwright.job.reading import Reading, read_job
from airwright.job.studio import Studio

__all__ = [
    "Cluster",
    "DoubleSpec",
    "Finding",
    "Inflated",
    "Job",
    "NotationError",
    "OptionSpec",
    "Part",
    "PieceSpec",
    "Reading",
    "Severity",
    "ShadeSpec",
    "Studio",
    "Venue",
    "has_errors",
    "in_order",
    "read_job",
]
