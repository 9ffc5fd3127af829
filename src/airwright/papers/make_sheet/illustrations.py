"""Every picture of a make sheet, drawn once and named for the template."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from airwright.decor.assembly import Assembly
from airwright.language import message
from airwright.papers.common.labels import labels_data, lift_labels
from airwright.papers.common.page import Page
from airwright.papers.common.pictures import Picture, Pictures
from airwright.papers.common.request import Request
from airwright.papers.make_sheet.charts import ChartPart, chart_beside, chart_parts, has_chart
from airwright.papers.make_sheet.clusters import Placed, in_order
from airwright.papers.make_sheet.model import PieceSheet
from airwright.papers.make_sheet.steps import step_looks
from airwright.pictures.drawing import Drawing, draw_ring
from airwright.pictures.drawing.grids import grid_parts, is_grid, shades_in
from airwright.pictures.drawing.hands import TECHNIQUES
from airwright.plan.values import PiecePlan
from airwright.units import System

CHART_ROOM_MM = 34.0
"""Height of a page's body that headings above and below a chart take [mm]."""
BESIDE_MM = (86.0, 150.0)
"""Width and height of a chart beside the lists of its piece [mm]."""
FEW_RUNS = 8
"""Runs of equal clusters in order that stand beside the lists."""
PAGE = ".page"
WITHOUT_ORDER = frozenset({"letters"})
"""Kinds whose clusters go wherever they fit, so that a list in order says nothing."""
MOST_RINGS = 6
"""Kinds of clusters drawn large; where there are more, the list in order shows each of them."""


@dataclass(frozen=True)
class Illustration:
    """Pictures of one piece, as plain values that name files.

    Attributes:
        charts, grids: layers unrolled, or a wall as it stands; split over pages.
        order: clusters in order, for a piece that has neither.
        plan_page: whether these take a page of their own after the steps.
    """

    front: dict[str, Any]
    rings: tuple[dict[str, Any], ...]
    charts: tuple[dict[str, Any], ...]
    grids: tuple[dict[str, Any], ...]
    steps: tuple[dict[str, Any], ...]
    order: tuple[Placed, ...]
    plan_page: bool


@dataclass
class IllustrationFiles:
    """Files for the typesetter, by name."""

    pictures: Pictures
    files: dict[str, bytes] = field(default_factory=dict)

    def put(self, drawing: Drawing, file: str, alt: str) -> dict[str, Any]:
        """A drawing as a picture the template can show; its words are set by the typesetter.

        One whose file ends with ".page" can be shown several times and is kept once.
        """
        bare, labels = lift_labels(drawing)
        shown = bare if labels else drawing
        picture = self.pictures.picture(shown, file, alt)
        self.files[file] = picture.data
        return {**_plain(picture), "labels": labels_data(labels)}


def _plain(picture: Picture) -> dict[str, Any]:
    return {
        "file": picture.file,
        "alt": picture.alt,
        "aspect": picture.aspect,
        "width": picture.width_m,
        "height": picture.height_m,
    }


def illustrations_of(
    request: Request, shelf: IllustrationFiles, page: Page, sheets: tuple[PieceSheet, ...]
) -> list[Illustration]:
    """Draw everything; pieces and sheets stand in the same order."""
    pieces = request.plan.in_scope
    return [
        _look(piece, sheet, at, shelf, page, request.system)
        for at, (piece, sheet) in enumerate(zip(pieces, sheets, strict=True))
    ]


