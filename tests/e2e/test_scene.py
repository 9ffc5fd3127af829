"""The 3D view alone, in a real browser: what it draws, what hands and keys do, what it lets go.

The page is made here and served under the desk's strict content policy; pieces come from the
same code that answers the browser (`desk.editing`).
"""

from __future__ import annotations

import colorsys
import io
import subprocess
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from airwright.decor.assembly import Assembly, Role
from airwright.decor.standing import Piece, stand
from airwright.desk.editing.answer import picture
from airwright.desk.editing.shapes import shape
from airwright.pictures.drawing import about
from tests.pictures.samples import bouquet, cloud_column, packed_arch, swirl_column

pytestmark = [pytest.mark.browser, pytest.mark.slow]

FRONTEND = Path(__file__).parents[2] / "frontend"
ESBUILD = FRONTEND / "node_modules" / ".bin" / "esbuild"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:"
)
SHEET = {"light": (251, 251, 248), "dark": (30, 31, 37)}
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>View</title>
<link rel="icon" href="data:,"><link rel="stylesheet" href="/page.css"></head>
<body><div id="stage"></div><script type="module" src="/page.js"></script></body></html>"""
STYLE = """body { margin: 0 }
#stage { position: relative; width: 800px; height: 600px; --sheet: #fbfbf8 }
[data-theme=dark] #stage { --sheet: #1e1f25 }
#stage canvas { position: absolute; inset: 0; width: 100%; height: 100% }"""
SCRIPT = """import { mountScene } from "/scene.js";
import { arrange } from "/place.js";
const heard = { choose: [], place: [], view: [], missing: [] };
const start = async () => {
  window.scene = await mountScene(document.getElementById("stage"),
    { shapes: "/shapes/", onMissing: (keys) => heard.missing.push(...keys) });
  scene.onChoose((...told) => heard.choose.push(told));
  scene.onPlace((...told) => heard.place.push(told));
  scene.onView((told) => heard.view.push(told));
};
Object.assign(window, { heard, arrange, start, mountScene });
document.body.dataset.ready = "yes";"""


def row(index: int, made: Assembly, key: str, **more: Any) -> dict[str, Any]:
    """A piece as the desk answers it."""
    base = {"index": index, "name": made.name, "kind": made.kind, "count": 1, "key": key}
    told = base | {"spot": None, "picture": picture(made).model_dump(by_alias=True)} | more
    BODIES[index] = made
    return told


BODIES: dict[int, Assembly] = {}
"""What the rows of a test show, by their index."""


def placed(pieces: tuple[dict[str, Any], ...]) -> list[dict[str, Any]]:
    """The pieces with the places of their copies, as the desk tells them."""
    free = [at for at, piece in enumerate(pieces) if piece["spot"] is None]
    rule = [Piece.of(BODIES[pieces[at]["index"]], pieces[at]["count"]) for at in free]
    places: list[list[tuple[float, float, float]]] = [[] for _ in pieces]
    for one in stand(rule):
        places[free[one.piece]].append((one.x, one.y, one.turn_rad))
    for at, piece in enumerate(pieces):
        if (spot := piece["spot"]) is not None:
            found = about(
                "1", BODIES[piece["index"]], piece["count"], spot["x"], spot["y"], spot["facing"]
            )
            places[at] = [(p.x, p.y, p.turn) for p in found]
    return [piece | {"places": own} for piece, own in zip(pieces, places, strict=True)]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, list[str]]]:
    """Address of the page, and the list of everything asked of it."""
    if not ESBUILD.is_file():
        pytest.skip("the front end's packages are not installed (make frontend)")
    out = tmp_path_factory.mktemp("view")
    for name, source in (("scene", "index.ts"), ("place", "place.ts")):
        subprocess.run(
            [ESBUILD, FRONTEND / "src/scene" / source, "--bundle", "--format=esm",
             "--target=es2022", "--log-level=warning", f"--outfile={out / name}.js"],
            check=True,
        )  # fmt: skip
    files = {
        "/": ("text/html", PAGE.encode()),
        "/page.css": ("text/css", STYLE.encode()),
        "/page.js": ("text/javascript", SCRIPT.encode()),
        "/scene.js": ("text/javascript", (out / "scene.js").read_bytes()),
        "/place.js": ("text/javascript", (out / "place.js").read_bytes()),
    }
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            kind, body = files.get(self.path, ("", b""))
            if self.path.startswith("/shapes/"):
                mesh = shape(self.path[8:])
                kind, body = "application/json", mesh.model_dump_json(by_alias=True).encode()
            self.send_response(200 if kind else 404)
            self.send_header("content-type", kind or "text/plain")
            self.send_header("content-security-policy", POLICY)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            """Nothing to the terminal."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()


class Shown:
    """The page with a view on it; complaints of the console fail the test."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.complaints: list[str] = []
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", self._heard)

    def _heard(self, message: Any) -> None:
        if message.type in ("error", "warning") and "GL Driver" not in message.text:
            self.complaints.append(message.text)

    def show(self, *pieces: dict[str, Any], **more: Any) -> None:
        answer = {"pieces": placed(pieces), **more}
        self.page.evaluate("async (a) => { scene.show(a); await scene.drawn(); }", answer)

    def view(self, name: str) -> None:
        self.page.evaluate("(name) => scene.view(name)", name)
        self.settle()

    def settle(self) -> None:
        """Until the fine frame after the last change was drawn."""
        self.page.evaluate("scene.still()")

    def heard(self, what: str) -> list[Any]:
        return list(self.page.evaluate(f"() => heard.{what}"))

    def label(self) -> str:
        return str(self.page.get_attribute("canvas", "aria-label"))

    def pixels(self) -> Any:
        shot = Image.open(io.BytesIO(self.page.locator("#stage").screenshot()))
        return np.asarray(shot.convert("RGB"), dtype=float)


