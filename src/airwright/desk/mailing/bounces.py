"""Mail that came back: which of ours it was, and why (RFC 3464)."""

from __future__ import annotations

import re
from email import message_from_bytes, policy


def bounce_of(data: bytes) -> tuple[tuple[str, ...], str]:
    """Message-IDs a report names, and what it says of the failure.

    Args:
        data: the report as the studio's mail program keeps it (.eml).
    """
    message = message_from_bytes(data, policy=policy.default)
    said, names = "", []
    for part in message.walk():
        if part.get_content_type() == "message/delivery-status":
            fields = [str(inner) for inner in part.iter_parts()] or [part.as_string()]
            found = re.search(r"Diagnostic-Code:\s*(.+)", "\n".join(fields))
            status = re.search(r"Status:\s*([245]\.\d+\.\d+)", "\n".join(fields))
            said = (found[1].strip() if found else "") or (status[1] if status else "")
        if part.get_content_type() in ("message/rfc822", "text/rfc822-headers"):
            names += re.findall(r"(?im)^Message-ID:\s*(<[^>\s]+>)", part.as_string())
    names += re.findall(r"<[^>\s]+@[^>\s]+>", str(message.get("References", "")))
    names += re.findall(r"<[^>\s]+@[^>\s]+>", str(message.get("In-Reply-To", "")))
    return tuple(dict.fromkeys(names)), said or str(message.get("Subject", "It came back."))
