"""Calls, offers, client links, days, accounts of what it took, settings; and hostile forms."""

from __future__ import annotations

import io
import re
import tomllib
import zlib
from decimal import Decimal

import pytest
from bs4 import BeautifulSoup
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from airwright import units
from airwright.desk.seed import demo_text, design_texts
from airwright.plan.load import groups_of
from airwright.store.jobs import Jobs
from tests.desk.conftest import House, Visitor
from tests.papers.plans import example_plan


def test_a_call_becomes_a_job_with_a_price_band(house: House) -> None:
    visitor = house.visitor()
    page = visitor.page("/enquiry")
    field = page.select_one('input[name^="design:"]')
    assert field is not None
    given_call = {"client": "Mrs Ahern", "date": "2027-08-01", "guests": "14.30",
                  field["name"]: "2",
                  "budget": "1,200", "venue": "Boat shed"}  # fmt: skip
    band = visitor.post("/enquiry/band", given_call, headers={"hx-request": "true"})
    assert re.search(r"\$\d+ to \$\d+", band.text)
    answer = visitor.post("/enquiry", given_call)
    assert answer.status_code == 303
    job = visitor.get(answer.headers["location"].split("?")[0] + "/job.toml").text
    assert "count = 2" in job
    assert 'guests = "14:30"' in job
    assert "budget = 1200.0" in job
    assert "Mrs Ahern" in visitor.get("/").text


@pytest.mark.parametrize(
    ("said", "held"),
    [("7 pm", "19:00"), ("7:30 p.m.", "19:30"), ("12 am", "00:00"), ("19 Uhr", "19:00"),
     ("9h", "09:00"), ("14.30", "14:30")],
)  # fmt: skip
def test_a_time_and_a_drive_are_taken_down_as_callers_say_them(
    house: House, said: str, held: str
) -> None:
    visitor = house.visitor()
    visitor.page("/enquiry")
    call = {"client": "Mrs Ahern", "guests": said, "strike": "23:30", "drive": "12,5"}
    answer = visitor.post("/enquiry", call)
    assert answer.status_code == 303
    job = visitor.get(answer.headers["location"].split("?")[0] + "/job.toml").text
    assert f'guests = "{held}"' in job
    found = re.search(r'drive = "(.+)"', job)
    assert found is not None  # the studio counts in feet, so miles
    assert units.parse(found[1], units.LENGTH) == pytest.approx(12.5 * 1609.344)


def test_a_time_that_is_none_is_asked_again(house: House) -> None:
    visitor = house.visitor()
    visitor.page("/enquiry")
    for said in ("25", "19 pm", "0 am", "noon"):
        answer = visitor.post("/enquiry", {"client": "Mrs Ahern", "guests": said})
        assert answer.status_code == 422
        assert "no time" in answer.text


def ends_of(band: str) -> tuple[Decimal, Decimal]:
    found = re.search(r"\$([\d,]+) to \$([\d,]+)", re.sub(r"<[^>]+>", "", band))
    assert found is not None, band
    return Decimal(found[1].replace(",", "")), Decimal(found[2].replace(",", ""))


def price_of(visitor: Visitor, address: str) -> Decimal:
    found = visitor.page(address).select_one("[data-fact=price]")
    assert found is not None
    return Decimal(found.get_text().replace("$", "").replace(",", ""))


@pytest.mark.parametrize("count", [1, 3])
def test_what_is_said_on_the_telephone_is_what_the_bench_shows(house: House, count: int) -> None:
    """Every kept design, shipped or own: the job made of the call lies within its band."""
    visitor = house.visitor()
    own = house.job()
    visitor.get(f"/jobs/{own}?piece=1")
    visitor.post(f"/jobs/{own}/keep", {"piece": "1"})
    lines = visitor.page("/enquiry").select(".pick-cards li")
    assert len(lines) >= 9
    for line in lines:
        field = line.select_one("input")
        assert field is not None
        sent = {
            "client": "Bo",
            "date": "2027-06-01",
            "drive": "14 mi",
            str(field["name"]): str(count),
        }
        low, high = ends_of(
            visitor.post("/enquiry/band", sent, headers={"hx-request": "true"}).text
        )
        made = visitor.post("/enquiry", sent)
        assert made.status_code == 303, made.text[-500:]
        assert low <= price_of(visitor, made.headers["location"].split("?")[0]) <= high
        if count == 1:
            del sent["drive"], sent["date"]
            alone = visitor.post("/enquiry/band", sent, headers={"hx-request": "true"}).text
            # the card tells the piece's own price; a job adds set-up, delivery or its minimum
            assert all(
                a <= b for a, b in zip(ends_of(line.get_text()), ends_of(alone), strict=True)
            )


