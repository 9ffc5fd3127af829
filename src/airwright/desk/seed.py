"""What an empty desk begins with: the demo job (invented) and its pieces as saved designs."""

from __future__ import annotations

from importlib.resources import files

from airwright.desk.bench.service import start
from airwright.desk.call.service import keep_piece
from airwright.desk.state import Desk
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, Facts, StudioFile

DEMO = "ferry-terminal.toml"


def demo_text() -> str:
    """The demo job's file."""
    return files("airwright.job").joinpath("examples", DEMO).read_text(encoding="utf-8")


def seed(desk: Desk) -> None:
    """Put the demo job into a desk that was never used; does nothing ever after."""
    with desk.database.writing() as session:
        facts = Facts(session)
        if facts.get("seeded") is not None:
            return
        facts.put("seeded", "yes")
        if not desk.settings.sample:
            return
        studio_text = StudioFile(session).get()[0]
        _, look = start(
            desk.builder, Jobs(session), studio_text, demo_text(), "Airwright",
            stage="offered", sample=True,
        )  # fmt: skip
        if look.plan is not None:
            for index in range(len(look.plan.pieces)):
                keep_piece(Designs(session), look, index)
