"""Specs: YAML files to families and pools, with every check of what a person wrote.

- document: YAML as a tree of nodes that know their places; the only importer of yaml
- shapes: pydantic types of texts, integers, words and lists; pydantic's errors as faults
- tokens, expression: expressions and equations; functions: what they may use
- condition: what `where` says; surroundings: expressions as pydantic types
- parameter: what a parameter is drawn from; domain: its values
- family, pool, course: the kinds of file; reading: a family, or its parts
- use: parameters that make no difference
- shelf: families by id, many files at once
- schema: JSON Schemas for editors
- library: where the shipped specs are
"""

from itembank.spec.condition import Condition
from itembank.spec.course import Course, load_course
from itembank.spec.domain import Domain
from itembank.spec.expression import Equation, Expression
from itembank.spec.family import Family
from itembank.spec.family_fields import Given
from itembank.spec.library import library
from itembank.spec.parameter import Parameter
from itembank.spec.pool import Pool, PoolEntry, load_pool
from itembank.spec.reading import load_family
from itembank.spec.schema import schemas
from itembank.spec.shelf import FamilyShelf, find_families, load_specs, shelf_beside

__all__ = [
    "Condition",
    "Course",
    "Domain",
    "Equation",
    "Expression",
    "Family",
    "FamilyShelf",
    "Given",
    "Parameter",
    "Pool",
    "PoolEntry",
    "find_families",
    "library",
    "load_course",
    "load_family",
    "load_pool",
    "load_specs",
    "schemas",
    "shelf_beside",
]
