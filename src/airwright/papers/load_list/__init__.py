"""load-list.pdf: what goes along in the van, with boxes to tick, weights and bulk."""

from airwright.papers.common.document import Audience
from airwright.papers.load_list.model import LoadList, load_list_of
from airwright.papers.load_list.render import make, render

AUDIENCE = Audience.CREW

__all__ = ["AUDIENCE", "LoadList", "load_list_of", "make", "render"]
