"""The published tables and worked examples that several test files go through, read once."""

from pathlib import Path
from typing import Any

import yaml

DATA: dict[str, Any] = yaml.load(
    Path(__file__).with_suffix(".yaml").read_text(encoding="utf-8"),
    getattr(yaml, "CSafeLoader", yaml.SafeLoader),
)
