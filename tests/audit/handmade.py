"""Small packages written by hand from the standards, for the audit to read.

Nothing of the exporters is used: what the audit makes of these is its own reading.
"""

import re
import zipfile
from pathlib import Path

from itembank.audit import audit_package

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p1"
MATHML = "http://www.w3.org/1998/Math/MathML"

FORMULA_HTML = '<p class="display"><i>x</i><sup>2</sup> + 9<i>x</i> + 5 ≡ 0 (mod\u00a0117)</p>'

FORMULA_MATHML = (
    f'<p><math xmlns="{MATHML}" display="block"'
    ' alttext="x squared plus 9 x plus 5 is congruent to 0, modulo 117"><mrow>'
    "<mrow><msup><mi>x</mi><mn>2</mn></msup><mo>+</mo>"
    "<mrow><mn>9</mn><mo>\u2062</mo><mi>x</mi></mrow><mo>+</mo><mn>5</mn></mrow>"
    "<mo>≡</mo><mn>0</mn><mspace width='0.6em'/>"
    "<mrow><mo>(</mo><mrow><mi>mod</mi><mspace width='0.3em'/><mn>117</mn></mrow><mo>)</mo></mrow>"
    "</mrow></math></p>"
)

TICK = (
    "<p>Tick every least residue (0 to 116) that is a solution. If there is none, tick only “no"
    " solutions”.</p><p>1 point if exactly the solutions are ticked, otherwise 0.</p>"
)
STEM = f"<p>Find <strong>all</strong> solutions of</p>{FORMULA_HTML}{TICK}"

RESIDUES = (7, 10, 16, 20, 46, 85, 88, 101)
SOLUTIONS = (7, 20, 88, 101)
CHOSEN = tuple(f"r{x}" for x in SOLUTIONS)


def base(kind: str, value: object) -> str:
    return f'<baseValue baseType="{kind}">{value}</baseValue>'


def set_outcome(name: str, value: str) -> str:
    return f'<setOutcomeValue identifier="{name}">{value}</setOutcomeValue>'


def condition(*branches: tuple[str, str], otherwise: str = "") -> str:
    """A responseCondition: (expression, rules) for each branch, then the rules of the last."""
    names = ["responseIf", *["responseElseIf"] * len(branches)]
    inside = "".join(
        f"<{n}>{test}{rules}</{n}>" for n, (test, rules) in zip(names, branches, strict=False)
    )
    last = f"<responseElse>{otherwise}</responseElse>" if otherwise else ""
    return f"<responseCondition>{inside}{last}</responseCondition>"


GIVEN = '<variable identifier="RESPONSE"/>'
IS_NULL = f"<isNull>{GIVEN}</isNull>"
IS_KEY = f'<match>{GIVEN}<correct identifier="RESPONSE"/></match>'
FULL, ZERO = (set_outcome("SCORE", base("float", n)) for n in (1, 0))


def scored(test: str) -> str:
    return condition((IS_NULL, ZERO), (test, FULL), otherwise=ZERO)


def slip_shown(*tests: str) -> str:
    """FEEDBACK slip-1, slip-2, ... for the tests in their order."""
    return condition(
        *(
            (test, set_outcome("FEEDBACK", base("identifier", f"slip-{n}")))
            for n, test in enumerate(tests, 1)
        )
    )


def ticked(*residues: object) -> str:
    values = "".join(base("identifier", f"r{x}") for x in residues)
    return f"<match>{GIVEN}<multiple>{values}</multiple></match>"


def choices(labels: dict[str, str], most: int) -> str:
    options = "".join(
        f'<simpleChoice identifier="{i}">{label}</simpleChoice>' for i, label in labels.items()
    )
    return (
        f'<choiceInteraction responseIdentifier="RESPONSE" shuffle="false" maxChoices="{most}">'
        f"{options}</choiceInteraction>"
    )


ENTRY = '<p>Answer: <textEntryInteraction responseIdentifier="RESPONSE" expectedLength="9"/></p>'

OPTIONS = choices({f"r{x}": str(x) for x in RESIDUES} | {"none": "no solutions"}, 0)


def qti_item(
    *,
    identifier: str = "item-1",
    stem: str = STEM,
    interaction: str = OPTIONS,
    cardinality: str = "multiple",
    base_type: str = "identifier",
    key: tuple[object, ...] = CHOSEN,
    mapping: str = "",
    processing: str = scored(IS_KEY),
    slips: tuple[str, ...] = (),
    label: str = "x^2 + 9x + 5 = 0 mod 117; all solutions",
    maximum: str = "1",
) -> str:
    """An item of QTI 2.1; `slips` are the texts of slip-1, slip-2, ..."""
    values = "".join(f"<value>{v}</value>" for v in key)
    worked = "Among " + ", ".join(re.findall("[0-9]+", f"{interaction} {' '.join(map(str, key))}"))
    shown = set_outcome("SOLUTION", base("identifier", "worked"))
    feedback = "".join(
        f'<modalFeedback outcomeIdentifier="FEEDBACK" identifier="slip-{n}" showHide="show">'
        f"<p>{text}</p></modalFeedback>"
        for n, text in enumerate(slips, 1)
    )
    outcome = '<outcomeDeclaration identifier="{}" cardinality="single" baseType="{}"/>'.format
    return (
        f'<assessmentItem xmlns="{QTI}" identifier="{identifier}" title="An item" label="{label}"'
        ' adaptive="false" timeDependent="false">'
        f'<responseDeclaration identifier="RESPONSE" cardinality="{cardinality}"'
        f' baseType="{base_type}"><correctResponse>{values}</correctResponse>{mapping}'
        "</responseDeclaration>"
        '<outcomeDeclaration identifier="SCORE" cardinality="single" baseType="float"'
        f' normalMaximum="{maximum}"/>'
        f"{outcome('FEEDBACK', 'identifier')}{outcome('SOLUTION', 'identifier')}"
        f"<itemBody>{stem}{interaction}</itemBody>"
        f"<responseProcessing>{processing}{shown}</responseProcessing>{feedback}"
        '<modalFeedback outcomeIdentifier="SOLUTION" identifier="worked" showHide="show">'
        f"<p>{worked}</p></modalFeedback></assessmentItem>"
    )


