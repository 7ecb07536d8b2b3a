"""Signing in as a program: tokens that are shown once, kept hashed, listed and revoked; and the limits on asking."""

import pytest
from knox.models import AuthToken
from rest_framework.test import APIClient

from tests.service import PASSWORD

pytestmark = pytest.mark.django_db


def sign_in(username: str, password: str = PASSWORD, **more: str):
    return APIClient().post("/api/v1/tokens/", {"username": username, "password": password, **more}, format="json")


def test_a_token_opens_the_interface_until_it_is_revoked(people):
    assert people["crew"]
    answer = sign_in("crew").json()
    client = APIClient(HTTP_AUTHORIZATION=f"Token {answer['token']}")
    assert client.get("/api/v1/me/").json()["roles"] == ["crew"]
    listed = client.get("/api/v1/tokens/").json()["results"]
    assert [row["expires_at"] for row in listed] == [answer["expires_at"]]
    assert client.delete(f"/api/v1/tokens/{listed[0]['id']}/").status_code == 204
    refused = client.get("/api/v1/me/")
    assert refused.status_code == 401
    assert refused["WWW-Authenticate"] == "Token"


def test_a_token_is_kept_as_a_hash(people):
    assert people["crew"]
    token = sign_in("crew").json()["token"]
    row = AuthToken.objects.get()
    assert token not in {row.digest, row.token_key}


@pytest.mark.parametrize(("username", "password"), [("crew", "wrong"), ("nobody", PASSWORD)])
def test_a_wrong_name_or_password_says_the_same(people, username: str, password: str):
    assert people["crew"]
    response = sign_in(username, password)
    assert response.status_code == 401
    assert response.json()["detail"] == "The name or the password is not right."


def test_nobody_revokes_the_token_of_another(people, api):
    assert people["crew"]
    sign_in("crew")
    key = AuthToken.objects.get().token_key
    assert api("owner").delete(f"/api/v1/tokens/{key}/").status_code == 404
    assert AuthToken.objects.count() == 1


def test_a_made_up_token_is_refused(people):
    client = APIClient(HTTP_AUTHORIZATION="Token " + "0" * 64)
    response = client.get("/api/v1/kits/")
    assert response.status_code == 401
    assert response["Content-Type"] == "application/problem+json"


def test_a_sixth_log_in_within_a_minute_has_to_wait(people, settings):
    settings.LIMITS = settings.LIMITS | {"logins_per_minute": 5}
    assert people["crew"]
    assert people["viewer"]
    for _ in range(5):
        assert sign_in("crew", "wrong").status_code == 401
    late = sign_in("crew")
    assert late.status_code == 429
    assert late.json()["type"] == "/problems/too-often"
    assert int(late["Retry-After"]) > 0
    assert sign_in("viewer").status_code == 201


def test_a_burst_beyond_the_limit_has_to_wait(people, settings, token_api):
    settings.LIMITS = settings.LIMITS | {"rate_per_s": 0.001, "rate_burst": 3}
    client = token_api("crew")
    assert [client.get("/api/v1/me/").status_code for _ in range(4)] == [200, 200, 200, 429]
    assert client.get("/api/v1/me/")["Retry-After"]
    assert token_api("viewer").get("/api/v1/me/").status_code == 200
