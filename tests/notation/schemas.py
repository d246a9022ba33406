"""The published schemas, where they are held beside the checkout."""

import importlib.util
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

SHARED = Path(__file__).resolve().parents[3] / "shared"


@cache
def store() -> Any:
    tool = SHARED / "tools" / "validate_package.py"
    if not tool.is_file():
        pytest.skip("the published schemas are not beside this checkout")
    spec = importlib.util.spec_from_file_location("validate_package", tool)
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.Store(str(SHARED / "schemas"))


def faults(document: etree._Element, name: str) -> list[str]:
    """What the schema of this name finds wrong with the document, read anew from its bytes."""
    schema, rules, *_ = store().get(name)
    tree = etree.ElementTree(etree.fromstring(etree.tostring(document)))
    schema.validate(tree)
    broken_rules = [message for _line, message in rules.check(tree)]
    return [entry.message for entry in schema.error_log] + broken_rules
