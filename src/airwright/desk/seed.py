"""What an empty desk begins with: the demo job and designs for calls, all of them invented."""

from __future__ import annotations

from importlib.resources import files

from airwright.desk.designs import keep_piece
from airwright.desk.job_changes import start
from airwright.desk.state import Desk
from airwright.job.examples import designs_path
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, Facts, StudioFile

DEMO = "ferry-terminal.toml"


def demo_text() -> str:
    """The demo job's file."""
    return files("airwright.job").joinpath("examples", DEMO).read_text(encoding="utf-8")


def design_texts() -> list[str]:
    """The job files of the designs that ship with Airwright: an arch, a wall, a garland, …"""
    with designs_path() as folder:
        return [file.read_text(encoding="utf-8") for file in sorted(folder.glob("*.toml"))]


def seed(desk: Desk) -> None:
    """Put the demo job into a desk that was never used; does nothing ever after.

    Called while no other desk starts at this database (`Database.alone`).
    """
    with desk.database.reading() as session:
        if Facts(session).get("seeded") is not None:
            return
        studio_text = StudioFile(session).get()[0]
    if desk.settings.sample:  # built before the writing, which keeps all others from it
        for text in (demo_text(), *design_texts()):
            desk.builder.evaluate(text, studio_text)
    with desk.database.writing() as session:
        facts = Facts(session)
        if facts.get("seeded") is not None:
            return
        facts.put("seeded", "yes")
        if not desk.settings.sample:
            return
        studio_text = StudioFile(session).get()[0]
        _, evaluation = start(
            desk.builder, Jobs(session), studio_text, demo_text(), "Airwright",
            stage="offered", sample=True,
        )  # fmt: skip
        for found in (
            evaluation,
            *(desk.builder.evaluate(text, studio_text) for text in design_texts()),
        ):
            for index in range(len(found.plan.pieces) if found.plan is not None else 0):
                keep_piece(Designs(session), found, index)
