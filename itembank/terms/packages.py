"""Packages as a bank keeps them: their hashes, and what the load card tells of each.

A later export of the same release writes a card with all its packages on it, so what a package
holds by type is on record with it.
"""

import json
from collections.abc import Sequence
from dataclasses import asdict, replace

from exporters.release import Count, Group, Target, Written
from itembank.bank.releases import Package
from itembank.languages.saying import Said
from itembank.values.points import from_plain, plain


def on_record(target: Target, written: Written) -> Package:
    told = {
        "size": written.size,
        "math": written.math,
        "purpose": written.purpose,
        "profile": written.profile,
        "groups": [
            {
                "family": count.group.family,
                "title": count.group.title,
                "choose": count.group.choose,
                "points": plain(count.group.points),
                "items": count.items,
                "types": {type.template: n for type, n in count.types.items()},
            }
            for count in written.counts
        ],
    }
    text = json.dumps(told, ensure_ascii=False)
    kept = asdict(
        replace(target, pdf=False)
    )  # a PDF is no package, and not every machine has LaTeX
    return Package(written.format, kept, written.file, written.sha256, text)


def written_before(packages: Sequence[Package], name: str) -> tuple[Written, ...]:
    """The packages of a release in its first language, as its card tells them.

    Of each file the one written last; without those of banks that did not record what they hold.
    """
    files = {p.file: p for p in packages if p.file == f"{name}-{p.format}.zip"}
    return tuple(_from_record(package) for package in files.values() if package.counts)


def _from_record(package: Package) -> Written:
    told = json.loads(package.counts)
    return Written(
        format=package.format,
        file=package.file,
        size=told["size"],
        sha256=package.sha256,
        math=told["math"],
        purpose=told["purpose"],
        profile=told["profile"],
        counts=tuple(
            Count(
                group=Group(
                    family=group["family"],
                    title=group["title"],
                    items=(),
                    choose=group["choose"],
                    points=from_plain(group["points"]),
                ),
                items=group["items"],
                types={Said(name): n for name, n in group["types"].items()},
            )
            for group in told["groups"]
        ),
    )
