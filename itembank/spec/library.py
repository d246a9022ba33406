"""Where the specs that ship with the product are."""

from pathlib import Path

from itembank.values.errors import ItemBankError
from itembank.values.worded import worded

_PACKAGE = Path(__file__).resolve().parent.parent


def library(package: Path = _PACKAGE) -> Path:
    """The folder of shipped specs (families/, pools/, schema/).

    An installed wheel holds it within the package, a checkout beside it.  Raises
    ItemBankError where neither is.
    """
    for folder in (package / "specs", package.parent / "specs"):
        if (folder / "families").is_dir():
            return folder
    raise ItemBankError(
        worded(
            "{package}: expected the shipped specs, found none; install the product again",
            package=package / "specs",
        )
    )
