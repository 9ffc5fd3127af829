"""An offer as sent: what the client sees, as plain values that are kept byte for byte."""

from airwright.papers.edition.build import Drawn, edition_of, planned_of
from airwright.papers.edition.changes import changes
from airwright.papers.edition.model import Edition, OfferedOption, read

__all__ = ["Drawn", "Edition", "OfferedOption", "changes", "edition_of", "planned_of", "read"]
