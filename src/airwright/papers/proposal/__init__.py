"""proposal.pdf: what the client sees, wants and signs. It never shows our cost or margin."""

from airwright.papers.proposal.model import Proposal, proposal_of
from airwright.papers.proposal.render import make, render

__all__ = ["Proposal", "make", "proposal_of", "render"]
