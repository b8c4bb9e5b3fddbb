"""Where the checkout, the invented samples and the test data lie."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = ROOT / "tests"
DATA = TESTS / "data"
GOLDEN = TESTS / "golden"
SAMPLES = ROOT / "samples"
RULES = ROOT / "rules"