def _look(
    piece: PiecePlan,
    sheet: PieceSheet,
    at: int,
    shelf: IllustrationFiles,
    page: Page,
    system: System,
) -> Illustration:
    assembly, name = piece.assembly, piece.name
    front = shelf.pictures.drawing(piece)
    grids = _grids(assembly, page)
    beside = (
        None if grids or not has_chart(assembly) else chart_beside(assembly, *BESIDE_MM, system)
    )
    if beside is not None:
        charts: tuple[dict[str, Any], ...] = (_chart(beside, at, 0, shelf),)
    else:
        charts = () if grids else _charts(assembly, at, shelf, page, system)
    listed = () if grids or charts else in_order(assembly)
    if len(listed) <= len(sheet.clusters) <= MOST_RINGS:
        listed = ()  # the cards say it all
    if sheet.kind in WITHOUT_ORDER:
        listed = ()
    many = (bool(listed) or sheet.kind in WITHOUT_ORDER) and len(sheet.clusters) > MOST_RINGS
    rings = () if many else sheet.clusters
    return Illustration(
        front=shelf.put(front, f"p{at}-front.svg", message("{piece} from the front", piece=name)),
        rings=tuple(
            shelf.put(
                draw_ring(assembly, card.index, width_mm=46.0, legend=False, system=system),
                f"p{at}-ring{k}.svg",
                message("Cluster {n} from above", n=k + 1),
            )
            for k, card in enumerate(rings)
        ),
        charts=charts,
        grids=grids,
        steps=_steps(assembly, at, shelf),
        order=listed,
        plan_page=bool(grids) or (bool(charts) and beside is None) or len(listed) > FEW_RUNS,
    )


def _charts(
    assembly: Assembly, at: int, shelf: IllustrationFiles, page: Page, system: System
) -> tuple[dict[str, Any], ...]:
    if not has_chart(assembly):
        return ()
    high = page.body_height_mm - CHART_ROOM_MM
    parts = chart_parts(assembly, page.body_width_mm, high, system)
    return tuple(_chart(part, at, k, shelf) for k, part in enumerate(parts))


def _chart(part: ChartPart, at: int, number: int, shelf: IllustrationFiles) -> dict[str, Any]:
    alt = message("Layers {first} to {last}", first=part.first, last=part.last)
    return {
        **shelf.put(part.drawing, f"p{at}-chart{number}.svg", alt),
        "first": part.first,
        "last": part.last,
        "width": part.width_mm,
        "height": part.height_mm,
    }


def _grids(assembly: Assembly, page: Page) -> tuple[dict[str, Any], ...]:
    if not is_grid(assembly):
        return ()
    high = page.body_height_mm - CHART_ROOM_MM - 12.0
    parts = grid_parts(assembly, page.body_width_mm - 10.0, high)
    shades = [
        {"label": label, "name": name, "colour": colour}
        for label, name, colour in shades_in(assembly)
    ]
    return tuple({**asdict(part), "shades": shades} for part in parts)


def _steps(assembly: Assembly, at: int, shelf: IllustrationFiles) -> tuple[dict[str, Any], ...]:
    out = []
    for k, look in enumerate(step_looks(assembly)):
        title = assembly.steps[k].title
        # The closer look is a part of the same picture.
        ending = ".svg" if look.close is None else PAGE
        whole = shelf.put(
            look.whole,
            f"p{at}-step{k}{ending}",
            message("After step {n}: {title}", n=k + 1, title=title),
        )
        close = None
        if look.close is not None:
            canvas = look.close.canvas
            close = {
                "aspect": canvas.width / canvas.height,
                "alt": message("Step {n} from close by", n=k + 1),
            }
        out.append({"whole": whole, "close": close, "frame": look.frame})
    return tuple(out)


def technique_illustrations(
    names: tuple[str, ...], shelf: IllustrationFiles
) -> list[dict[str, Any]]:
    """The hand movements of a job, each in a few pictures with a sentence."""
    return [
        {
            "title": TECHNIQUES[name].title,
            "check": TECHNIQUES[name].check,
            "panels": [
                {
                    "picture": shelf.put(panel.drawing(), f"{name}-{k}.svg", panel.caption),
                    "caption": panel.caption,
                }
                for k, panel in enumerate(TECHNIQUES[name].panels)
            ],
        }
        for name in names
    ]
