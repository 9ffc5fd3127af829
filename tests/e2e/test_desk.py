"""The decorator's day in a real browser: every flow, by mouse and by keyboard alone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.e2e.conftest import RunningDesk, Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WIDTHS = (390, 820, 1440)
PAGES = ("/", "/enquiry", "/studio", "/team", "/sign-in", "{job}", "{job}?piece=0", "{job}/offer",
         "{job}/papers", "{job}/day", "{job}/outcome", "{job}/file", "{job}/remove",
         "/studio/catalog/balloons", "/studio/catalog/balloons/row?name=11in",
         "/studio/catalog/shades",
         "/studio/catalog/hardware/row", "/studio/times", "/studio/measures", "/studio/file",
         "/workshop/mix", "/workshop/mosaic", "/workshop/lettering",
         "/stock", "/stock/count", "/buying", "/buying/supplier", "/calendar", "/money",
         "{job}/money", "/nothing")  # fmt: skip


def fact(tab: Tab, name: str) -> str:
    return str(tab.page.inner_text(f"[data-fact={name}]"))


@pytest.mark.parametrize("width", WIDTHS)
def test_a_call_is_taken(browser: Any, desk: RunningDesk, width: int) -> None:
    tab = Tab(browser, desk, width)
    page = tab.page
    page.goto("/enquiry")
    # The browser puts the cursor there by itself, some time after the page is loaded.
    expect(page.get_by_label("Client")).to_be_focused()
    page.keyboard.type("Harbour school")
    page.fill("input[name=date]", "2027-06-19")
    page.fill("input[name^='design:'] >> nth=0", "2")
    page.keyboard.press("Tab")
    page.wait_for_selector("#band strong")
    assert re.search(r"\$[\d,]+ to \$[\d,]+", page.inner_text("#band"))
    page.click("text=Save enquiry")
    page.wait_for_url(re.compile("/jobs/"))
    assert "Decor for Harbour school" in page.inner_text("h1")
    page.goto("/")
    page.fill("input[name=words]", "harbour")
    expect(page.locator(".job-card", has_text="Ferry")).to_have_count(0)
    assert page.locator(".job-card").count() >= 1
    assert tab.complaints == []
    tab.close()


@pytest.mark.parametrize("width", WIDTHS)
def test_a_change_shows_at_once(browser: Any, desk: RunningDesk, width: int) -> None:
    tab = Tab(browser, desk, width)
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    before = {name: fact(tab, name) for name in ("balloons", "price", "cost", "margin")}
    field = tab.page.get_by_label("Height", exact=True)
    field.fill("8 ft")
    field.blur()
    tab.drawn(2)
    after = {name: fact(tab, name) for name in before}
    assert int(after["balloons"]) > int(before["balloons"])
    assert after["price"] != before["price"]
    assert tab.page.get_attribute("body", "data-balloons") == after["balloons"]
    tab.page.click(".steps-back >> text=Undo")
    expect(tab.page.locator("[data-fact=price]")).to_have_text(before["price"])
    tab.page.reload()
    tab.page.click(".steps-back >> text=Redo")
    expect(tab.page.locator("[data-fact=price]")).to_have_text(after["price"])
    expect(tab.page.get_by_label("Height", exact=True)).to_have_value("8 ft")
    assert tab.complaints == []
    tab.close()


def test_a_wrong_value_is_said_beside_its_field(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    tab.page.get_by_label("Height", exact=True).fill("as tall as me")
    tab.page.keyboard.press("Tab")
    tab.page.wait_for_selector(".has-finding")
    assert "as tall as me" in tab.page.input_value(".has-finding input:not([type=hidden])")
    assert tab.page.is_visible("#findings .finding-error")
    assert "Without Swirl column" in tab.page.inner_text("#tally")  # the rest lives
    assert fact(tab, "balloons") == tab.page.get_attribute("body", "data-balloons")


def test_pieces_come_go_mirror_and_change_shades(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(f"{job}?piece=1")
    tab.page.click("text=Duplicate")
    tab.version(2)
    assert "Cloud column 2" in tab.page.locator(".piece-tag strong").all_inner_texts()
    tab.page.click(".panel-tools >> text=Mirror")
    tab.version(3)
    assert tab.page.get_by_label("Lean").input_value() == "left"
    tab.page.click("text=Remove sleeve")
    tab.version(4)
    assert tab.page.locator("text=Add a sleeve").count() == 1
    tab.page.click("#piece-add")
    tab.page.click(".gallery-card >> text=Ceiling cloud")
    tab.version(5)
    # What was added is chosen, and stands last in the list.
    assert tab.page.get_attribute(".piece-tag >> nth=-1", "aria-current") == "true"
    tab.page.click(".panel-tools >> text=Remove")
    tab.version(6)
    assert tab.page.locator("#shades-head").count() == 1
    tab.page.select_option("select[name=old]", "coral")
    tab.page.select_option("select[name=new]", "teal")
    tab.page.click(".swap >> text=Swap")
    tab.version(7)
    text = tab.context.request.get(f"{job}/job.toml").text()
    assert 'shades  = ["teal", "sand", "teal", "white"]' in text
    assert "# floor to the top of the packed body" in text


def test_pieces_move_on_the_floor(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    page = tab.page
    page.click(".segment >> text=Floor")
    page.locator("[data-floor='1']").focus()
    page.keyboard.press("ArrowUp")
    tab.version(2)
    page.keyboard.press("r")
    tab.version(3)
    box = page.locator("[data-floor='2'] rect").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + 80, box["y"] - 60, steps=4)
    page.mouse.up()
    tab.version(4)
    text = tab.context.request.get(f"{job}/job.toml").text()
    assert "facing = 15" in text
    assert text.count("spot") == 2
    assert re.search(r'spot\s*=\s*\{.*x = "-?\d+( ft| in)', text)  # as this studio measures
    page.click("text=Measure")
    svg = page.locator(".floor-svg").bounding_box()
    assert svg is not None
    page.mouse.click(svg["x"] + 60, svg["y"] + svg["height"] - 20)
    page.mouse.click(svg["x"] + 260, svg["y"] + svg["height"] - 20)
    assert re.search(r"\d+ ft( \d+ in)? \([\d.]+ m\)", page.inner_text(".floor-words"))


def test_views_and_scale(tab: Tab) -> None:
    tab.bench(tab.new_job())
    for word in ("Side", "Top", "Eye level", "Person", "Door", "Corner"):
        button = tab.page.locator(f".segment >> text={word}")
        button.click()
        assert button.get_attribute("aria-pressed") == "true"
    tab.page.focus("canvas")
    for key in ("ArrowLeft", "ArrowUp", "+"):
        moves_the_view(tab, key)


def moves_the_view(tab: Tab, key: str) -> None:
    before = tab.still("canvas")
    tab.page.keyboard.press(key)
    tab.until(lambda: tab.still("canvas") != before, f"another picture after {key}")


def test_keyboard_alone_changes_a_job(tab: Tab) -> None:
    job = tab.new_job()
    tab.page.goto("/")
    tab.page.keyboard.press("Tab")
    assert tab.page.evaluate("document.activeElement.className") == "skip"
    for _ in range(40):
        tab.page.keyboard.press("Tab")
        if tab.page.evaluate("document.activeElement.getAttribute('href')") == job:
            break
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_url(re.compile("/jobs/"))
    tab.page.wait_for_selector("body[data-drawn]")
    for _ in range(60):
        tab.page.keyboard.press("Tab")
        if tab.page.evaluate("document.activeElement.dataset.piece") == "0":
            break
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_selector("label:text-is('Height')")
    # Choosing keeps the cursor on what was chosen, though the panel comes anew.
    assert tab.page.evaluate("document.activeElement.dataset.piece") == "0"
    for _ in range(60):
        tab.page.keyboard.press("Tab")
        if "height" in (tab.page.evaluate("document.activeElement.dataset.path") or ""):
            break
    price = fact(tab, "price")
    tab.page.keyboard.press("Control+A")
    tab.page.keyboard.type("9 ft")
    tab.page.keyboard.press("Tab")
    expect(tab.page.locator("[data-fact=price]")).not_to_have_text(price)
    tab.page.focus("canvas")
    tab.page.keyboard.press("Control+z")
    expect(tab.page.locator("[data-fact=price]")).to_have_text(price)


def test_a_price_is_moved_and_a_client_chooses(tab: Tab, browser: Any, desk: RunningDesk) -> None:
    job = tab.new_job()
    page = tab.page
    page.goto(f"{job}/offer")
    page.click("details.margin >> nth=0")
    slider = page.locator(".try-price input").first
    before = page.inner_text(".try-price output >> nth=0")
    slider.press("ArrowRight")
    assert page.inner_text(".try-price output >> nth=0") != before
    page.click("text=Send as edition 1")
    address = page.input_value("input[data-copy]")
    client = Tab(browser, desk, 390)
    client.page.goto(address)
    client.page.click("text=I would like this one >> nth=1")
    client.page.fill("input[name=name]", "Mara Quay")
    client.page.check("input[name=agree]")
    client.page.click("text=Accept >> nth=-1")
    client.page.wait_for_selector("text=is agreed")
    page.goto(f"{job}/offer")
    assert "Chose Statement" in page.inner_text(".links")
    assert client.complaints == []
    client.close()


def test_papers_are_made_beside_the_work(tab: Tab) -> None:
    job = tab.new_job()
    page = tab.page
    page.goto(f"{job}/papers")
    page.click("text=Choose which")
    page.check("label:has-text('Load list') input")
    page.click("button:text-is('Make papers')")
    page.wait_for_selector(".paper-list >> text=Load list", timeout=60_000)
    answer = tab.context.request.get(str(page.get_attribute(".paper-line a", "href")))
    assert answer.body()[:5] == b"%PDF-"


def test_a_photograph_can_be_stopped(tab: Tab) -> None:
    job = tab.new_job()
    tab.page.goto(f"{job}/papers")
    tab.page.click("button:text-is('Take photograph')")
    tab.page.click(".task >> text=Stop", timeout=20_000)
    tab.page.wait_for_selector(".task-cancelled", timeout=30_000)


def test_a_paper_stays_open_while_a_photograph_is_made(tab: Tab) -> None:
    job = tab.new_job()
    page = tab.page
    page.goto(f"{job}/papers")
    page.click("text=Choose which")
    page.check("label:has-text('Load list') input")
    page.click("button:text-is('Make papers')")
    page.wait_for_selector(".paper-list >> text=Load list", timeout=60_000)
    page.click("button:text-is('Take photograph')")
    page.wait_for_selector(".task progress", timeout=20_000)
    page.click("details.preview summary")
    page.locator(".task >> text=Stop").focus()
    for _ in range(2):  # when the second answer is here, the first has been put into the page
        with page.expect_response(lambda answer: answer.url.endswith("/papers")):
            pass
    assert page.get_attribute("details.preview", "open") is not None
    assert page.locator("details.preview iframe").count() == 1
    expect(page.locator(".task >> text=Stop")).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_selector(".task-cancelled", timeout=30_000)


def test_ticks_are_made_without_a_network(browser: Any, desk: RunningDesk) -> None:
    tab = Tab(browser, desk, 390)
    job = tab.new_job()
    page = tab.page
    page.goto(f"{job}/day")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    held = """Promise.all([location.pathname, ...[...document.querySelectorAll(
      "script[src], link[rel=stylesheet]")].map((file) => file.src || file.href)].map(
      (file) => caches.match(file))).then((found) => found.every(Boolean))"""
    tab.until(lambda: page.evaluate(held), "the page and its files on the phone")
    tab.context.set_offline(True)
    page.reload()
    page.click("button.tick >> nth=0")
    page.click("button.tick >> nth=1")
    page.wait_for_selector("text=2 ticks are kept")
    assert page.inner_text("[data-done]") == "2"
    page.reload()
    expect(page.locator("button.tick[aria-pressed=true]")).to_have_count(2)
    page.click("nav.tabs >> text=Offer")  # what is not kept says where the kept pages are
    expect(page.locator("h1")).to_have_text("No network")
    page.click("main a")
    expect(page.locator("button.tick[aria-pressed=true]")).to_have_count(2)
    tab.context.set_offline(False)
    expect(page.locator("[data-net]")).to_have_text("", timeout=20_000)
    told = tab.context.request.get(f"/api{job}/ticks").json()["ticks"]
    assert sum(tick["ticked"] for tick in told) == 2
    tab.close()


def test_hours_and_receipts_are_written_down_without_a_network(
    browser: Any, desk: RunningDesk
) -> None:
    tab = Tab(browser, desk, 390)
    job = tab.new_job()
    page = tab.page
    page.goto(f"{job}/day")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    held = "caches.match(location.pathname).then(Boolean)"
    tab.until(lambda: page.evaluate(held), "the page on the phone")
    tab.context.set_offline(True)
    page.dblclick("button:text-is('+ 15 min')")  # one press of an impatient hand
    page.wait_for_selector("text=1 entry is kept")
    page.click("summary:has-text('Bought something')")
    page.fill("input[name=amount]", "4.20")
    page.fill("input[name=what]", "tape")
    page.click("button:text-is('Balloons, hardware')")
    page.wait_for_selector("text=2 entries are kept")
    page.reload()  # the phone was put away
    page.wait_for_selector("text=2 entries are kept")
    tab.context.set_offline(False)
    page.wait_for_url("**/day?said=saved")
    page.click("summary:has-text('Bought something')")
    expect(page.locator(".day-hours li")).to_have_count(2)
    expect(page.locator(".day-hours li", has_text="tape")).to_contain_text("4.20")
    page.fill("input[name=amount]", "much")
    page.click("button:text-is('Fuel, parking, other')")
    page.wait_for_selector("[data-net] >> text=is no amount")
    assert page.input_value("input[name=amount]") == "much"
    tab.close()


def test_the_last_change_of_a_call_is_never_dropped(tab: Tab) -> None:
    """A band that takes its time is asked for anew with all that was typed meanwhile."""
    page = tab.page
    all_typed = re.compile(r"design%3A\w+=2")

    def answer_only_the_last(route: Any) -> None:
        """The earlier ones never come back."""
        if all_typed.search(route.request.post_data or ""):
            route.continue_()

    page.route("**/enquiry/band", answer_only_the_last)
    page.goto("/enquiry")
    expect(page.get_by_label("Client")).to_be_focused()
    for field, words in (("client", "Harbour school"), ("venue", "Pier hall")):
        with page.expect_request("**/enquiry/band"):
            page.fill(f"input[name={field}]", words)
            page.keyboard.press("Tab")
    with page.expect_request(lambda r: all_typed.search(r.post_data or "") is not None):
        page.fill("input[name^='design:'] >> nth=0", "2")
        page.keyboard.press("Tab")
    page.wait_for_selector("#band strong")


def test_what_is_being_typed_outlives_a_fresh_panel(browser: Any, desk: RunningDesk) -> None:
    """A panel that comes anew under the cursor loses neither the text nor that it was changed."""
    one, two = Tab(browser, desk), Tab(browser, desk)
    job = one.new_job()
    one.bench(f"{job}?piece=0")
    one.page.get_by_label("Height", exact=True).focus()
    one.page.keyboard.press("Control+A")
    one.page.keyboard.type("7 ft")
    two.bench(f"{job}?piece=1")
    two.page.get_by_label("Height", exact=True).fill("5 ft")
    two.page.keyboard.press("Tab")
    two.version(2)
    one.version(2)  # the other's change is here, and the panel was replaced
    expect(one.page.get_by_label("Height", exact=True)).to_be_focused()
    expect(one.page.get_by_label("Height", exact=True)).to_have_value("7 ft")
    told = one.context.request.get(f"/api{job}/version").json()
    assert told["version"] == 2  # what is still being typed was not sent
    one.page.keyboard.press("Tab")  # not one more key: what stood there is sent all the same
    one.version(3)
    text = one.context.request.get(f"{job}/job.toml").text()
    assert 'height  = "7 ft"' in text
    assert 'height  = "5 ft"' in text
    one.close()
    two.close()


def test_two_browsers_at_one_job(browser: Any, desk: RunningDesk) -> None:
    one, two = Tab(browser, desk), Tab(browser, desk)
    job = one.new_job()
    one.bench(f"{job}?piece=0")
    two.bench(f"{job}?piece=1")
    one.page.get_by_label("Height", exact=True).fill("7 ft")
    one.page.keyboard.press("Tab")
    one.drawn(2)
    two.page.get_by_label("Height", exact=True).fill("5 ft")
    two.page.keyboard.press("Tab")
    two.version(3)
    one.page.wait_for_selector("text=Somebody else changed the job", timeout=15_000)
    text = one.context.request.get(f"{job}/job.toml").text()
    assert 'height  = "7 ft"' in text
    assert 'height  = "5 ft"' in text
    one.close()
    two.close()


def test_what_was_shown_survives_a_kill(browser: Any, desk: RunningDesk) -> None:
    tab = Tab(browser, desk)
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    tab.page.get_by_label("Height", exact=True).fill("7 ft 6 in")
    tab.page.keyboard.press("Tab")
    tab.drawn(2)
    price = fact(tab, "price")
    desk.kill()
    desk.start()
    tab.bench(f"{job}?piece=0")
    assert tab.page.get_by_label("Height", exact=True).input_value() == "7 ft 6 in"
    assert fact(tab, "price") == price
    tab.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_no_page_breaks_a_rule_of_access_or_its_width(
    browser: Any, desk: RunningDesk, width: int, scheme: str
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    tab = Tab(browser, desk, width, color_scheme=scheme, bypass_csp=True)
    job = tab.new_job()
    tab.page.goto(f"{job}/offer")
    tab.page.click("text=Send as edition 1")
    pages = [*PAGES, tab.page.input_value("input[data-copy]"), "/c/ended"]
    found = []
    for path in pages:
        address = path.format(job=job)
        tab.page.goto(address)
        if path in ("{job}", "{job}?piece=0"):
            tab.page.wait_for_selector("body[data-drawn]")
        for wrong in Axe().run(tab.page).response["violations"]:
            places = [node["target"] for node in wrong["nodes"]][:4]
            found.append((path, wrong["id"], places))
        wide = tab.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        if wide > 0:
            found.append((path, "wider than the screen", [wide]))
    tab.close()
    assert found == []
    quiet = [c for c in tab.complaints if "404" not in c]
    assert quiet == []


def test_shades_are_chips_to_add_move_and_take_out_by_keys(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(f"{job}?piece=0")
    page = tab.page
    page.get_by_role("button", name="coral, 1 of 4").focus()
    page.keyboard.press("ArrowRight")
    tab.version(2)
    expect(page.get_by_role("button", name="coral, 2 of 4")).to_be_focused()
    page.keyboard.press("Delete")
    tab.version(3)
    page.click(".chip-plus[data-chip-add=teal] >> nth=0")
    tab.version(4)
    text = tab.context.request.get(f"{job}/job.toml").text()
    assert 'shades  = ["sand", "teal", "white", "teal"]' in text


def test_only_an_error_looks_like_one(tab: Tab) -> None:
    job = tab.new_job()
    tab.bench(job)
    chosen = tab.page.get_by_label("Option taken")
    options = chosen.locator("option").all_inner_texts()
    assert options == ["none yet", "Classic", "Statement", "Textured"]
    assert tab.page.locator(".has-error").count() == 0
    assert tab.page.locator(".has-hint", has=chosen).count() == 1
    chosen.select_option("Statement")
    expect(tab.page.locator(".has-hint")).to_have_count(0)
    assert 'chosen = "Statement"' in re.sub(
        r"chosen +=", "chosen =", tab.context.request.get(f"{job}/job.toml").text()
    )
