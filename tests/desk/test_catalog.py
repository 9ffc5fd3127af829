"""The stock: rows come back as they were written, change plans and prices, and refuse nonsense."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Callable, Iterator
from decimal import Decimal
from urllib.parse import quote

import pytest
from bs4 import BeautifulSoup
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airwright.catalog import default_catalog
from airwright.desk.catalog.service import SHELVES, with_times, without_own
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import document_of
from airwright.desk.seed import demo_text
from airwright.desk.studio import service as house_service
from airwright.job.studio_reading import read_studio
from airwright.money.reading import read_amount
from airwright.store.jobs import Jobs
from tests.desk.conftest import TODAY, House, Visitor

EMPTY = 'format = "airwright-studio/1"\n'


@pytest.fixture
def visitor(house: House) -> Iterator[Visitor]:
    """A visitor; the studio file is empty again afterwards."""
    made = house.visitor()
    made.get("/studio")
    yield made
    made.get("/studio")
    assert made.post("/studio/studio.toml", {"text": EMPTY}).status_code == 303


@pytest.mark.parametrize(
    "change",
    [
        document_of,
        lambda text: house_service.with_fields(text, {'["studio", "name"]': "Saltmarsh"}),
        lambda text: house_service.with_weighed(text, "11in", "50", "150 g"),
        lambda text: house_service.without_row(text, "weighed", 0),
        lambda text: without_own(text, SHELVES["gas"]),
        lambda text: with_times(text, {}),
    ],
)
def test_a_studio_file_that_cannot_be_read_is_refused_in_words(
    change: Callable[[str], object],
) -> None:
    with pytest.raises(EditError, match="cannot be read"):
        change("[studio\nname = ")


def form_of(page: BeautifulSoup) -> dict[str, str]:
    """What a browser would send back of a row's form, nothing touched."""
    form = page.select_one("form.row-form")
    assert form is not None
    values = {str(i["name"]): str(i.get("value", "")) for i in form.select("input[name]")}
    for select in form.select("select"):
        picked = select.select_one("option[selected]") or select.select_one("option")
        assert picked is not None
        values[str(select["name"])] = str(picked.get("value", picked.text))
    return values


def row_address(shelf: str, name: str) -> str:
    return f"/studio/catalog/{shelf}/row?name={quote(name)}"


def studio_text(visitor: Visitor) -> str:
    return str(visitor.get("/studio/studio.toml").text)


def fact(visitor: Visitor, job_id: str, name: str) -> str:
    found = visitor.page(f"/jobs/{job_id}").select_one(f"[data-fact={name}]")
    assert found is not None
    return found.get_text()


def test_a_price_keeps_its_day_and_its_currency(house: House, visitor: Visitor) -> None:
    values = form_of(visitor.page(row_address("hardware", "column base plate")))
    values |= {"price": "40", "currency": "eur", "priced_on": "2025-02-03"}
    assert visitor.post("/studio/catalog/hardware/row", values).status_code == 303
    row = tomllib.loads(studio_text(visitor))["hardware"][0]
    assert (row["price"], row["currency"]) == ("40.00", "EUR")
    assert row["priced_on"] == dt.date(2025, 2, 3)
    listed = visitor.page("/studio/catalog/hardware").get_text(" ")
    assert "€40.00" in listed
    assert "as of Mon 3 Feb 2025, more than a year ago" in listed
    again = form_of(visitor.page(row_address("hardware", "column base plate")))
    assert (again["currency"], again["priced_on"]) == ("EUR", "2025-02-03")
    for wrong in ({"currency": "XYZ"}, {"priced_on": "soon"}, {"priced_on": "2031-01-01"}):
        answer = visitor.post("/studio/catalog/hardware/row", again | wrong)
        assert answer.status_code == 422, wrong
        assert "field-finding" in answer.text


