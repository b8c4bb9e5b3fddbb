"""How many examples the test of a property draws.

The fast set draws a fifth, the same ones at each run, so that a change is judged and not the draw.
`--hypothesis-profile=whole` draws all of them, as `.ci/run` does; `--hypothesis-profile=search` looks for new ones.
"""

from __future__ import annotations

from typing import Final

from hypothesis import HealthCheck, settings

SHARES: Final = {"approx": 0.2, "whole": 1.0, "search": 1.0}
BY_DEFAULT: Final = 100  # hypothesis's own number, for a test that names none


def register_profiles() -> None:
    """Profiles for the whole run. A busy machine draws examples slowly, which says nothing about the product."""
    slow_is_fine = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
    for name, share in SHARES.items():
        settings.register_profile(
            name, slow_is_fine, derandomize=name != "search", max_examples=round(BY_DEFAULT * share)
        )
    settings.load_profile("approx")


def examples(count: int) -> settings:
    """`count` examples, or the share of them that this run draws."""
    return settings(max_examples=max(5, round(count * SHARES[settings.get_current_profile_name()])))
