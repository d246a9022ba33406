"""Common Cartridge 1.1: the constants of the version; `cartridge` writes it.

Source: IMS Common Cartridge 1.1 Final, XML binding: ccv1p1_imscp_v1p2_v1p0.xsd,
ccv1p1_lommanifest_v1p0.xsd, ccv1p1_qtiasiv1p2p1_v1p0.xsd.
"""

from exporters import cartridge
from exporters.package import Package
from exporters.release import Count, Purpose, Release

_CC = "http://www.imsglobal.org/profile/cc/ccv1p1"

_VERSION = cartridge.Version(
    format="cc11",
    number="1.1.0",
    namespace="http://www.imsglobal.org/xsd/imsccv1p1/imscp_v1p1",
    manifest_schema=f"{_CC}/ccv1p1_imscp_v1p2_v1p0.xsd",
    lom_namespace="http://ltsc.ieee.org/xsd/imsccv1p1/LOM/manifest",
    lom_schema=f"{_CC}/LOM/ccv1p1_lommanifest_v1p0.xsd",
    qti_schema=f"{_CC}/ccv1p1_qtiasiv1p2p1_v1p0.xsd",
    bank_type="imsqti_xmlv1p2/imscc_xmlv1p1/question-bank",
    quiz_type="imsqti_xmlv1p2/imscc_xmlv1p1/assessment",
    role_vocabulary="IMSGLC_CC_Rolesv1p1",
    sourced=False,
    implementer="technical implementor",  # so the schema spells it
)


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    return cartridge.write(release, package, math, purpose, _VERSION)
