"""Addresses of the whole service."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/v1/", include("config.api_urls")),
    path("", include("config.health")),
    path("", include("web.urls")),
]

handler400 = "config.problems.bad_request"
handler403 = "config.problems.permission_denied"
handler404 = "config.problems.not_found"
handler500 = "config.problems.server_error"
