"""Who makes an entry in the stock's ledger."""

from __future__ import annotations

from airwright.desk.access import RequestContext
from airwright.store.stock import Said
from airwright.store.types import new_id


def said(context: RequestContext) -> Said:
    """Who says it, today, under the key the page gave, so that a second press changes nothing."""
    key = context.text("key", 60) or new_id()
    return Said(key, context.actor.name, context.desk.settings.today())
