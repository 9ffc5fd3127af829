"""What was agreed: the yes on one page, and the offer as it was sent behind it."""

from airwright.papers.acceptance.render import Agreement, render

__all__ = ["Agreement", "render"]
