"""Pages work as pages: declared contexts, parsed HTML, no script or style inside."""

from __future__ import annotations

import gzip
import importlib
import pkgutil
import re
from collections.abc import Iterator
from dataclasses import fields
from importlib.resources import files

import jinja2
import pytest
from jinja2 import meta

import airwright.desk
from airwright.desk.pages import GLOBALS, Page, environment
from tests.desk.conftest import House, Visitor


def every_page() -> Iterator[type[Page]]:
    for entry in pkgutil.walk_packages(airwright.desk.__path__, "airwright.desk."):
        if entry.name.endswith((".contexts", ".error_handlers")):
            importlib.import_module(entry.name)
    pending = list(Page.__subclasses__())
    while pending:
        page = pending.pop()
        yield page
        pending += page.__subclasses__()


PAGES = sorted(every_page(), key=lambda page: page.__name__)


def named_in(template: str, seen: set[str] | None = None) -> set[str]:
    """Every variable a template and what it extends or includes takes from outside."""
    seen = set() if seen is None else seen
    if template in seen:
        return set()
    seen.add(template)
    source = files("airwright.desk").joinpath("templates", *template.split("/")).read_text("utf-8")
    tree = environment().parse(source)
    names = meta.find_undeclared_variables(tree)
    for other in meta.find_referenced_templates(tree):
        # What is imported gets no context; what is included or extended shares it.
        if other is not None and other != "parts.html":
            names |= named_in(other, seen)
    return names - {"parts"}


def test_pages_were_found() -> None:
    assert len(PAGES) >= 15


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.__name__)
def test_a_page_declares_all_that_its_template_names(page: type[Page]) -> None:
    declared = {field.name for field in fields(page)} | GLOBALS
    for template in filter(None, (page.template, page.part)):
        assert named_in(template) <= declared


def test_the_check_above_can_fail() -> None:
    tree = environment().parse("{{ never_declared }}")
    assert meta.find_undeclared_variables(tree) == {"never_declared"}
    with pytest.raises(jinja2.UndefinedError):
        environment().from_string("{{ never_declared }}").render()


def addresses(house: House) -> list[str]:
    job = f"/jobs/{house.job()}"
    return [
        "/stock", "/stock/jobs", "/stock/count", "/stock/count?code=4006381333931",
        "/stock/goods?item=Pole",
        "/buying", "/buying/suppliers", "/buying?horizon=200&wished=yes",
        "/", "/?words=ferry", "/?stage=offered", "/?stage=nonsense&page=99", "/enquiry", "/studio",
        "/team", "/sign-in", job, f"{job}?piece=0", f"{job}?piece=1", f"{job}?piece=99",
        f"{job}/offer", f"{job}/papers", f"{job}/day", f"{job}/outcome", f"{job}/file",
        f"{job}/remove", "/studio/measures", "/studio/file", "/studio/times",
        "/studio/catalog/balloons",
        "/studio/catalog/shades", "/studio/catalog/hardware", "/studio/catalog/gas",
        "/studio/catalog/balloons/row", "/studio/catalog/balloons/row?name=11in",
        "/studio/catalog/gas/row?name=helium%20cylinder%2010%20L",
    ]  # fmt: skip


def test_every_page_is_whole(house: House) -> None:
    visitor = house.visitor()
    for address in addresses(house):
        page = visitor.page(address)
        assert page.title is not None, address
        assert len(page.find_all("h1")) == 1, address
        assert page.html is not None
        assert page.html["lang"] == "en"
        ids = [tag["id"] for tag in page.find_all(id=True)]
        assert len(ids) == len(set(ids)), (address, [i for i in ids if ids.count(i) > 1])
        for script in page.find_all("script"):
            assert script.get("src", "").startswith("/static/"), address
            assert not script.string, address
        assert not page.find_all("style"), address
        styled = [tag.name for tag in page.find_all(style=True)]
        assert not styled, (address, styled)
        handlers = [
            name for tag in page.find_all(True) for name in tag.attrs if name.startswith("on")
        ]
        assert not handlers, address
        for form in page.find_all("form", method="post"):
            assert form.find("input", {"name": "token"}), (address, form.get("action"))
        outside = re.findall(r'(?:src|href|action)="(?:https?:)?//[^"]+', str(page))
        assert not outside, address


def test_every_field_has_a_label(house: House) -> None:
    visitor = house.visitor()
    for address in addresses(house):
        page = visitor.page(address)
        for field in page.find_all(["input", "select", "textarea"]):
            if field.get("type") == "hidden":
                continue
            named = field.find_parent("label") or (
                field.get("id") and page.find("label", {"for": field["id"]})
            )
            assert named or field.get("aria-label"), (address, str(field)[:200])


@pytest.mark.parametrize(
    ("path", "status"),
    [("/jobs/nothere", 404), ("/nothing", 404), ("/jobs/x/y/z", 404), ("/c/wrong", 404),
     ("/jobs/nothere/papers/abc", 404), ("/?page=0", 422), ("/?page=x", 422)],
)  # fmt: skip
def test_what_is_not_there_is_said_with_a_cure(house: House, path: str, status: int) -> None:
    answer = house.visitor().get(path)
    assert answer.status_code == status
    assert "Traceback" not in answer.text
    assert "<h1>" in answer.text


def test_the_example_is_labelled_as_invented(house: House) -> None:
    assert "example, invented" in house.visitor().page("/").get_text()


def test_an_empty_desk_explains_itself(house: House, tmp_path: object) -> None:
    empty = House(f"sqlite:///{tmp_path}/empty.db")
    visitor = empty.visitor()
    page = visitor.page("/")
    link = page.select_one(".job-card a")
    assert link is not None
    visitor.post(f"{link['href']}/remove")
    visitor.post("/tour")
    text = visitor.page("/").get_text()
    assert "Your jobs will be here" in text
    assert "Three steps" not in text


def test_hostile_names_stay_text(house: House) -> None:
    from airwright.desk.seed import demo_text

    nasty = "<script>alert(1)</script><b onx=1>"
    text = demo_text().replace("Ferry terminal reopening", nasty).replace("Swirl column", nasty)
    job_id = house.job(text)
    visitor = house.visitor()
    for path in ("", "?piece=0", "/offer", "/papers", "/day", "/outcome", "/file"):
        page = visitor.page(f"/jobs/{job_id}{path}")
        assert all(script.get("src") for script in page.find_all("script")), path
        assert not page.find_all("b", onx=True), path


def check_part(visitor: Visitor, path: str, inside: str) -> None:
    answer = visitor.get(path, headers={"hx-request": "true"})
    assert answer.status_code == 200
    assert "<html" not in answer.text
    assert inside in answer.text


def test_parts_come_without_their_page(house: House) -> None:
    visitor = house.visitor()
    job = f"/jobs/{house.job()}"
    check_part(visitor, "/?words=ferry", 'id="entries"')
    check_part(visitor, f"{job}/papers", 'id="shelf"')


def test_scripts_stay_light() -> None:
    """All scripts of the desk together, compressed: the budget is 260 kB.

    Beside it stands the viewer of the client's page, fetched only by a client who asks for 3D.
    """
    dist = files("airwright.desk") / "static" / "dist"
    found = [f for f in dist.iterdir() if f.name.endswith(".js")] if dist.is_dir() else []
    scripts = [f for f in found if not f.name.startswith("part-model-viewer")]
    if not scripts:
        pytest.skip("the desk's scripts are not bundled (make frontend)")
    assert sum(len(gzip.compress(script.read_bytes(), 9)) for script in scripts) <= 260_000
