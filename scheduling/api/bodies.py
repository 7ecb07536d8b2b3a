from inventory.base.api.serializers import StrictSerializer


class EmptyInput(StrictSerializer):
    """A verb that takes nothing: whatever comes in its body is refused by name."""
