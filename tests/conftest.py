"""Shared test set-up: repeatable property tests."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
settings.register_profile(
    "repeatable", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=False
)
settings.load_profile("repeatable")
