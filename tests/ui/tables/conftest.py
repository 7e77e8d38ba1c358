"""The fixtures of single pages."""

from tests.ui.at_desk import context, desk, furnished, settle, show

__all__ = ["context", "desk", "furnished", "settle", "show"]
