"""One rule: a written change that belongs to one process, with its cost, its source and its own proof."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from approx.processes.notation import Change, parse


@dataclass(frozen=True)
class Rule:
    """A change as data. `cost`: how far it takes a form from the adult one (0.5 = one ordinary step of a child).

    `order`: when it is tried among equals. `examples`: (before, after) pairs that must hold. `atypical`: offered only
    when nothing else is left (DESIGN: what a good approximation is, 7). `uses`: simplify, explain or both.
    """

    id: str
    process: str
    text: str
    cost: float
    order: int
    source: str
    examples: tuple[tuple[str, str], ...]
    kind: str = ""
    atypical: bool = False
    uses: tuple[str, ...] = ("simplify", "explain")
    language: str = ""
    file: str = ""
    line: int = 0

    @cached_property
    def change(self) -> Change:
        """The parsed notation."""
        return parse(self.text)

    @cached_property
    def shortens(self) -> bool:
        """True if fewer sounds come out than went in."""
        return len(self.change.result) < len(self.change.focus)

    @property
    def free(self) -> bool:
        """True if taking the sound away is what children do with it (liquids after vowels, two sounds in one)."""
        return self.process in ("vocalization", "coalescence") or self.kind == "left off"


@dataclass(frozen=True, slots=True)
class Process:
    """A standard trade name of a change; `id` is the name with hyphens, `says` what it is in one line."""

    id: str
    name: str
    says: str
    source: str
    synonyms: tuple[str, ...] = ()
    atypical: bool = False
    file: str = ""
    line: int = 0