def test_the_band_follows_the_settings_and_knows_the_budget(house: House) -> None:
    visitor = house.visitor()
    line = visitor.page("/enquiry").select_one(".pick-cards li")
    assert line is not None
    before = ends_of(line.get_text())
    visitor.post("/studio", {'f:["pricing", "labour_rate"]': "90", 'f:["pricing", "tax"]': "8 %"})
    line = visitor.page("/enquiry").select_one(".pick-cards li")
    assert line is not None
    after = ends_of(line.get_text())
    assert after > before
    name = str(line.select_one("input")["name"])  # type: ignore[index]

    def told(budget: str) -> str:
        sent = {name: "1", "budget": budget}
        return str(visitor.post("/enquiry/band", sent, headers={"hx-request": "true"}).text)

    whole = ends_of(told(""))
    assert whole > after, "set-up and take-down come beside the piece"
    assert "Tax comes on top" in told("")
    assert "The drive is not in it yet" in told("")
    assert f"Within the ${whole[1]:,} they have" in told(str(whole[1]))
    assert "More than the $10 they have" in told("10")
    visitor.get("/studio")
    visitor.post("/studio/studio.toml", {"text": 'format = "airwright-studio/1"\n'})


def test_a_shade_is_swapped_in_a_mix_by_parts(house: House) -> None:
    """`shades = { sage = 3, clay = 2 }` names shades as its keys."""
    text = next(text for text in design_texts() if "Driftwood swag" in text)
    job_id, visitor = house.job(text), house.visitor()
    visitor.get("/")
    swap = {"do": "swap", "old": "clay", "new": "sand", "version": "1"}
    assert visitor.post(f"/jobs/{job_id}/do", swap).status_code == 303
    piece = tomllib.loads(house.text_of(job_id))["pieces"][0]
    assert piece["shades"] == {"sage": 3, "cream": 3, "sand": 4, "copper": 1}


