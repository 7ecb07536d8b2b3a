from typing import TYPE_CHECKING

from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from inventory.base.models import User

if TYPE_CHECKING:
    from rest_framework.views import APIView


class RolePermission(BasePermission):
    """Look the view's verb up in the one table of permits; a view without an entry is a defect, not a default."""

    message = "Your role does not permit this. Ask a planner or the owner."

    def has_permission(self, request: Request, view: "APIView") -> bool:
        user = request.user
        if not isinstance(user, User) or not user.is_authenticated:
            return False
        permits: dict[str, str] = view.permits  # type: ignore[attr-defined]
        method = "GET" if request.method in {"HEAD", "OPTIONS"} else str(request.method)
        if method not in permits:
            return True  # the view itself answers 405
        return user.may(permits[method])
