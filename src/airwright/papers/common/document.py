"""A finished document, and the fingerprint of what it was made from."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from airwright.job.findings import Finding, hint

PRINT_LENGTH: Final = 12


class Audience(StrEnum):
    """Whom a document is for, from what stands in it."""

    CREW = "crew"
    """Everybody at the job: it holds no money."""
    CLIENT = "client"
    """The client, and whoever may see prices."""
    OWNER = "owner"
    """The owner: it shows what things cost us."""


@dataclass(frozen=True, slots=True)
class Paper:
    """One file of the pack.

    Attributes:
        path: file name inside the pack, with "/" between folders: "pictures/arch.svg".
        data: its bytes.
        fingerprint: of the inputs it was made from; equal inputs, equal fingerprint.
        findings: what could not be printed as wished.
    """

    path: str
    data: bytes
    fingerprint: str
    findings: tuple[Finding, ...] = ()


def fingerprint(model: Any) -> str:
    """Short name of a document's inputs: SHA-256 of its model's plain values, 12 hex digits.

    Args:
        model: a dataclass (bytes in it count by their own hash), or plain values.
    """
    if dataclasses.is_dataclass(model) and not isinstance(model, type):
        model = {"": type(model).__name__, **_fields(model)}
    text = json.dumps(model, sort_keys=True, default=_plain, ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:PRINT_LENGTH]


def _fields(model: Any) -> dict[str, Any]:
    return {field.name: getattr(model, field.name) for field in dataclasses.fields(model)}


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return _fields(value)
    if isinstance(value, bytes):
        return hashlib.sha256(value).hexdigest()
    return str(value)


def glyph_findings(path: str, unprintable: Iterable[str]) -> tuple[Finding, ...]:
    """One finding for all characters that a document had to replace."""
    chars = list(unprintable)
    if not chars:
        return ()
    shown = ", ".join(f"{char} (U+{ord(char):04X})" for char in chars[:8])
    more = f" and {len(chars) - 8} more" if len(chars) > 8 else ""
    what = f'{path} shows "?" for characters its fonts do not hold: {shown}{more}.'
    return (hint("no-glyph", "", what, "Write the name in other letters, or fill it in by hand."),)
