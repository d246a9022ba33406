"""QTI 2.2: the constants of the version; `qti2` writes it.

Source: IMS Question & Test Interoperability 2.2 Final, XML binding (2015, maintenance release
2.2.2 of 2017): imsqti_v2p2p2.xsd, qtiv2p2_imscpv1p2_v1p0.xsd, imsqti_metadata_v2p2.xsd.
"""

from exporters import qti2
from exporters.package import Package
from exporters.release import Count, Purpose, Release

_XSD = "http://www.imsglobal.org/xsd"

VERSION = qti2.Version(
    format="qti22",
    namespace=f"{_XSD}/imsqti_v2p2",
    schema=f"{_XSD}/qti/qtiv2p2/imsqti_v2p2p2.xsd",
    metadata_namespace=f"{_XSD}/imsqti_metadata_v2p2",
    metadata_schema=f"{_XSD}/qti/qtiv2p2/imsqti_metadata_v2p2.xsd",
    manifest_schema=f"{_XSD}/qti/qtiv2p2/qtiv2p2_imscpv1p2_v1p0.xsd",
    lom_schema=f"{_XSD}/imsmd_loose_v1p3p2.xsd",
    package="QTIv2.2 Package",
    bank="QTIv2.2 Item Bank Package",
    item_type="imsqti_item_xmlv2p2",
    test_type="imsqti_test_xmlv2p2",
)


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    return qti2.write(release, package, math, purpose, VERSION)