@pytest.fixture
def shown(browser: Any, site: tuple[str, list[str]]) -> Iterator[Shown]:
    context = browser.new_context(viewport={"width": 800, "height": 600}, reduced_motion="reduce")
    view = Shown(context.new_page())
    view.page.goto(site[0])
    view.page.wait_for_selector("body[data-ready]")
    view.page.evaluate("start()")
    yield view
    context.close()
    assert view.complaints == []


def test_every_balloon_of_every_copy_is_drawn(shown: Shown) -> None:
    column, arch = swirl_column(), packed_arch()
    shown.show(row(0, column, "a", count=2), row(1, arch, "b"))
    figures = shown.page.evaluate("scene.figures()")
    assert figures["balloons"] == 2 * len(column) + len(arch)
    assert 3 <= figures["calls"] <= 40
    for words in (column.name, arch.name, str(len(arch)), "2 ×"):
        assert words in shown.label()
    assert shown.page.get_attribute("canvas", "role") == "img"


def test_shades_stay_true(shown: Shown) -> None:
    """The middle of a topper shows the hue of its shade and about its lightness."""
    column = swirl_column()
    top = int(np.flatnonzero(column.role == Role.TOPPER)[0])
    colour = column.shades[column.shade[top]].colour
    shown.show(row(0, column, "a"))
    shown.view("front")
    pixels = shown.pixels()
    ground = np.abs(pixels - SHEET["light"]).max(axis=2) > 24
    columns = np.flatnonzero(ground.any(axis=0))
    lines = np.flatnonzero(ground[:, columns].any(axis=1))
    x = int((columns[0] + columns[-1]) / 2)
    y = int(lines[0] + 0.13 * (lines[-1] - lines[0]))
    patch = np.median(pixels[y - 4 : y + 5, x - 8 : x + 9].reshape(-1, 3), axis=0) / 255
    want = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255
    hue, light, _ = colorsys.rgb_to_hls(*patch)
    hue_wanted, light_wanted, _ = colorsys.rgb_to_hls(*want)
    assert abs(hue - hue_wanted) * 360 < 10
    assert abs(light - light_wanted) < 0.12


def test_only_what_changed_is_built(shown: Shown, site: tuple[str, list[str]]) -> None:
    first, second = row(0, swirl_column(), "a"), row(1, cloud_column(), "b")
    shown.show(first, second)
    assert sorted(shown.page.evaluate("scene.held()")) == ["a", "b"]
    before = site[1].count("/shapes/pear-86")
    del first["picture"]
    shown.show(first, second | {"key": "c"})
    assert shown.page.evaluate("scene.figures().balloons") == len(swirl_column()) + len(
        cloud_column()
    )
    assert site[1].count("/shapes/pear-86") == before  # meshes are fetched once
    assert shown.heard("missing") == []
    shown.show(first | {"key": "never sent"})
    assert shown.heard("missing") == ["never sent"]


def test_a_tap_finds_the_balloon(shown: Shown) -> None:
    column = swirl_column()
    shown.show(row(3, column, "a"))
    shown.view("front")
    pixels = shown.pixels()
    ground = np.abs(pixels - SHEET["light"]).max(axis=2) > 24
    columns = np.flatnonzero(ground.any(axis=0))
    top = int(np.flatnonzero(ground.any(axis=1))[0])
    shown.page.mouse.click(int((columns[0] + columns[-1]) / 2), top + 25)
    [[piece, balloon]] = shown.heard("choose")
    assert piece == "3"
    assert column.role[balloon["row"]] == Role.TOPPER
    assert balloon["shade"] == column.shades[column.shade[balloon["row"]]].name
    assert f"Chosen: {column.name}" in shown.label()
    shown.settle()
    pen = np.array([47, 58, 168])
    outline = (np.abs(shown.pixels() - pen).max(axis=2) < 60).sum()
    assert outline > 200  # and the piece is outlined in the page's pen
    shown.page.mouse.click(12, 590)
    assert shown.heard("choose")[-1] == ["", None]