# ------------------------------------------------------------ QTI 1.2.1


def cartridge_item(
    *,
    identifier: str = "item-1",
    stem: str = STEM,
    profile: str = "cc.multiple_response.v0p1",
    response: str = "",
    right: str = "",
    others: str = "",
    feedback: str = "",
    weight: str = "1",
) -> str:
    """An item of QTI 1.2.1 in the shape that importers read."""
    worked = "Among " + ", ".join(re.findall("[0-9]+", response + right))
    fields = "".join(
        f"<qtimetadatafield><fieldlabel>{name}</fieldlabel><fieldentry>{value}</fieldentry>"
        "</qtimetadatafield>"
        for name, value in {"cc_profile": profile, "cc_weighting": weight}.items()
    )
    return (
        f'<item ident="{identifier}" title="An item"><itemmetadata><qtimetadata>{fields}'
        f"</qtimetadata></itemmetadata><presentation>{html(stem)}{response}</presentation>"
        '<resprocessing><outcomes><decvar varname="SCORE" minvalue="0" maxvalue="100"/></outcomes>'
        '<respcondition continue="Yes"><conditionvar><other/></conditionvar>'
        '<displayfeedback linkrefid="general"/></respcondition>'
        f'{others}<respcondition continue="No"><conditionvar>{right}</conditionvar>'
        '<setvar action="Set" varname="SCORE">100</setvar></respcondition></resprocessing>'
        f'<itemfeedback ident="general"><flow_mat>{html(worked)}</flow_mat></itemfeedback>'
        f"{feedback}</item>"
    )


def html(markup: str) -> str:
    escaped = markup.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return f'<material><mattext texttype="text/html">{escaped}</mattext></material>'


def labels(cardinality: str, options: dict[str, str]) -> str:
    inside = "".join(
        f'<response_label ident="{i}">{html(text)}</response_label>' for i, text in options.items()
    )
    return (
        f'<response_lid ident="RESPONSE" rcardinality="{cardinality}"><render_choice shuffle="No">'
        f"{inside}</render_choice></response_lid>"
    )


FIELD = (
    '<response_str ident="RESPONSE" rcardinality="Single"><render_fib rows="1" columns="60"/>'
    "</response_str>"
)


def equals(value: object, case: str = "Yes") -> str:
    return f'<varequal respident="RESPONSE" case="{case}">{value}</varequal>'


TICKED = "<and>{}</and>".format(
    "".join(
        equals(f"r{x}") if x in SOLUTIONS else f"<not>{equals(f'r{x}')}</not>" for x in RESIDUES
    )
    + f"<not>{equals('none')}</not>"
)

MULTIPLE_RESPONSE = cartridge_item(
    response=labels("Multiple", {f"r{x}": str(x) for x in RESIDUES} | {"none": "no solutions"}),
    right=TICKED,
)


# ------------------------------------------------------------ packages


def qti_manifest(*names: str, kind: str = "imsqti_item_xmlv2p1") -> str:
    resources = "".join(
        f'<resource identifier="res-{n}" type="{kind}" href="{name}"><file href="{name}"/>'
        "</resource>"
        for n, name in enumerate(names)
    )
    return (
        '<manifest xmlns="http://www.imsglobal.org/xsd/imscp_v1p1" identifier="m">'
        f"<organizations/><resources>{resources}</resources></manifest>"
    )


def cartridge_manifest(name: str = "bank.xml") -> str:
    return qti_manifest(name, kind="imsqti_xmlv1p2/imscc_xmlv1p3/question-bank")


def bank(*items: str) -> str:
    return (
        '<questestinterop xmlns="http://www.imsglobal.org/xsd/ims_qtiasiv1p2">'
        f'<objectbank ident="bank">{"".join(items)}</objectbank></questestinterop>'
    )


def package(path: Path, members: dict[str, str | bytes]) -> Path:
    """A zip of the members."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in members.items():
            out.writestr(name, content)
    return path


def qti_package(path: Path, *items: str) -> Path:
    names = [f"item-{n}.xml" for n in range(len(items))]
    return package(
        path,
        {"imsmanifest.xml": qti_manifest(*names), **dict(zip(names, items, strict=True))},
    )


def cartridge_package(path: Path, *items: str) -> Path:
    return package(path, {"imsmanifest.xml": cartridge_manifest(), "bank.xml": bank(*items)})


def report_on(tmp_path, *items):
    """What the audit says of a package of these items, all of one format."""
    writer = qti_package if items[0].startswith("<assessmentItem") else cartridge_package
    return audit_package(writer(tmp_path / "a.zip", *items))
