"""How long a studio keeps what it no longer needs; 0 days: for ever."""

from __future__ import annotations

from typing import Annotated

from airwright.job.pieces import Table
from airwright.language import message
from airwright.params import Param

LONGEST_DAYS = 36_500


class Keeping(Table):
    """What is tidied away, and after how many days."""

    archive: Annotated[
        int,
        Param(
            message("Days after its event until a settled job goes to the archive."),
            low=0,
            high=LONGEST_DAYS,
        ),
    ] = 365
    papers: Annotated[
        int,
        Param(
            message("Days until papers and photographs of settled jobs go; they can be made anew."),
            low=0,
            high=LONGEST_DAYS,
        ),
    ] = 730
    links: Annotated[
        int, Param(message("Days until a client’s ended link goes."), low=0, high=LONGEST_DAYS)
    ] = 365
    tasks: Annotated[
        int,
        Param(message("Days until the notes of finished work go."), low=0, high=LONGEST_DAYS),
    ] = 30
    log: Annotated[
        int, Param(message("Days until an entry of the log goes."), low=0, high=LONGEST_DAYS)
    ] = 1095
    tax_years: Annotated[
        int,
        Param(message("Years that invoices must stay, as your tax office asks."), low=0, high=30),
    ] = 10
