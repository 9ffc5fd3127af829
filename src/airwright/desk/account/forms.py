"""What a browser sends when it made a passkey."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, Field


class Made(BaseModel):
    """A credential as the browser writes it, and a name for it."""

    credential: dict[str, Any]
    name: str = Field(default="", max_length=80)