@pytest.mark.parametrize("shelf", SHELVES)
def test_a_row_left_as_it_was_comes_back_the_same(bare: House, shelf: str) -> None:
    """Every row we ship passes its own form, and nothing in it is rounded on the way."""
    visitor = bare.visitor()
    found = re.findall(rf'href="(/studio/catalog/{shelf}/row\?name=[^"]+)"',
                       visitor.get(f"/studio/catalog/{shelf}").text)  # fmt: skip
    assert len(found) >= 3
    for address in found:
        answer = visitor.post(f"/studio/catalog/{shelf}/row", form_of(visitor.page(address)))
        assert answer.status_code == 303, (address, answer.text[-3000:])
    studio = read_studio(studio_text(visitor)).studio
    assert studio is not None
    ours = default_catalog()
    rows = {
        "balloons": (studio.balloons, ours.balloons.values()),
        "hardware": (studio.hardware, ours.hardware.values()),
        "shades": (studio.shades, ours.shades.values()),
    }
    if shelf in rows:
        assert rows[shelf][0] == tuple(rows[shelf][1])
    else:
        from airwright.job.studio import CYLINDERS

        assert studio.cylinders == CYLINDERS


def test_a_price_of_a_bag_changes_the_next_price(house: House, visitor: Visitor) -> None:
    job_id = house.job()
    before = fact(visitor, job_id, "cost")
    values = form_of(visitor.page(row_address("balloons", "11in")))
    assert values["pack_price:2"] == "14.90"
    values |= {"pack_price:0": "$15.00", "pack_price:1": "30", "pack_price:2": "59,90"}
    assert visitor.post("/studio/catalog/balloons/row", values).status_code == 303
    row = tomllib.loads(studio_text(visitor))["balloons"][0]
    assert [pack["price"] for pack in row["packs"]] == ["15.00", "30.00", "59.90"]
    assert row["priced_on"] == TODAY  # the price changed today, whatever stood beside it
    dearer = fact(visitor, job_id, "cost")
    assert Decimal(dearer.strip("$")) > Decimal(before.strip("$"))
    page = visitor.page("/studio/catalog/balloons")
    line = page.select_one("#\\31 1in").get_text(" ")  # type: ignore[union-attr]
    assert "yours" in line
    assert "as of Mon 1 Mar 2027" in line
    assert visitor.post("/studio/catalog/balloons/remove", {"name": "11in"}).status_code == 303
    assert fact(visitor, job_id, "cost") == before
    assert "balloons" not in tomllib.loads(studio_text(visitor))


def test_a_size_of_ones_own_can_be_used_in_a_job(house: House, visitor: Visitor) -> None:
    from airwright.desk.seed import demo_text

    new = {"size": "14 in", "family": "round", "nominal_in": "14 in", "usual_in": "30 cm",
           "mass_g": "4.6 g", "flat_width_in": "4.9 in", "failure_rate": "2 %", "helium": "yes",
           "pack_count:0": "50", "pack_price:0": "14.50"}  # fmt: skip
    assert visitor.post("/studio/catalog/balloons/row", new).status_code == 303
    row = tomllib.loads(studio_text(visitor))["balloons"][0]
    assert row["size"] == "14in"
    assert row["usual_in"] == pytest.approx(30 / 2.54, abs=1e-6)
    assert row["failure_rate"] == 0.02
    assert row["helium"] is True
    text = demo_text().replace("4 x 11in @ 9.5in", "4 x 14in @ 12in", 1)
    job_id = house.job(text)
    page = visitor.page(f"/jobs/{job_id}?piece=0")
    assert "4 x 14in @ 12in" in str(page.select_one("#fields"))
    assert page.select_one("[data-fact=price]") is not None  # it builds, counts and has a price
    again = visitor.post("/studio/catalog/balloons/row", new)
    assert again.status_code == 422
    assert "is there already" in again.text
    # a size that a job in hand takes cannot be taken out of the stock again
    assert visitor.post("/studio/studio.toml", {"text": EMPTY}).status_code == 422
    with house.desk.database.writing() as session:
        Jobs(session).get(job_id).text = demo_text()


def test_too_little_hardware_is_said_on_the_bench(house: House, visitor: Visitor) -> None:
    job_id = house.job()
    values = form_of(visitor.page(row_address("hardware", "column base plate")))
    assert values["owned"] == ""
    values |= {"owned": "1", "price": "340"}
    before = fact(visitor, job_id, "cost")
    assert visitor.post("/studio/catalog/hardware/row", values).status_code == 303
    text = visitor.page(f"/jobs/{job_id}").get_text()
    assert "Column base plate: the job takes 4, you own 1." in text
    assert "Buy, borrow or rent 3 more" in text
    assert fact(visitor, job_id, "cost") != before
    values = form_of(visitor.page(row_address("hardware", "column base plate"))) | {"owned": "4"}
    assert visitor.post("/studio/catalog/hardware/row", values).status_code == 303
    assert "you own" not in visitor.page(f"/jobs/{job_id}").select_one("#findings").get_text()  # type: ignore[union-attr]


