"""Equality and congruence in formulas: the relations of a tree, and one sign for the other."""

from collections.abc import Mapping

from itembank.notation.tree import Listing, Math, Relation, Words


def relations_of(node: Math | str) -> list[Relation]:
    match node:
        case Relation():
            return [node]
        case Listing(parts) | Words(parts):
            return [relation for part in parts for relation in relations_of(part)]
    return []


def as_congruence(node: Math) -> Math:
    """The node with ≡ for =, and ≢ for ≠, in its relations."""
    return _resigned(node, {"=": "≡", "≠": "≢"})


def as_equality(node: Math) -> Math:
    """The node with = for ≡, and ≠ for ≢, in its relations."""
    return _resigned(node, {"≡": "=", "≢": "≠"})


def _resigned(node: Math, signs: Mapping[str, str]) -> Math:
    match node:
        case Relation(sides, old):
            return Relation(sides, tuple(signs[sign] for sign in old))
        case Listing(items):
            return Listing(tuple(_resigned(item, signs) for item in items))
        case Words(parts):
            return Words(tuple(p if isinstance(p, str) else _resigned(p, signs) for p in parts))
    return node
