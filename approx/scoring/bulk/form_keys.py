"""What was said in many pairs, each form its sounds by number, with a number for each different form.

A form of few sounds is one whole number, a byte a sound: a table of texts takes ten times the room and twice the time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Sounds = NDArray[np.uint16]

_SHORT = 7
"""Sounds of a form that is one whole number; the last of its eight bytes tells the others apart."""
_LONG = 1 << 63


class FormKeys:
    """Forms of pairs by their places, until all are `numbered`."""

    def __init__(self, size: int) -> None:
        import numpy as np

        self._keys = np.zeros(size, np.uint64)
        self._long: dict[bytes, int] = {}

    def put(self, places: Ints, sounds: Sounds, length: Ints) -> None:
        """Forms one after the other: the numbers of their sounds, from 1 on, and how many each has."""
        import numpy as np

        ends = np.cumsum(length)
        pair = np.repeat(np.arange(len(length)), length)
        inside = np.arange(len(sounds)) - (ends - length)[pair]
        short = length <= _SHORT
        short[pair[sounds > 255]] = False
        there = short[pair]
        rows = np.zeros((len(length), _SHORT + 1), np.uint8)
        rows[pair[there], inside[there]] = sounds[there]
        self._keys[places] = rows.view("<u8")[:, 0]
        text, long = sounds.tobytes(), self._long
        for at in np.flatnonzero(~short).tolist():
            form = text[2 * int(ends[at] - length[at]) : 2 * int(ends[at])]
            self._keys[places[at]] = _LONG + long.setdefault(form, len(long))

    def numbered(self) -> tuple[NDArray[np.int32], Forms]:
        """The number of the form of each pair, and the different forms."""
        import numpy as np

        keys, numbers = np.unique(self._keys, return_inverse=True)
        return numbers.astype(np.int32), Forms(keys, list(self._long))


class Forms:
    """Different forms by number."""

    def __init__(self, keys: NDArray[np.uint64], long: list[bytes]) -> None:
        self._keys, self._long = keys, long

    def __len__(self) -> int:
        return len(self._keys)

    def sounds(self, number: int) -> list[int]:
        """The sounds of a form by number."""
        key = int(self._keys[number])
        if key >= _LONG:
            return list(memoryview(self._long[key - _LONG]).cast("H"))
        return list(key.to_bytes(_SHORT + 1, "little").rstrip(b"\0"))

    def rows(self) -> tuple[Sounds, Ints]:
        """The sounds of all forms one after the other, in order of their numbers, and how many each has."""
        import numpy as np

        short = int(np.searchsorted(self._keys, np.uint64(_LONG)))  # the others have the highest numbers
        table = self._keys[:short].astype("<u8").view(np.uint8).reshape(short, _SHORT + 1)
        long = [self._long[int(key) - _LONG] for key in self._keys[short:].tolist()]
        sounds = np.concatenate((table[table > 0], np.frombuffer(b"".join(long), np.uint16)))
        length = np.concatenate(((table > 0).sum(axis=1), np.array([len(form) // 2 for form in long], np.int64)))
        return sounds.astype(np.uint16), length