def test_a_call_needs_only_a_name(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/enquiry")
    assert visitor.post("/enquiry", {"client": "Bo"}).status_code == 303
    wrong = visitor.post("/enquiry", {"date": "2020-01-01", "guests": "25:99", "budget": "lots"})
    assert wrong.status_code == 422
    for what in ("Nobody is named", "past", "no time", "no amount"):
        assert what in wrong.text


def test_a_client_sees_prices_and_nothing_else(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    price = visitor.page(f"/jobs/{job_id}/offer").select_one(".option .grand dd")
    assert price is not None
    made = visitor.post(f"/jobs/{job_id}/links", {"days": "7"})
    found = re.search(r"/c/([\w-]{40,})", made.text)
    assert found is not None
    client = house.visitor()
    page = client.page(f"/c/{found[1]}")
    text = page.get_text()
    assert price.get_text() in text
    assert "2 × Swirl column" in text
    assert "Delivery" in text
    for word in ("margin", "the book", "house", "your cost"):
        assert word not in text.lower(), word
    assert not page.select("header nav")
    assert client.post(f"/c/{found[1]}", {"choice": "Dragon"}).status_code == 422
    asked = {"do": "ask", "choice": "Classic", "note": "Lovely"}
    assert client.post(f"/c/{found[1]}", asked).status_code == 303
    assert "the client chose Classic" in visitor.page("/").text
    told = visitor.page(f"/jobs/{job_id}/offer").select_one(".chosen-note")
    assert told is not None
    assert "Lovely" in told.text
    offer = visitor.page(f"/jobs/{job_id}/offer")
    assert "Chose Classic" in offer.get_text()
    withdraw = offer.select_one('form[action*="/links/"][action$="/withdraw"]')
    assert withdraw is not None
    visitor.post(withdraw["action"])
    assert client.get(f"/c/{found[1]}").status_code == 404
    assert client.post(f"/c/{found[1]}", {"choice": "Classic"}).status_code == 404


def test_options_come_go_and_are_taken(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    offer = f"/jobs/{job_id}/offer"
    visitor.get(offer)
    visitor.post(
        f"/jobs/{job_id}/options", {"name": "Both", "pieces": ["Swirl column", "Cloud column"]}
    )
    visitor.post(f"/jobs/{job_id}/choose", {"name": "Both"})
    page = visitor.page(offer)
    chosen = page.select_one(".option.is-chosen h2")
    assert chosen is not None
    assert "Both" in chosen.get_text()
    visitor.post(f"/jobs/{job_id}/options/remove", {"index": "3"})
    assert "Both" not in visitor.page(offer).select_one(".options").get_text()  # type: ignore[union-attr]
    assert "chosen" not in house.text_of(job_id)
    assert visitor.post(f"/jobs/{job_id}/options", {"name": "Empty"}).status_code == 422
    assert visitor.post(f"/jobs/{job_id}/options/remove", {"index": "99"}).status_code == 422


def test_stage_and_deposit(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    visitor.get("/")
    visitor.post(f"/jobs/{job_id}/stage", {"stage": "booked"})
    visitor.post(f"/jobs/{job_id}/deposit", {"paid": "yes"})
    with house.desk.database.reading() as session:
        row = Jobs(session).get(job_id)
        assert (row.stage, row.deposit_paid is not None) == ("booked", True)
    assert visitor.post(f"/jobs/{job_id}/stage", {"stage": "eaten"}).status_code == 422


def test_ticks_hold_and_merge(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    page = visitor.page(f"/jobs/{job_id}/day")
    items = [b["data-item"] for b in page.select("button.tick")]
    assert len(items) > 20
    assert len(items) == len(set(items))
    visitor.post(f"/jobs/{job_id}/day", {"item": items[0], "ticked": "yes"})
    late = {"item": items[0], "ticked": False, "at": "2020-01-01T00:00:00Z"}
    news = {"item": items[1], "ticked": True, "at": "2021-01-01T00:00:00+02:00"}
    told = visitor.send(f"/api/jobs/{job_id}/ticks", {"ticks": [late, news]}).json()
    assert {t["item"]: t["ticked"] for t in told["ticks"]} == {items[0]: True, items[1]: True}
    page = visitor.page(f"/jobs/{job_id}/day")
    assert len(page.select('button.tick[aria-pressed="true"]')) == 2


def test_the_day_says_where_everything_stands(house: House) -> None:
    visitor = house.visitor()
    plain = house.job()
    assert "Where it stands" not in visitor.page(f"/jobs/{plain}/day").text
    text = house.text_of(plain).replace(
        'kind    = "column"', 'kind = "column"\nspot = { x = "-5 ft", y = "3 ft", facing = 90 }', 1
    )
    assert "spot" in text
    page = visitor.page(f"/jobs/{house.job(text)}/day")
    card = page.select_one(".floor-card")
    assert card is not None
    words = " ".join(card.text.split())
    assert "5 ft left, 3 ft behind the edge; front 90° to the right" in words
    assert words.count("no spot given") == 2
    assert len(card.select("svg circle")) > 40  # its balloons


def test_a_file_that_is_no_job_is_refused_in_words_for_a_browser(house: House) -> None:
    visitor = house.visitor()
    for data in (b"\x89PNG\r\n\0", b"", b"  \n"):
        answer = visitor.post("/jobs/read", files={"file": ("x.toml", data, "text/plain")})
        assert answer.status_code == 422
        assert "Pick a job file" in answer.text
        assert "airwright new" not in answer.text


def test_the_day_shows_a_drawing_a_step_and_the_chart(house: House) -> None:
    visitor = house.visitor()
    job_id = house.job()
    page = visitor.page(f"/jobs/{job_id}/day")
    pictures = {image["src"] for image in page.select(".step-picture")}
    steps = page.select('.ticklist[data-kind="build"] .tick')
    assert len(steps) >= len(pictures) > 5
    drawn = [visitor.get(address) for address in sorted(pictures)]
    assert all(answer.content[8:12] == b"WEBP" for answer in drawn)
    assert len({answer.content for answer in drawn}) > len(drawn) / 2  # not one picture for all
    chart = page.select_one(".day-chart img")
    assert chart is not None
    assert "<svg" in visitor.get(str(chart["src"])).text
    for nowhere in ("99/0.webp", "0/99.webp", "99/chart.svg"):
        assert visitor.get(f"/jobs/{job_id}/day/{nowhere}").status_code == 204
    assert visitor.get(f"/jobs/{job_id}/day/x/0.webp").status_code in (404, 422)


def test_the_day_tells_no_price(house: House) -> None:
    job_id = house.job()  # its prices fall below the floor, which the design page says
    visitor = house.visitor()
    assert "your floor is" in visitor.page(f"/jobs/{job_id}").text
    assert "your floor is" not in visitor.page(f"/jobs/{job_id}/day").text


def test_the_day_lists_what_the_load_list_lists(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    page = visitor.page(f"/jobs/{job_id}/day")
    ticked = {
        button["data-item"]
        for section in page.select(".ticklist[data-kind=load]")
        for button in section.select("button.tick")
    }
    assert house.text_of(job_id) == demo_text()
    groups = groups_of(example_plan())
    assert ticked == {f"load:{item.name}"[:200] for group in groups for item in group.items}
    assert not re.search(r"(?<!\d)0 ×", page.text)


def test_did_it_pay(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    paid = f"/jobs/{job_id}/outcome"
    visitor.get(paid)
    for kind, amount in (
        ("hours", "2.5"),
        ("bought", "40"),
        ("spent", "10.10"),
        ("received", "1,000"),
    ):
        assert visitor.post(paid, {"kind": kind, "amount": amount}).status_code == 303
    table = {row.th.get_text(): [td.get_text() for td in row.find_all("td")]  # type: ignore[union-attr]
             for row in visitor.page(paid).select("table.beside tbody tr")}  # fmt: skip
    shares = Decimal(table["Wear of hardware, overhead"][0].lstrip("$"))
    # 2.5 h × 32.00, 40, 10.10, and the shares that nobody writes down
    cost = Decimal("80.00") + Decimal("40.00") + Decimal("10.10") + shares
    assert table["Cost in all"][1] == f"${cost:,.2f}"
    left = f"It paid: ${1000 - cost:,.2f} are left"
    assert left in visitor.page(paid).get_text()
    for amount in ("", "-1", "NaN", "1e99", "Infinity", "ten"):
        assert visitor.post(paid, {"kind": "hours", "amount": amount}).status_code == 422
    strike = visitor.page(paid).select_one('form[action$="/strike"]')
    assert strike is not None
    assert visitor.post(strike["action"]).status_code == 303


def test_settings_change_prices_and_keep_comments(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    visitor.get("/studio")
    text = 'format = "airwright-studio/1"\n# ours since spring\n[pricing]\nmargin = 0.40 # fair\n'
    assert visitor.post("/studio/studio.toml", {"text": text}).status_code == 303
    before = visitor.page(f"/jobs/{job_id}").select_one("[data-fact=price]").get_text()  # type: ignore[union-attr]
    assert (
        visitor.post(
            "/studio", {'f:["pricing", "labour_rate"]': "60", 'f:["pricing", "tax"]': "8 %"}
        ).status_code
        == 303
    )
    after = visitor.page(f"/jobs/{job_id}").select_one("[data-fact=price]").get_text()  # type: ignore[union-attr]
    assert before != after
    out = visitor.get("/studio/studio.toml").text
    assert "# ours since spring" in out
    assert "# fair" in out
    assert "tax = 0.08" in out
    wrong = visitor.post(
        "/studio", {'f:["pricing", "margin"]': "lots", 'f:["studio", "name"]': "Lantern Lane"}
    )
    assert wrong.status_code == 422
    assert visitor.get("/studio/studio.toml").text == out
    again = BeautifulSoup(wrong.text, "html.parser")
    [field] = again.select(".has-error")
    assert "is no number that fits here" in field.get_text()
    sent = {str(i["name"]): str(i.get("value", "")) for i in again.select("form.house input[name]")}
    assert sent['f:["studio", "name"]'] == "Lantern Lane"  # nothing typed is lost
    assert visitor.post("/studio", sent | {'f:["pricing", "margin"]': "0.45"}).status_code == 303
    assert 'name = "Lantern Lane"' in visitor.get("/studio/studio.toml").text
    assert (
        visitor.post(
            "/studio/measured", {"cluster": "4 x 11in @ 9.5in", "clusters": "10", "height": "80 in"}
        ).status_code
        == 303
    )
    assert (
        visitor.post(
            "/studio/weighed", {"size": "dragon", "count": "10", "mass": "29 g"}
        ).status_code
        == 422
    )
    visitor.post("/studio/studio.toml", {"text": 'format = "airwright-studio/1"\n'})


def test_two_people_do_not_overwrite_settings(house: House) -> None:
    visitor = house.visitor()
    version = visitor.page("/studio").select_one("form.house input[name=version]")["value"]  # type: ignore[index]
    field = 'f:["studio", "name"]'
    assert visitor.post("/studio", {field: "Lantern Lane", "version": version}).status_code == 303
    assert visitor.post("/studio", {field: "Other", "version": version}).status_code == 409


# ---- what is sent in ---------------------------------------------------------------------------


def picture(kind: str, size: tuple[int, int] = (40, 30)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, "#2f3aa8").save(out, kind)
    return out.getvalue()


def bomb() -> bytes:
    """A PNG of a few kB that says it has 30,000 × 30,000 pixels."""
    raw = bytearray(picture("PNG"))
    at = raw.index(b"IHDR")
    raw[at + 4 : at + 12] = (30_000).to_bytes(4, "big") * 2
    raw[at + 17 : at + 21] = zlib.crc32(raw[at : at + 17]).to_bytes(4, "big")
    return bytes(raw)


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_logo_is_painted_anew(house: House, kind: str) -> None:
    visitor = house.visitor()
    visitor.get("/studio")
    sent = picture(kind) + b"<script>alert(1)</script>"
    assert visitor.post("/studio/logo", files={"file": ("logo.png", sent)}).status_code == 303
    kept = visitor.get("/logo.png")
    assert kept.headers["content-type"] == "image/png"
    assert b"script" not in kept.content
    assert Image.open(io.BytesIO(kept.content)).size == (40, 30)


@pytest.mark.parametrize(
    "data",
    [b"", b"text", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", bomb(),
     picture("PNG")[:60], picture("BMP"), b"\x89PNG\r\n\x1a\n" + b"\0" * 5000],
    ids=["empty", "text", "svg", "bomb", "half", "bmp", "zeros"],
)  # fmt: skip
def test_what_is_no_picture_is_refused(house: House, data: bytes) -> None:
    visitor = house.visitor()
    visitor.get("/studio")
    answer = visitor.post("/studio/logo", files={"file": ("logo.png", data)})
    assert answer.status_code == 422


@pytest.mark.parametrize("data", [b"", b"\0\1\2", b"\xff\xfe", b"not toml [", b"x" * 2_100_000])
def test_what_is_no_job_file_is_refused(house: House, data: bytes) -> None:
    visitor = house.visitor()
    visitor.get("/")
    answer = visitor.post("/jobs/read", files={"file": ("job.toml", data)})
    assert answer.status_code == 422, answer.text[:200]


FIELDS = ["client", "title", "contact", "date", "guests", "strike", "venue", "drive", "budget",
          "note"]  # fmt: skip


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(fields=st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=60), max_size=9))
def test_any_call_is_taken_or_asked_again(house: House, fields: dict[str, str]) -> None:
    visitor = house.visitor()
    visitor.get("/enquiry")
    clean = {k: v.encode("utf-8", "replace").decode() for k, v in fields.items()}
    answer = visitor.post("/enquiry", clean)
    assert answer.status_code in (303, 422)
    if answer.status_code == 303:
        address = answer.headers["location"].split("?")[0]
        assert visitor.get(address).status_code == 200
        assert visitor.get(f"{address}/offer").status_code == 200


@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(text=st.text(max_size=300))
def test_any_text_as_job_file_leaves_the_pages_standing(house: House, text: str) -> None:
    visitor = house.visitor()
    job_id = house.job()
    visitor.get(f"/jobs/{job_id}/file")
    clean = text.encode("utf-8", "replace").decode()
    answer = visitor.post(f"/jobs/{job_id}/file", {"text": clean, "version": "1"})
    assert answer.status_code in (303, 422)
    for tail in ("", "?piece=0", "/offer", "/papers", "/day", "/outcome", "/file"):
        assert visitor.get(f"/jobs/{job_id}{tail}").status_code == 200


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    do=st.sampled_from(["put", "clear", "add", "duplicate", "mirror", "drop", "swap", "undo",
                        "redo", "x", ""]),
    fields=st.dictionaries(
        st.sampled_from(["piece", "path", "value", "kind", "old", "new", "version"]),
        st.sampled_from(["0", "1", "-1", "99999999999999999999", "", "x", "[]", '["pieces",0]',
                         "null", "column", "column:zzz", "coral", '["job","title"]']),
    ),
)  # fmt: skip
def test_any_button_is_done_or_refused(house: House, do: str, fields: dict[str, str]) -> None:
    visitor = house.visitor()
    job_id = house.job()
    visitor.get("/")
    answer = visitor.post(f"/jobs/{job_id}/do", {"do": do, "version": "1", **fields})
    assert answer.status_code < 500, answer.text
    assert visitor.get(f"/jobs/{job_id}").status_code == 200
