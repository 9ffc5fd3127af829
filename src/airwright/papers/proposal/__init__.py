"""proposal.pdf: what the client sees, wants and signs. It never shows our cost or margin."""

from airwright.papers.common.document import Audience
from airwright.papers.proposal.model import Proposal, proposal_of
from airwright.papers.proposal.render import make, render

AUDIENCE = Audience.CLIENT

__all__ = ["AUDIENCE", "Proposal", "make", "proposal_of", "render"]
