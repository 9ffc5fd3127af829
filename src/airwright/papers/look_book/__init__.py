"""The look book: a studio's saved designs as a PDF, a price menu and a web page.

`gather` reads and plans a folder of designs, `model` says what each look is, `render` typesets
the two PDFs, `web` writes the page. It is made from a folder, not from one job, and so is not one
of a job pack's documents.
"""

from airwright.papers.look_book.gather import Design, Look, Trouble, plan_looks, read_designs
from airwright.papers.look_book.make import make_looks
from airwright.papers.look_book.model import LookBook, LookOffer, SizeOffer, book_of

__all__ = [
    "Design",
    "Look",
    "LookBook",
    "LookOffer",
    "SizeOffer",
    "Trouble",
    "book_of",
    "make_looks",
    "plan_looks",
    "read_designs",
]
