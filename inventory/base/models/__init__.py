from inventory.base.models.history import HistoryEntry
from inventory.base.models.idempotency import IdempotentAnswer
from inventory.base.models.ledger import Ledger
from inventory.base.models.notice import Notice
from inventory.base.models.pulse import Pulse
from inventory.base.models.user import User

__all__ = ["HistoryEntry", "IdempotentAnswer", "Ledger", "Notice", "Pulse", "User"]
