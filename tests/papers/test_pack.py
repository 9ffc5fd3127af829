"""The whole pack of the example."""

from __future__ import annotations

import csv
import json
import re
from collections import Counter
from importlib import import_module
from io import BytesIO
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from pypdf import PdfReader

from airwright.job.findings import Finding
from airwright.papers.common.document import Audience
from airwright.papers.common.request import request_for
from airwright.papers.pack import DOCUMENTS, PackError, documents_for, write_pack
from airwright.plan import export
from tests.papers.plans import CJK, TODAY, example_plan, plan_with


def test_the_example_s_pack_is_written_whole(tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    written = write_pack(
        example_plan(), tmp_path / "out", today=TODAY, progress=lambda *step: told.append(step)
    )
    names = {path.relative_to(tmp_path / "out").as_posix() for path in written}
    assert {
        "plan.json",
        "balloons.csv",
        "proposal.pdf",
        "sizing-card.pdf",
        "load-list.pdf",
        "job.ics",
        "pictures/swirl-column-front.svg",
        "pictures/swirl-column-chart.svg",
        "pictures/swirl-column.glb",
        "pictures/option-classic-top.svg",
    } <= names
    assert all(path.stat().st_size > 100 for path in written)
    assert [step[:2] for step in told] == [(at, len(DOCUMENTS)) for at in range(len(DOCUMENTS))]
    plan = json.loads((tmp_path / "out" / "plan.json").read_text("utf-8"))
    jsonschema.validate(plan, export.schema())
    with (tmp_path / "out" / "balloons.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for piece in plan["pieces"]:
        listed = Counter(
            (row["role"], float(row["inflated_in"]), row["shade"])
            for row in rows
            if row["piece"] == piece["name"]
        )
        counted = Counter()
        for line in piece["balloons"]:
            if line["role"] != "tie":
                key = (line["role"], line["inflated_in"], line["shade"])
                counted[key] += line["count"] * piece["count"]
        assert listed == counted
        one = [row for row in rows if row["piece"] == piece["name"] and row["copy"] == "1"]
        centre = np.array([[float(row[f"{k}_m"]) for k in "xyz"] for row in one])
        radius = np.array([float(row["inflated_in"]) for row in one]) * 0.0254 / 2
        gap = np.linalg.norm(centre[:, None] - centre, axis=2) - radius[:, None] - radius
        touching = int((gap[np.triu_indices(len(one), 1)] < 0.001).sum())
        assert abs(touching - piece["contacts"]) <= 1  # the list is rounded
        axis = np.array([[float(row[f"axis_{k}"]) for k in "xyz"] for row in one])
        assert np.allclose(np.linalg.norm(axis, axis=1), 1, atol=1e-3)


def test_papers_differ_in_path_and_carry_a_fingerprint() -> None:
    papers = documents_for(plan_with([CJK, CJK + " 2", "a"]), today=TODAY)
    paths = [paper.path for paper in papers]
    assert len(set(paths)) == len(paths)
    assert all(len(paper.fingerprint) == 12 for paper in papers)
    assert all(path.isascii() for path in paths)


def test_papers_for_the_crew_hold_no_money() -> None:
    request = request_for(example_plan(), TODAY, None)
    amounts = re.compile(r"[$€£]\s?\d|\d\s?(USD|EUR|GBP)\b")
    for name in DOCUMENTS:
        document = import_module(f"airwright.papers.{name}")
        assert isinstance(document.AUDIENCE, Audience)
        for paper in document.make(request):
            if paper.path.endswith(".pdf"):
                text = "\n".join(
                    page.extract_text() for page in PdfReader(BytesIO(paper.data)).pages
                )
                found = amounts.search(text)
                assert bool(found) == (document.AUDIENCE is not Audience.CREW), (paper.path, found)


def test_the_same_plan_makes_the_same_pack(tmp_path: Path) -> None:
    first = write_pack(example_plan(), tmp_path / "a", today=TODAY)
    second = write_pack(example_plan(), tmp_path / "b", today=TODAY)
    for one, other in zip(first, second, strict=True):
        assert one.read_bytes() == other.read_bytes(), one.name


def test_a_folder_that_cannot_be_is_told_before_the_work(tmp_path: Path) -> None:
    target = tmp_path / "out"
    target.write_text("a file")
    with pytest.raises(PackError):
        write_pack(
            example_plan(),
            target,
            today=TODAY,
            progress=lambda *_: pytest.fail("work was begun"),
        )


def test_what_could_not_be_printed_is_told(tmp_path: Path) -> None:
    heard: list[Finding] = []
    plan = plan_with(["\U00013000", "b", "c"], count=30)
    write_pack(
        plan,
        tmp_path / "out",
        today=TODAY,
        photos={"All pieces": tmp_path / "none.png"},
        found=heard.append,
    )
    assert {"no-glyph", "photo-unusable"} <= {finding.code for finding in heard}