def test_a_shade_and_a_time_of_ones_own(house: House, visitor: Visitor) -> None:
    job_id = house.job()
    shade = {"name": "seagrass", "colour": "#2F8F83", "finish": "pearl"}
    assert visitor.post("/studio/catalog/shades/row", shade).status_code == 303
    assert 'colour = "#2f8f83"' in studio_text(visitor)
    before = fact(visitor, job_id, "hours")
    assert visitor.post("/studio/times", {"t:tie cluster": "3 min"}).status_code == 303
    assert fact(visitor, job_id, "hours") != before
    assert visitor.post("/studio/times", {"t:tie cluster": "quick"}).status_code == 422
    assert visitor.post("/studio/times", {"t:tie cluster": ""}).status_code == 303
    assert fact(visitor, job_id, "hours") == before
    assert "operations" not in studio_text(visitor)


def test_gas_begins_with_ours_and_can_go_back(visitor: Visitor) -> None:
    values = form_of(visitor.page(row_address("gas", "helium cylinder 10 L")))
    assert visitor.post("/studio/catalog/gas/row", values | {"price": "99"}).status_code == 303
    assert len(tomllib.loads(studio_text(visitor))["cylinders"]) == 3
    for name in ("10 L", "20 L"):
        gone = visitor.post("/studio/catalog/gas/remove", {"name": f"helium cylinder {name}"})
        assert gone.status_code == 303
    last = visitor.post("/studio/catalog/gas/remove", {"name": "helium cylinder 50 L"})
    assert last.status_code == 422
    assert "your last cylinder" in last.text
    assert visitor.post("/studio/catalog/gas/ours").status_code == 303
    assert "cylinders" not in studio_text(visitor)


def test_comments_and_other_rows_stay(visitor: Visitor) -> None:
    text = EMPTY + (
        '# since spring\n[[shades]]\nname = "moss"\ncolour = "#556b2f" # the dark one\n'
        'finish = "matte"\n\n[[shades]]\nname = "sea"\ncolour = "#336699"\n'
    )
    assert visitor.post("/studio/studio.toml", {"text": text}).status_code == 303
    values = form_of(visitor.page(row_address("shades", "moss"))) | {"finish": "metallic"}
    assert visitor.post("/studio/catalog/shades/row", values).status_code == 303
    assert studio_text(visitor) == text.replace('finish = "matte"', 'finish = "metallic"')


@pytest.mark.parametrize(
    ("field", "words", "said"),
    [
        ("nominal_in", "14", "has no unit"),
        ("nominal_in", "", "This is empty"),
        ("usual_in", "20 in", "filled wider than"),
        ("mass_g", "-2 g", "too small"),
        ("mass_g", "2 ft", "not a mass"),
        ("failure_rate", "80 %", "too large"),
        ("failure_rate", "few", "is no share"),
        ("family", "square", "is no choice"),
        ("size", "2 x 11in @ 9in", "a recipe, not a size"),
        ("pack_price:0", "cheap", "is no amount"),
        ("pack_count:0", "12.5", "is no whole number"),
        ("pack_count:0", "0", "too small"),
    ],
)
def test_what_does_not_fit_is_said_beside_its_field(
    visitor: Visitor, field: str, words: str, said: str
) -> None:
    new = {"size": "14in", "family": "round", "nominal_in": "14 in", "usual_in": "12 in",
           "mass_g": "4.6 g", "flat_width_in": "4.9 in", "failure_rate": "2 %", "helium": "no",
           "pack_count:0": "50", "pack_price:0": "14.50"}  # fmt: skip
    before = studio_text(visitor)
    answer = visitor.post("/studio/catalog/balloons/row", new | {field: words})
    assert answer.status_code == 422
    page = BeautifulSoup(answer.text, "html.parser")
    [place] = page.select(".has-error")
    assert said in place.get_text()
    assert place.find(["input", "select"], {"name": field})
    kept = page.select_one('[name="flat_width_in"]')
    assert kept is not None
    assert kept["value"] == "4.9 in"  # nothing typed is lost
    assert studio_text(visitor) == before


