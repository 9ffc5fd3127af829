"""Settings' fields from the studio's parameter records, and pictures sent in."""

from __future__ import annotations

import io
import json
import warnings
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pydantic import BaseModel

from airwright.desk.editing.edits import EditError
from airwright.desk.field_groups import Field, Group, groups_of
from airwright.job.business import Business, Letters, MailServer
from airwright.job.charges import (
    Delivery,
    Gas,
    Hire,
    OutOfHours,
    PaymentTerms,
    Permits,
    Rush,
    SetUp,
    TakeDown,
)
from airwright.job.findings import Finding
from airwright.job.keeping import Keeping
from airwright.job.records import records
from airwright.job.studio import Care, Crew, Helium, House, Pricing, Van
from airwright.language import message

MOST_PIXELS = 40_000_000
LARGEST_PICTURE = 8_000_000
LOGO_PX = 800

OPEN = ("studio", "pricing")
"""Parts of the settings every studio fills in first; the others are folded."""

PARTS = (
    ("studio", House, message("Who you are")),
    ("pricing", Pricing, message("Prices")),
    ("delivery", Delivery, message("Delivery")),
    ("set_up", SetUp, message("Set-up on site")),
    ("take_down", TakeDown, message("Take down")),
    ("out_of_hours", OutOfHours, message("Work out of hours")),
    ("rush", Rush, message("Short notice")),
    ("gas", Gas, message("Helium on the bill")),
    ("hire", Hire, message("Hire of hardware")),
    ("permits", Permits, message("Permits and fees")),
    ("payment", PaymentTerms, message("When clients pay")),
    ("crew", Crew, message("Crew")),
    ("van", Van, message("The van")),
    ("care", Care, message("Care")),
    ("helium", Helium, message("Helium")),
    ("business", Business, message("Invoices")),
    ("mail", MailServer, message("Mail")),
    ("letters", Letters, message("Words of your mail")),
    ("keeping", Keeping, message("How long things are kept")),
)


@dataclass(frozen=True, slots=True)
class Settings:
    """A group of settings, folded or open.

    Attributes:
        open: whether it matters to everybody, or something in it is wrong.
        own: how many of its fields the studio has filled in itself.
    """

    group: Group
    open: bool
    own: int


def panel(tables: Mapping[str, Any], findings: Iterable[Finding]) -> tuple[Settings, ...]:
    """The settings' fields."""
    groups: list[Settings] = []
    found = tuple(findings)
    for key, model, title in PARTS:
        table = tables.get(key)
        values = table if isinstance(table, dict) else {}
        groups += [
            _settings(
                Group(group.title, tuple(_as_people_say(field, model) for field in group.fields)),
                key in OPEN,
            )
            for group in groups_of(records(model), values, (key,), found, title)
        ]
    return tuple(groups)


def _settings(group: Group, always: bool) -> Settings:
    wrong = any(field.findings for field in group.fields)
    return Settings(group, always or wrong, sum(bool(field.value) for field in group.fields))


def _as_people_say(field: Field, model: type[BaseModel]) -> Field:
    name = json.loads(field.path)[-1]
    record = next(row for row in records(model) if row.name == name)
    if not record.is_share:
        return field
    return replace(field, value=_percent(field.value), hint=_percent(field.hint))


def _percent(text: str) -> str:
    """ "0.18" as "18 %"; anything else as it stands."""
    try:
        return f"{float(text) * 100:.6g} %"
    except ValueError:
        return text


def clean_picture(data: bytes) -> bytes:
    """A picture sent in, decoded and written anew as PNG: what is in it beside pixels is dropped.

    Raises:
        EditError: no picture we know, damaged, or too many pixels to be one.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(data) > LARGEST_PICTURE:
        raise EditError(message("This picture has more than 8 MB."), message("Send a smaller one."))
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(io.BytesIO(data), formats=("PNG", "JPEG", "WEBP", "GIF")) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    raise EditError(
                        message("This picture has too many pixels."), message("Send a smaller one.")
                    )
                opened.thumbnail((LOGO_PX * 2, LOGO_PX * 2))
                picture = ImageOps.exif_transpose(opened).convert("RGBA")
        except (
            UnidentifiedImageError,
            Image.DecompressionBombError,
            Image.DecompressionBombWarning,
            OSError,
            SyntaxError,
            ValueError,
        ) as problem:
            if isinstance(problem, EditError):
                raise
            raise EditError(
                message("This is no picture we can read."), message("Send a PNG or JPEG.")
            ) from problem
    picture.thumbnail((LOGO_PX, LOGO_PX))
    out = io.BytesIO()
    picture.save(out, "PNG", optimize=True)
    return out.getvalue()
