"""QTI 2.1: the constants of the version; `qti2` writes it.

Source: IMS Question & Test Interoperability 2.1 Final, XML binding (July 2012):
imsqti_v2p1.xsd, qtiv2p1_imscpv1p2_v1p0.xsd, imsqti_metadata_v2p1.xsd.
"""

from exporters import qti2
from exporters.package import Package
from exporters.release import Count, Purpose, Release

_XSD = "http://www.imsglobal.org/xsd"

VERSION = qti2.Version(
    format="qti21",
    namespace=f"{_XSD}/imsqti_v2p1",
    schema=f"{_XSD}/qti/qtiv2p1/imsqti_v2p1.xsd",
    metadata_namespace=f"{_XSD}/imsqti_metadata_v2p1",
    metadata_schema=f"{_XSD}/qti/qtiv2p1/imsqti_metadata_v2p1p1.xsd",
    manifest_schema=f"{_XSD}/qti/qtiv2p1/qtiv2p1_imscpv1p2_v1p0.xsd",
    lom_schema=f"{_XSD}/imsmd_loose_v1p3p2.xsd",
    package="QTIv2.1 Package",
    bank="QTIv2.1 Item Bank Package",
    item_type="imsqti_item_xmlv2p1",
    test_type="imsqti_test_xmlv2p1",
)


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    return qti2.write(release, package, math, purpose, VERSION)