def test_a_row_that_others_need_stays(visitor: Visitor) -> None:
    text = EMPTY + '[[weighed]]\nsize = "14in"\ncount = 10\nmass = "46 g"\n'
    answer = visitor.post("/studio/studio.toml", {"text": text})
    assert answer.status_code == 422  # no such size
    assert "46 g" in answer.text  # what was written is shown again


@pytest.mark.parametrize("login", ["dan", "cy"])
def test_only_owners_reach_the_stock(guarded: House, login: str) -> None:
    visitor = guarded.entered(login)
    for path in ("/studio/catalog/balloons", "/studio/catalog/hardware/row", "/studio/times",
                 "/studio/measures", "/studio/file"):  # fmt: skip
        assert visitor.get(path).status_code == 403, path
    shade = {"name": "seagrass", "colour": "#2f8f83", "finish": "matte"}
    for path in ("/studio/catalog/shades/row", "/studio/catalog/shades/remove",
                 "/studio/catalog/shades/ours", "/studio/times"):  # fmt: skip
        assert visitor.post(path, shade).status_code == 403, path
    ada = guarded.entered("ada")
    ada.get("/studio")
    assert ada.post("/studio/catalog/shades/row", shade).status_code == 303
    assert ada.post("/studio/catalog/shades/remove", shade).status_code == 303


