"""Common Cartridge 1.3: the constants of the version; `cartridge` writes it.

Source: IMS Common Cartridge 1.3 Final, XML binding (2013): ccv1p3_imscp_v1p2_v1p0.xsd,
ccv1p3_lommanifest_v1p0.xsd, ccv1p3_qtiasiv1p2p1_v1p0.xsd.
"""

from exporters import cartridge
from exporters.package import Package
from exporters.release import Count, Purpose, Release

_CC = "http://www.imsglobal.org/profile/cc/ccv1p3"

_VERSION = cartridge.Version(
    format="cc13",
    number="1.3.0",
    namespace="http://www.imsglobal.org/xsd/imsccv1p3/imscp_v1p1",
    manifest_schema=f"{_CC}/ccv1p3_imscp_v1p2_v1p0.xsd",
    lom_namespace="http://ltsc.ieee.org/xsd/imsccv1p3/LOM/manifest",
    lom_schema=f"{_CC}/LOM/ccv1p3_lommanifest_v1p0.xsd",
    qti_schema=f"{_CC}/ccv1p3_qtiasiv1p2p1_v1p0.xsd",
    bank_type="imsqti_xmlv1p2/imscc_xmlv1p3/question-bank",
    quiz_type="imsqti_xmlv1p2/imscc_xmlv1p3/assessment",
    role_vocabulary="IMSGLC_CC_Rolesv1p2",
)


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    return cartridge.write(release, package, math, purpose, _VERSION)
