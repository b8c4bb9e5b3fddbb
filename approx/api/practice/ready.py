"""A child made ready for many questions: the last few are kept, so that the next phrase comes at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import RLock

from approx.child.profile import Profile
from approx.practice.suggest.suggest import Suggester, SuggestOptions

_KEPT = 8
_lock = RLock()
_suggesters: dict[tuple[str, SuggestOptions], Suggester] = {}


@contextmanager
def ready(profile: Profile, options: SuggestOptions) -> Iterator[Suggester]:
    """A suggester of the profile, for one thread at a time: it keeps what it has worked out.

    With a folder of own rules it is made anew each time, for somebody may be editing them.
    """
    with _lock:
        if options.rules is not None:
            yield Suggester(profile, options)
            return
        key = (repr(profile), options)
        found = _suggesters.pop(key, None) or Suggester(profile, options)
        _suggesters[key] = found  # last used stands last
        while len(_suggesters) > _KEPT:
            del _suggesters[next(iter(_suggesters))]
        yield found


def forget() -> None:
    """Keep nothing of any child."""
    with _lock:
        _suggesters.clear()
