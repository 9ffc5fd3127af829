"""How good a photograph is wanted, and what that costs."""

from __future__ import annotations

from dataclasses import dataclass

from airwright.pictures.mesh import DRAFT, FINE, SCREEN, Detail
from airwright.pictures.photo.errors import PhotoError


@dataclass(frozen=True, slots=True)
class Quality:
    """One level of effort.

    Attributes:
        name: what the user asks for.
        samples: light paths a pixel.
        guide_samples: rays a pixel for the denoiser's colour and surface guides.
        bounces: longest light path.
        passes: the samples are taken in so many rounds, between which one can stop.
        detail: how finely balloons are meshed.
        help: one line for pages and command help.
        outside: share of the samples taken where only the place is seen, away from the decor.
    """

    name: str
    samples: int
    guide_samples: int
    bounces: int
    passes: int
    detail: Detail
    help: str
    outside: float = 1.0


DRAFT_QUALITY = Quality("draft", 3, 6, 5, 2, DRAFT, "a look within seconds, soft in the shadows")
PROPOSAL = Quality("proposal", 13, 8, 6, 4, SCREEN, "for the client's screen and the proposal", 0.5)
PRINT = Quality(
    "print", 96, 32, 9, 12, FINE, "for the look book and large prints; takes minutes", 0.5
)

QUALITIES = {quality.name: quality for quality in (DRAFT_QUALITY, PROPOSAL, PRINT)}


def quality_named(name: str | Quality) -> Quality:
    """The quality of that name; PhotoError when there is none."""
    if isinstance(name, Quality):
        return name
    if name not in QUALITIES:
        raise PhotoError(
            "photo.quality",
            f"There is no picture quality “{name}”.",
            f"Choose one of {', '.join(QUALITIES)}.",
        )
    return QUALITIES[name]
