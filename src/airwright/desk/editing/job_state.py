"""What the desk answers a browser about a job; the front end's types are made from these models.

Lengths in metres, x to the right, y into the depth, z up; money as text. What a person may not
see, and what does not apply, is left out of the answer: those fields are never written as null.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from airwright.desk.editing.merging import Rival

Point = tuple[float, float, float]
Finish = Literal["matte", "pearl", "metallic", "clear"]


class Answer(BaseModel):
    """A part of what is answered."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    def as_json(self) -> str:
        """The answer as it is sent, without the fields that were not given."""
        return self.model_dump_json(exclude_unset=True, by_alias=True)


class StockState(Answer):
    """One kind of balloon in a picture: which unit mesh, and what is printed on it.

    `letters` are the outlines of a text, x and z of each corner in turn, in radii; holes too.
    """

    shape: str
    size: str
    mark: str | None
    letters: list[list[float]] | None


class ShadeState(Answer):
    """A shade of a picture; `inner` is what is seen through a clear balloon."""

    name: str
    colour: str
    finish: Finish
    inner: str | None


class ColourState(Answer):
    """A shade of the job."""

    colour: str
    finish: Finish


class HardwareState(Answer):
    """A pole, a base, a line; a board has a colour, and triangles of its words in x and z [m]."""

    use: str
    path: list[Point]
    across: float
    height: float
    colour: str | None
    print: list[list[float]] | None


class StrandState(Answer):
    """A modelling balloon or a ribbon along a path."""

    path: list[Point]
    across: float
    colour: str


class FabricState(Answer):
    """A sleeve round a pole."""

    material: str
    radius: float
    bottom: float = Field(alias="from")
    top: float = Field(alias="to")
    colour: str
    at: tuple[float, float]


class CellsState(Answer):
    """Row from the floor and place from the left of each balloon, packed (int16)."""

    row: str
    place: str


class PictureState(Answer):
    """A piece's arrays, one row a balloon, numbers packed little-endian in base64.

    (N, 3) float32: centre and axis. (N,) float32: radius. (N,) int16: the others.
    """

    centre: str
    axis: str
    radius: str
    stock: str
    shade: str
    layer: str
    slot: str
    role: str
    cells: CellsState | None
    stocks: list[StockState]
    shades: list[ShadeState]
    hardware: list[HardwareState]
    strands: list[StrandState]
    fabrics: list[FabricState]


class SpotState(Answer):
    """Where the first copy was put by hand; `facing` in degrees, anticlockwise from above."""

    x: float
    y: float
    facing: float


class PieceState(Answer):
    """A piece. `has_chart`: whether its balloons can be painted one by one.

    `places`: right, away [m] and turn, anticlockwise from above [rad], of each copy.
    """

    index: int
    name: str
    kind: str
    has_chart: bool
    count: int
    key: str | None
    spot: SpotState | None
    places: list[Point]
    balloons: int = 0
    layers: int = 0
    size: Point = (0.0, 0.0, 0.0)
    picture: PictureState | None = None
    hours: float = 0.0
    mass_kg: float = 0.0
    tally: list[tuple[str, float, str, str, int]] = []


class DoorState(Answer):
    """The venue's door: place and size [m], turn anticlockwise from above [rad]."""

    x: float
    y: float
    turn: float
    width: float
    height: float


class TotalsState(Answer):
    """The figures of the job, or of what the client took."""

    left_out: list[str]
    balloons: int
    hours: float
    scope: list[str]
    price: str | None = None
    total: str | None = None
    cost: str | None = None
    margin: str | None = None


class OptionState(Answer):
    """What one option comes to."""

    name: str
    pieces: list[str]
    balloons: int
    hours: float
    price: str | None = None
    cost: str | None = None
    margin: str | None = None


class FindingState(Answer):
    """A finding, in words."""

    code: str
    severity: Literal["error", "caution", "hint"]
    place: str
    what: str
    mend: str
    line: int | None
    column: int | None
    standard: str | None
    pieces: list[str]


class JobState(Answer):
    """A job as it stands: the answer to every change."""

    version: int
    undo: str | None
    redo: str | None
    merged: bool
    focus: int | None
    made: int | None
    names: list[str]
    pieces: list[PieceState]
    door: DoorState | None
    shades: dict[str, ColourState]
    totals: TotalsState | None
    options: list[OptionState]
    findings: list[FindingState]
    currency: str


class Fault(Answer):
    """What went wrong, and what to do."""

    what: str
    mend: str


class Conflict(Fault):
    """Two people changed the same thing: both values, and the versions in the way."""

    rivals: list[Rival]
    others: list[int]
