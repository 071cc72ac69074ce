"""Journeys start from the shop of the services' tests."""

from __future__ import annotations

from tests.services.conftest import empty_shop, shop

__all__ = ["empty_shop", "shop"]
