"""The syntax of source text; of our own files it is asked by several tests, and read once for all of them."""

from __future__ import annotations

import ast
from functools import cache


@cache
def tree_of(text: str) -> ast.Module:
    return ast.parse(text)


@cache
def nodes_of(text: str) -> tuple[ast.AST, ...]:
    """Every node, as `ast.walk` gives them."""
    return tuple(ast.walk(tree_of(text)))
