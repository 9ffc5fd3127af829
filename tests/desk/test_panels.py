"""Forms are made from the records: what a key is asked with follows its type and its traits."""

import json
import tomllib
from typing import Annotated, Any, Literal

from airwright.decor.pieces import SPECS
from airwright.desk.design.forms import job_panel, piece_panel
from airwright.desk.field_groups import Field, groups_of
from airwright.job.cluster import Cluster
from airwright.job.examples import example_text
from airwright.job.pieces import Table
from airwright.job.records import records
from airwright.params import Param

FESTIVAL = tomllib.loads(example_text("harbour-festival"))


class Dummy(Table):
    """A kind whose keys bear names that no other has."""

    kind: Annotated[Literal["dummy"], Param("Its kind.")] = "dummy"
    tint: Annotated[str, Param("A shade.", shades=True)] = ""
    tints: Annotated[list[str], Param("Shades.", shades=True)] = []
    bunches: Annotated[list[Cluster], Param("Clusters.")] = []
    bunch: Annotated[Cluster | None, Param("A cluster.")] = None
    story: Annotated[str, Param("Some lines.", widget="area")] = ""
    slogan: Annotated[str, Param("A long line.", widget="wide")] = ""
    painted: Annotated[list[str], Param("With a brush.", widget="elsewhere")] = []
    words: Annotated[list[str], Param("Words.")] = []
    many: Annotated[int, Param("How many.", low=0, high=9)] = 1
    which: Annotated[Literal["one", "two"], Param("Which.")] = "one"


def fields(table: dict[str, Any]) -> dict[str, Field]:
    groups = groups_of(records(Dummy), table, ("pieces", 0), ())
    return {json.loads(f.path)[-1]: f for group in groups for f in group.fields}


def test_no_widget_hangs_on_the_name_of_a_key() -> None:
    found = fields({"bunches": ["4 x 11in"], "bunch": "3 x 5in"})
    assert {name: field.widget for name, field in found.items()} == {
        "tint": "shade",
        "tints": "shades",
        "bunches": "lines",
        "bunch": "text",
        "story": "area",
        "slogan": "wide",
        "words": "lines",
        "many": "number",
        "which": "choice",
    }
    assert {name for name, field in found.items() if field.steppers} == {"bunches", "bunch"}
    wide = {name for name, field in found.items() if field.is_wide}
    assert wide == {"tints", "bunches", "bunch", "story", "slogan", "words"}


def test_shades_by_size_are_lists_and_shares_of_a_mix_are_numbers() -> None:
    found = fields({"tints": {"5in": ["white", "sand"], "coral": 3}})
    assert (found["5in"].widget, found["5in"].value) == ("shades", "white\nsand")
    assert (found["coral"].widget, found["coral"].value) == ("number", "3")


def test_every_shade_of_a_piece_is_picked_not_typed() -> None:
    asked = {}
    for kind in SPECS:
        table = next((row for row in FESTIVAL["pieces"] if row["kind"] == kind), {"kind": kind})
        for group in piece_panel(table, 0, ()):
            asked.update({(kind, json.loads(f.path)[-1]): f.widget for f in group.fields})
    assert asked["centrepiece", "crown_shade"] == asked["flower", "middle_shade"] == "shade"
    assert asked["bouquet", "ribbon"] == "shade"
    assert asked["hoop", "shades_end"] == "shades"
    assert not {kind for kind, key in asked if key in ("kind", "chart", "spot")}


def test_the_panel_of_the_job() -> None:
    wide = {f.label for group in job_panel(FESTIVAL, ()) for f in group.fields if f.is_wide}
    assert wide == {"Title", "Contact", "Note", "Address"}
