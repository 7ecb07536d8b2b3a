"""The service without a demo: it keeps its own secret and prints where the first owner begins."""

import re
from http.cookiejar import CookieJar
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, build_opener

import pytest

pytestmark = [pytest.mark.long(10), pytest.mark.broker]

OWNER = {
    "name": "Barn crew",
    "timezone": "Europe/Zurich",
    "rules": "iec",
    "currency": "EUR",
    "username": "ida",
    "password": "a barn full of cables",
    "again": "a barn full of cables",
}


def test_an_empty_service_is_set_up_on_the_address_that_it_prints(start, tmp_path):
    empty = {"DEMO": "0", "KEEP_SECRET": "1", "DATABASE_URL": ""}
    run = start(tmp_path / "var", **empty).until_ready()
    address = re.search(r"http://\S+/begin/\S+", run.said.read_text())
    assert address is not None
    browser = build_opener(HTTPCookieProcessor(CookieJar()))
    page = browser.open(address[0]).read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token is not None
    today = browser.open(address[0], urlencode({**OWNER, "csrfmiddlewaretoken": token[1]}).encode())
    assert "Begin here" in today.read().decode()
    assert run.stop() == 0
    again = start(tmp_path / "var", **empty).until_ready()
    assert "/begin/" not in again.said.read_text()