def test_a_piece_is_dragged_in_steps(shown: Shown) -> None:
    shown.show(row(0, swirl_column(), "a", spot={"x": 1.0, "y": 2.0, "facing": 0.0}))
    shown.view("top")
    mouse = shown.page.mouse
    mouse.move(400, 315)
    mouse.down()
    for step in range(1, 6):
        mouse.move(400 + 20 * step, 315)
    mouse.up()
    [[piece, x, y, facing]] = shown.heard("place")
    assert piece == "0"
    assert facing == 0
    assert 1.1 <= x < 3.0
    assert abs(y - 2.0) <= 0.1
    assert abs(10 * x - round(10 * x)) < 1e-9


def test_keys_do_what_the_mouse_does(shown: Shown) -> None:
    shown.show(row(0, swirl_column(), "a"), row(1, packed_arch(), "b"))
    keys = shown.page.keyboard
    shown.page.focus("canvas")
    keys.press("n")
    assert shown.heard("choose")[-1][0] == "0"
    keys.press("p")
    assert shown.heard("choose")[-1][0] == "1"
    before = shown.pixels()
    keys.press("ArrowRight")
    shown.settle()
    assert shown.heard("view")[-1] == "free"
    assert np.abs(shown.pixels() - before).mean() > 0.5
    keys.press("Home")
    assert shown.heard("view")[-1] == "three-quarter"
    shown.view("front")
    keys.press("Shift+ArrowRight")
    keys.press("Shift+ArrowUp")
    keys.press("r")
    [one, two, three] = shown.heard("place")
    assert two[1] == one[1]
    assert two[2] == pytest.approx(one[2] + 0.1)
    assert three[1:] == [*two[1:3], 15]
    keys.press("Escape")
    assert shown.heard("choose")[-1][0] == ""
    keys.press("Tab")
    assert shown.page.evaluate("document.activeElement.tagName") != "CANVAS"


def test_a_walk_at_eye_level(shown: Shown) -> None:
    shown.show(row(0, packed_arch(), "a"))
    shown.view("eye")
    before = shown.pixels()
    shown.page.focus("canvas")
    for _ in range(4):
        shown.page.keyboard.press("ArrowUp")
    shown.settle()

    def covered(pixels: Any) -> int:
        return int((np.abs(pixels - SHEET["light"]).max(axis=2) > 40).sum())

    assert covered(shown.pixels()) > 1.15 * covered(before)  # what one walks up to grows
    assert shown.heard("view")[-1] == "eye"


def test_the_page_decides_the_colours(shown: Shown) -> None:
    shown.show(row(0, bouquet(), "a"))
    shown.settle()
    assert tuple(shown.pixels()[4, 4]) == SHEET["light"]
    shown.page.evaluate("document.documentElement.dataset.theme = 'dark'")
    shown.settle()
    assert np.abs(shown.pixels()[4, 4] - SHEET["dark"]).max() <= 1


def test_every_copy_stands_where_the_desk_says(shown: Shown) -> None:
    column = row(0, swirl_column(), "a", count=2)
    arch = row(1, packed_arch(), "b", count=3, spot={"x": 2.0, "y": 5.0, "facing": 30.0})
    pieces = placed((column, arch))
    ours = shown.page.evaluate("(p) => arrange(p).map((s) => [s.x, s.y, s.turn])", pieces)
    assert len(ours) == 5
    assert np.asarray(ours) == pytest.approx(np.concatenate([p["places"] for p in pieces]))


def test_without_webgl_the_still_picture_stays(browser: Any, site: tuple[str, list[str]]) -> None:
    page = browser.new_page()
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    page.goto(site[0])
    page.wait_for_selector("body[data-ready]")
    told = page.evaluate(
        "async () => { try { await start(); } catch (e) { return [e.name, e.message]; } }"
    )
    assert told[0] == "NoWebGL"
    assert "still picture stays" in told[1]
    assert page.locator("#stage > *").count() == 0
    page.close()


def test_it_lets_go_of_everything(shown: Shown) -> None:
    again = """async () => {
      const gl = document.querySelector("canvas").getContext("webgl2");
      scene.dispose();
      const gone = gl.isContextLost() && document.querySelector("canvas") === null;
      await start();
      return gone;
    }"""
    for _ in range(4):
        shown.show(row(0, swirl_column(), "a"))
        assert shown.page.evaluate(again)
    assert shown.page.locator("canvas").count() == 1
    shown.show(row(0, swirl_column(), "a"))
    shown.settle()
    assert np.ptp(shown.pixels().mean(axis=2)) > 50
