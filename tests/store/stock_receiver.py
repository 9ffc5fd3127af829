"""Receives parcel after parcel until it is killed; says each one that is written down."""

from __future__ import annotations

import datetime as dt
import sys

from airwright.store import open_database
from airwright.store.purchases import Purchases
from airwright.store.stock import Said

DAY = dt.date(2027, 5, 12)


def main(address: str, purchase_id: str, first: int) -> None:
    database = open_database(address)
    number = first
    while True:
        with database.writing() as session:
            purchases = Purchases(session)
            packs = {line.row.id: 1 for line in purchases.lines(purchase_id)}
            purchases.receive(purchase_id, packs, Said(f"parcel {number}", "Ada", DAY))
        sys.stdout.write(f"{number}\n")
        sys.stdout.flush()
        number += 1


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
