"""The worked solution under its old name, as long as a kind asks for it there."""

from itembank.kinds.power_root.telling import worked

__all__ = ["worked"]
