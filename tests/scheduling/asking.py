"""Short words for asking the interface in tests."""

from typing import Any

BASE = "/api/v1"


def post(client, path: str, body: dict[str, Any] | None = None, **headers: str):
    return client.post(f"{BASE}{path}", body or {}, format="json", headers=headers)


def patch(client, path: str, body: dict[str, Any], **headers: str):
    return client.patch(f"{BASE}{path}", body, format="json", headers=headers)


def get(client, path: str, **query: Any):
    return client.get(f"{BASE}{path}", query)


def delete(client, path: str):
    return client.delete(f"{BASE}{path}")


def made(response) -> dict[str, Any]:
    """Return what was made; fail with the problem if nothing was."""
    assert response.status_code == 201, response.json()
    return response.json()


def done(response) -> dict[str, Any]:
    assert response.status_code == 200, response.json()
    return response.json()


def refused(response, status: int, code: str) -> dict[str, Any]:
    """Return the problem document; fail if it is another one, or none."""
    body = response.json()
    assert (response.status_code, body.get("type")) == (status, f"/problems/{code}"), body
    assert response["Content-Type"] == "application/problem+json"
    return body


def book(client, event, **wanted):
    return made(post(client, "/bookings/", {"event": event.pk} | wanted))


def firm(client, event, **wanted):
    return book(client, event, state="confirmed", **wanted)


def shown(client, booking):
    return get(client, f"/bookings/{booking['id']}/").json()


def verb(client, booking, name, **body):
    return post(client, f"/bookings/{booking['id']}/{name}/", body)