def test_a_form_without_its_token_is_refused(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/studio")
    for path in ("/studio/catalog/shades/row", "/studio/times", "/studio/catalog/gas/ours"):
        assert visitor.client.post(path, data={"name": "x"}).status_code == 403


def test_two_people_at_one_shelf(visitor: Visitor) -> None:
    one = form_of(visitor.page(row_address("shades", "sand"))) | {"finish": "pearl"}
    two = form_of(visitor.page(row_address("shades", "teal"))) | {"finish": "pearl"}
    assert visitor.post("/studio/catalog/shades/row", one).status_code == 303
    assert visitor.post("/studio/catalog/shades/row", two).status_code == 409
    assert "teal" not in studio_text(visitor)


@pytest.mark.parametrize(
    "path", ["/studio/catalog/cakes", "/studio/catalog/balloons/row?name=dragon"]
)
def test_what_is_not_on_the_shelf_is_said(visitor: Visitor, path: str) -> None:
    assert visitor.get(path).status_code == 404


LAX = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
WORDS = st.text(max_size=40) | st.sampled_from(
    ["14in", "9999 in", "1e400 in", "-1", "NaN", "0", "2 %", "50", "4,20", "round", "foil",
     "modelling", "yes", "#ffffff", "0.000001", "1 L", "200 bar", "≈", "½ in", "é"]
)  # fmt: skip


@LAX
@given(data=st.data(), shelf=st.sampled_from(sorted(SHELVES)))
def test_any_row_is_kept_whole_or_refused(house: House, data: st.DataObject, shelf: str) -> None:
    visitor = house.visitor()
    visitor.get("/studio")
    visitor.post("/studio/studio.toml", {"text": EMPTY})
    keys = list(SHELVES[shelf].fields)
    keys += ["was", "pack_count:0", "pack_price:0", "pack_count:1"]
    sent = data.draw(st.dictionaries(st.sampled_from(keys), WORDS))
    clean = {key: text.encode("utf-8", "replace").decode() for key, text in sent.items()}
    answer = visitor.post(f"/studio/catalog/{shelf}/row", clean)
    assert answer.status_code in (303, 422), answer.text[-800:]
    assert read_studio(studio_text(visitor)).studio is not None
    assert visitor.get(f"/studio/catalog/{shelf}").status_code == 200
    visitor.post("/studio/studio.toml", {"text": EMPTY})


@pytest.mark.parametrize(
    ("text", "amount"),
    [("4.20", "4.20"), ("4,20", "4.20"), ("$1,200", "1200"), ("1.200,50 EUR", "1200.50"),
     ("1,200.50", "1200.50"), ("€ 12", "12"), ("0,5", "0.5"), ("1.125", "1.125"),
     ("12'000", "12000")],
)  # fmt: skip
def test_amounts_are_read_as_people_type_them(text: str, amount: str) -> None:
    assert read_amount(text) == Decimal(amount)


@pytest.mark.parametrize("text", ["", "-1", "ten", "1e9", "NaN", "1.2.3", "$", "4 - 5", "9" * 40])
def test_what_is_no_amount(text: str) -> None:
    assert read_amount(text) is None


@pytest.mark.parametrize(
    ("path", "typed"),
    [
        ('["pricing", "margin"]', "100 %"),
        ('["pricing", "labour_rate"]', "-500"),
        ('["pricing", "price_step"]', "0"),
        ('["pricing", "price_step"]', "9" * 400),
    ],
)
def test_a_setting_beyond_its_limit_is_asked_again(
    house: House, visitor: Visitor, path: str, typed: str
) -> None:
    job_id = house.job()
    assert visitor.post("/studio", {f"f:{path}": typed}).status_code == 422
    assert studio_text(visitor) == EMPTY
    for page in ("", "/file", "/offer", "/papers", "/day", "/outcome"):
        assert visitor.get(f"/jobs/{job_id}{page}").status_code == 200


def test_forty_typed_into_a_share_is_forty_percent(visitor: Visitor) -> None:
    assert visitor.post("/studio", {'f:["pricing", "margin"]': "40"}).status_code == 303
    studio = read_studio(studio_text(visitor)).studio
    assert studio is not None
    assert studio.pricing.margin == Decimal("0.4")


def test_a_measured_stack_of_an_unknown_size_is_asked_again(visitor: Visitor) -> None:
    given = {"cluster": "4 x 12inn", "clusters": "9", "height": "6 ft"}
    answer = visitor.post("/studio/measured", given)
    assert answer.status_code == 422
    assert "12inn" in answer.text
    assert studio_text(visitor) == EMPTY


def test_settings_that_a_job_in_hand_cannot_be_planned_with_are_not_saved(
    house: House, visitor: Visitor
) -> None:
    own = """format = "airwright-studio/1"
[[balloons]]
size = "13in"
family = "round"
nominal_in = 13.0
usual_in = 11.0
mass_g = 3.6
flat_width_in = 5.0
failure_rate = 0.02
packs = [{ count = 50, price = "9.00" }]
source = "test"
"""
    assert visitor.post("/studio/studio.toml", {"text": own}).status_code == 303
    job_id = house.job(demo_text().replace("11in", "13in").replace("@ 9.5in", "@ 10.5in"))
    visitor.get("/studio")
    refused = visitor.post("/studio/studio.toml", {"text": EMPTY})
    assert refused.status_code == 422
    assert "13in" in refused.text
    assert studio_text(visitor) == own
    with house.desk.database.writing() as session:
        Jobs(session).remove(job_id)


CURRENCY = 'f:["pricing", "currency"]'


def test_a_studio_of_another_currency_goes_on_with_jobs_in_dollars(house: House) -> None:
    """The first thing a studio elsewhere does; the example in the book is in dollars."""
    visitor = house.visitor()
    job_id = house.job()
    visitor.get("/studio")
    assert visitor.post("/studio", {CURRENCY: "EUR"}).status_code == 303
    found = {
        f["code"]
        for f in visitor.send(f"/api/jobs/{job_id}/state", {"have": []}).json()["findings"]
    }
    assert "starting-rate" in found
    page = visitor.page("/enquiry").get_text()
    assert "€" in page
    assert "$" not in page
    visitor.post("/enquiry", {"client": "Lantern Lane"})
    with house.desk.database.reading() as session:
        rows = Jobs(session).search(today=dt.date(2027, 5, 1), limit=500)
        job = next(row.id for row in rows if row.client == "Lantern Lane")
        text = Jobs(session).get(job).text
    assert 'currency = "EUR"' in text
    offer = visitor.page(f"/jobs/{job_id}/offer")
    assert offer.select_one("form[action$='/editions'] button[disabled]") is None
    visitor.post("/studio", {CURRENCY: ""})


def test_settings_that_a_job_forbids_come_back_as_typed(house: House) -> None:
    visitor = house.visitor()
    house.job()
    visitor.get("/studio")
    name = 'f:["studio", "name"]'
    refused = visitor.post("/studio", {CURRENCY: "KWD", name: "Lantern Lane"})
    assert refused.status_code == 422
    page = BeautifulSoup(refused.text, "html.parser")
    assert "could no longer be planned" in page.get_text()
    assert "[pricing]" not in page.get_text()  # a cure for a hand at the desk
    typed = {field.get("name"): field.get("value") for field in page.select("form.house input")}
    assert (typed[CURRENCY], typed[name]) == ("KWD", "Lantern Lane")
