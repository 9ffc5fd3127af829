"""sizing-card.pdf: every inflated diameter as a circle at true scale, to cut out and size by."""

from airwright.papers.common.document import Audience
from airwright.papers.sizing_card.model import SizingCard, sizing_card_of
from airwright.papers.sizing_card.render import make, render

AUDIENCE = Audience.CREW

__all__ = ["AUDIENCE", "SizingCard", "make", "render", "sizing_card_of"]
