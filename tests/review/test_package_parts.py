"""A question of a package on paper, of which some lines do not belong: every line has a field."""

from pathlib import Path

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.audit.container import Container
from itembank.audit.contents import Contents
from itembank.audit.seen import SeenItem
from itembank.forms import form_of
from itembank.review import package_parts
from itembank.review.writer import Writer
from tests.audit.test_audit_spare_lines import item_with_spare_lines


def met_on_paper(path: Path) -> SeenItem:
    group = Group(
        family="spare", title="Steps", items=(item_with_spare_lines(),), choose=1, points=1
    )
    release = Release(
        pool_id="spare", title="Steps", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip
    write_package("html", release, path)
    with Container(path) as container:
        ((element, reader),) = Contents(container).items()
        return reader(element)


def test_a_line_that_does_not_belong_is_compared_with_no_place(tmp_path):
    seen = met_on_paper(tmp_path / "package.zip")
    response = item_with_spare_lines().response

    assert {"parts": package_parts.key_data(seen)} == form_of(response).compared(response)
    assert len(package_parts.fields(Writer("en"), seen)) == len(response.lines)
