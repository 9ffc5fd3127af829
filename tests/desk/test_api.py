"""The JSON API keeps to its own description: whatever is sent, never a 5xx."""

from __future__ import annotations

from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings

from tests.desk.conftest import House


@pytest.fixture(scope="module")
def api(tmp_path_factory: pytest.TempPathFactory) -> Any:
    house = House(f"sqlite:///{tmp_path_factory.mktemp('api') / 'desk.db'}")
    loaded = schemathesis.openapi.from_asgi(
        "/api/openapi.json", house.app, headers={"host": "127.0.0.1:8471"}
    )
    loaded.house = house
    loaded.job_id = house.job()
    visitor = house.visitor()
    visitor.get("/")
    loaded.token = visitor.token
    loaded.seat = visitor.client.cookies["airwright_seat"]
    return loaded


def check(case: Any, api: Any) -> None:
    if "job_id" in (case.path_parameters or {}) and len(case.path_parameters["job_id"]) % 2:
        case.path_parameters["job_id"] = api.job_id
    case.headers = {"host": "127.0.0.1:8471", "x-desk-token": api.token}
    case.cookies = {"airwright_seat": api.seat}
    answer = case.call()
    assert answer.status_code < 500, answer.text
    assert "Traceback" not in answer.text
    kind = answer.headers.get("content-type", [""])[0]
    if answer.status_code >= 400 and kind.startswith("application/json"):
        told = answer.json()
        assert told["what"]
        assert told["mend"]


def test_no_answer_is_a_mishap_of_ours(api: Any) -> None:
    operations = [found.ok() for found in api.get_all_operations()]
    assert len(operations) >= 8
    for operation in operations:

        @settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
        @given(case=operation.as_strategy())
        def run(case: Any) -> None:
            check(case, api)

        run()


def test_the_api_describes_itself(api: Any) -> None:
    paths = api.raw_schema["paths"]
    assert "/api/jobs/{job_id}/edits" in paths
    assert all(path.startswith("/api/") for path in paths)
