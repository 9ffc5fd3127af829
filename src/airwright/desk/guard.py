"""The door: who may ask at all, and what a browser may do with our pages.

Every answer carries a policy that allows nothing from elsewhere and no script or style in a
page. Requests for another host name (DNS rebinding) and writes from other pages are refused.
"""

from __future__ import annotations

import hmac
import secrets
from http.cookies import SimpleCookie
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from airwright.desk.config import DeskSettings, is_address, is_loopback

COOKIE = "airwright_seat"
COOKIE_SECONDS = 14 * 24 * 3600
LARGEST_BODY = 12_000_000
"""Bytes; a photograph from a phone fits."""

SAFE = ("GET", "HEAD", "OPTIONS")

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "frame-src 'self'",
        "object-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'self'",
    )
)

VIEWER_STYLE = "'sha256-PXtZZkJMMyc18o/DN1ZEFOJ2qEGq95IQbVaJFMOXOb0='"
"""The one style sheet that the 3D viewer of the client's page writes into its own shadow."""

CLIENT_POLICY = POLICY.replace("script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'").replace(
    "style-src 'self'", f"style-src 'self' {VIEWER_STYLE}"
)
"""The client's page turns decor in 3D with a viewer that unpacks meshes in WebAssembly."""

COUNT_POLICY = POLICY.replace("script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'")
"""The page that counts reads bar codes with a reader in WebAssembly."""

STRICT = "max-age=31536000"
"""A browser that came by HTTPS once comes by nothing else for a year (RFC 6797)."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "SAMEORIGIN",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """Middleware round the whole desk."""

    def __init__(self, app: ASGIApp, settings: DeskSettings) -> None:
        self.app = app
        self.settings = settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or let through with the headers that keep a page to itself."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope["method"], headers, scope)
        if refusal is not None:
            status, words = refusal
            answer = PlainTextResponse(words, status, headers=HEADERS)
            await answer(scope, receive, send)
            return
        session_token, is_new = _session_token(headers)
        scope.setdefault("state", {})["session_token"] = session_token

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                out = MutableHeaders(scope=message)
                client = scope["path"].startswith("/c/")
                policy = {"content-security-policy": CLIENT_POLICY} if client else {}
                if scope["path"] == "/stock/count":
                    policy = {"content-security-policy": COUNT_POLICY}
                for name, value in (HEADERS | policy).items():
                    out.setdefault(name, value)
                out.setdefault("cache-control", "no-store")
                if scope["scheme"] == "https":
                    out.setdefault("strict-transport-security", STRICT)
                taken = scope["state"].get("session_token")
                if taken != session_token or (is_new and not scope["path"].startswith("/static/")):
                    out.append("set-cookie", cookie(taken, secure=scope["scheme"] == "https"))
            await send(message)

        await self.app(scope, _bounded(receive), send_guarded)

    def _refusal(self, method: str, headers: Headers, scope: Scope) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if not self._is_ours(host):
            return 421, "This desk is not reached under that name.\n"
        length = headers.get("content-length", "0")
        if not (length.isdecimal() and length.isascii()):
            return 400, "The length of what was sent makes no sense.\n"
        if int(length) > LARGEST_BODY:
            return 413, "That is more than 12 MB. Send a smaller file.\n"
        if method not in SAFE:
            origin = headers.get("origin")
            if origin is not None and urlsplit(origin).netloc.lower() != host.lower():
                return 403, "Another page may not write here.\n"
            if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
                return 403, "Another page may not write here.\n"
        return None

    def _is_ours(self, host: str) -> bool:
        try:
            name = urlsplit(f"//{host}").hostname
        except ValueError:
            return False
        if name is None:
            return False
        if not self.settings.on_loopback and is_address(name):
            return True  # names can be rebound to our address; an address cannot
        named = {entry.lower() for entry in (*self.settings.names, self.settings.host)}
        return is_loopback(name) or name in named


def _bounded(receive: Receive) -> Receive:
    """A body without a declared length is bounded, too."""
    taken = 0

    async def receive_bounded() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST_BODY:
            return {"type": "http.disconnect"}
        return message

    return receive_bounded


def _session_token(headers: Headers) -> tuple[str, bool]:
    """The browser's own secret: a session's token once somebody entered, else a random one."""
    jar: SimpleCookie = SimpleCookie()
    try:
        jar.load(headers.get("cookie", ""))
    except Exception:  # noqa: BLE001 - any broken cookie counts as none
        jar = SimpleCookie()
    found = jar.get(COOKIE)
    if found is not None and 20 <= len(found.value) <= 100:
        return found.value, False
    return secrets.token_urlsafe(32), True


def cookie(value: str, *, secure: bool) -> str:
    """The cookie that holds a session_token."""
    parts = [f"{COOKIE}={value}", "Path=/", f"Max-Age={COOKIE_SECONDS}", "HttpOnly", "SameSite=Lax"]
    return "; ".join([*parts, "Secure"] if secure else parts)


def form_token(key: str, session_token: str) -> str:
    """What forms and scripts of this browser must send along with every write."""
    return hmac.new(key.encode(), f"form:{session_token}".encode(), "sha256").hexdigest()


def same(one: str, other: str) -> bool:
    """Compare secrets in constant time."""
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode("utf-8", "replace"))
