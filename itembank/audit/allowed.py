"""What is read in each kind of document: the tables of `shape`.

Sources: IMS Question & Test Interoperability 2.1 and 2.2, XML bindings of item, test and content
package; ASI 1.2.1 and its profile in IMS Common Cartridge 1.3; MathML 3.0, chapter 3; HTML Living
Standard.  Each table holds the part of its standard that shows and grades alike everywhere.
"""

from functools import cache

from itembank.audit.shape import MATHML, Shapes, Table, shapes

# ------------------------------------------------------------ mathematics and prose

_PARTS = "{mi mn mo mtext mspace mrow mstyle msup msub msubsup mfrac msqrt mtable semantics}"
_SIGNS = r"[-+=<>/!,;:.|(){}\[\]±·×⋅−≡≢≠≤≥∣∤∈→′″‴…‘’“”\u2061-\u2064]|'|''|'''|\.\.\.|mod|≡"

_MATHEMATICS: Table = {
    "math": (f"display?=block|inline alttext? xmlns?={MATHML}", f"{_PARTS}+"),
    "mrow": ("", f"{_PARTS}+"),
    "mstyle": ("displaystyle?=true|false", f"{_PARTS}+"),
    "mi": ("", r"#[^\W\d_]+|…|∅"),
    "mn": ("", "#[0-9]+"),
    "mo": ("stretchy?=true|false lspace?=0(\\.[0-9]+)?em rspace?=0(\\.[0-9]+)?em", f"#{_SIGNS}"),
    "mtext": ("", "#"),
    "mspace": ("width=[01](\\.[0-9]+)?em", ""),
    "msup": ("", f"{_PARTS}2"),
    "msub": ("", f"{_PARTS}2"),
    "msubsup": ("", f"{_PARTS}3"),
    "mfrac": ("", f"{_PARTS}2"),
    "msqrt": ("", f"{_PARTS}+"),
    "mtable": ("columnalign?=[a-z\\s]+", "mtr+"),
    "mtr": ("", "mtd+"),
    "mtd": ("columnalign?=[a-z]+", f"{_PARTS}+"),
}

_INLINE = "math strong em b i sup sub span br"
_FLOW = "{p div table ul ol}"


def _prose(more: str = "") -> Table:
    """Paragraphs, displays, tables, lists; `more` may stand in a paragraph too."""
    words = f"#{{{_INLINE}}}+"
    return {
        "p": ("class?=display", f"#{{{_INLINE} {more}}}+"),
        "div": ("class?=display", f"#{{p div table ul ol {_INLINE} {more}}}+"),
        **dict.fromkeys(("strong", "em", "b", "span"), ("", words)),
        "i": ("", r"#([^\W\d_])(?!\1)[^\W\d_]?"),
        **dict.fromkeys(("sup", "sub"), ("", "#{i sup sub}+")),
        "br": ("", ""),
        "ul": ("", "li+"),
        "ol": ("", "li+"),
        "li": ("", words),
        "table": ("", "(thead)?(tbody|tr+)"),
        "thead": ("", "tr+"),
        "tbody": ("", "tr+"),
        "tr": ("", "(th|td)+"),
        "th": ("scope=col|row", words),
        "td": ("", words),
    }


# ------------------------------------------------------------ QTI 2.x

_EXPRESSION = (
    "{and or not isNull match member equal stringMatch patternMatch variable correct mapResponse"
    " baseValue null multiple ordered containerSize sum product subtract integerModulus"
    " integerDivide integerToFloat lt lte gt gte}"
)
_RULES = "{responseCondition setOutcomeValue exitResponse responseProcessingFragment}"
_BRANCH = _EXPRESSION[:-1] + " " + _RULES[1:]

_PROCESSING: Table = {
    "responseProcessing": ("template?", _RULES),
    "responseProcessingFragment": ("", _RULES),
    "responseCondition": ("", "responseIf responseElseIf* responseElse?"),
    "responseIf": ("", _BRANCH),
    "responseElseIf": ("", _BRANCH),
    "responseElse": ("", _RULES),
    "exitResponse": ("", ""),
    "setOutcomeValue": ("identifier", _EXPRESSION),
    **dict.fromkeys(
        (
            "and", "or", "not", "isNull", "match", "member", "multiple", "ordered", "containerSize",
            "sum", "product", "subtract", "integerModulus", "integerDivide", "integerToFloat",
            "lt", "lte", "gt", "gte",
        ),
        ("", _EXPRESSION),
    ),
    "equal": ("toleranceMode?=exact", _EXPRESSION),
    "stringMatch": ("caseSensitive?=true|false substring?=false", _EXPRESSION),
    "patternMatch": ("pattern", _EXPRESSION),
    "variable": ("identifier", ""),
    "correct": ("identifier", ""),
    "mapResponse": ("identifier", ""),
    "baseValue": ("baseType", "#"),
    "null": ("", ""),
}  # fmt: skip

_CHOICE = f"#{{p {_INLINE}}}+"

_ITEM: Table = {
    **_prose("textEntryInteraction inlineChoiceInteraction"),
    **_PROCESSING,
    "assessmentItem": (
        "identifier=[\\w.-]+ title=(?s:.*\\S.*) label? xml:lang? adaptive=false timeDependent=false"
        " toolName? toolVersion?",
        "responseDeclaration+ outcomeDeclaration+ itemBody responseProcessing modalFeedback*",
    ),
    "responseDeclaration": ("identifier cardinality baseType", "correctResponse? mapping?"),
    "correctResponse": ("", "value*"),
    "value": ("", "#"),
    "mapping": ("lowerBound? upperBound? defaultValue?", "mapEntry+"),
    "mapEntry": ("mapKey mappedValue caseSensitive?=true|false", ""),
    "outcomeDeclaration": (
        "identifier cardinality baseType normalMaximum? normalMinimum?=0",
        "defaultValue?",
    ),
    "defaultValue": ("", "value+"),
    "itemBody": ("", _FLOW[:-1] + " choiceInteraction orderInteraction matchInteraction}"),
    "choiceInteraction": (
        "responseIdentifier shuffle?=false maxChoices?=[0-9]+ minChoices?=0",
        "prompt? simpleChoice+",
    ),
    "orderInteraction": (
        "responseIdentifier shuffle?=false orientation?=vertical",
        "prompt? simpleChoice+",
    ),
    "matchInteraction": (
        "responseIdentifier shuffle?=false maxAssociations=[0-9]+ minAssociations?=0",
        "prompt? simpleMatchSet simpleMatchSet",
    ),
    "simpleMatchSet": ("", "simpleAssociableChoice+"),
    "simpleAssociableChoice": ("identifier matchMax=[0-9]+ matchMin?=0", _CHOICE),
    "simpleChoice": ("identifier", _CHOICE),
    "textEntryInteraction": ("responseIdentifier expectedLength?=[0-9]{1,4} aria-label?", ""),
    "inlineChoiceInteraction": ("responseIdentifier shuffle?=false aria-label?", "inlineChoice+"),
    "inlineChoice": ("identifier", "#{}+"),
    "prompt": ("", f"#{{{_INLINE}}}+"),
    "modalFeedback": ("outcomeIdentifier identifier showHide?=show title?=[^0-9]*", f"{_FLOW}+"),
}

_TEST: Table = {
    "assessmentTest": (
        "identifier title toolName? toolVersion?",
        "outcomeDeclaration testPart outcomeProcessing",
    ),
    "outcomeDeclaration": ("identifier=SCORE cardinality=single baseType=float", ""),
    "testPart": (
        "identifier navigationMode=nonlinear submissionMode=simultaneous",
        "itemSessionControl assessmentSection+",
    ),
    "itemSessionControl": ("maxAttempts=1 showFeedback=false showSolution=false", ""),
    "assessmentSection": (
        "identifier=[\\w.-]+ title=(?s:.*\\S.*) visible=true keepTogether?=true",
        "selection? ordering rubricBlock? (assessmentItemRef|assessmentSection)+",
    ),
    "selection": ("select=[1-9][0-9]{0,8}", ""),
    "ordering": ("shuffle=true|false", ""),
    "rubricBlock": (
        r"xml:lang? use?=instructions view=((author|proctor|scorer|testConstructor|tutor)\s?)+",
        "(p|div)",
    ),
    "div": ("", "p"),
    "p": ("", r"#(?s:.*\S.*)"),
    "assessmentItemRef": ("identifier href", "weight"),
    "weight": ("identifier=POINTS value=[0-9]{1,9}", ""),
    "outcomeProcessing": ("", "setOutcomeValue"),
    "setOutcomeValue": ("identifier=SCORE", "sum"),
    "sum": ("", "testVariables"),
    "testVariables": ("variableIdentifier=SCORE weightIdentifier=POINTS", ""),
}
"""One attempt, no feedback and no solution, drawn without replacement, in any order."""


@cache
def item(namespace: str) -> Shapes:
    """An item in the names of 2.x."""
    return Shapes(shapes(_ITEM, namespace), shapes(_MATHEMATICS, MATHML))


@cache
def test(namespace: str) -> Shapes:
    """A test in the names of 2.x."""
    return shapes(_TEST, namespace)


# ------------------------------------------------------------ QTI 1.2.1

_CONDITION = "{varequal and or not other}"

_QUESTION: Table = {
    "item": (
        r"ident=[\w.-]+ title=(?s:.*\S.*) xml:lang?",
        "itemmetadata presentation resprocessing itemfeedback*",
    ),
    "itemmetadata": ("", "qtimetadata"),
    "qtimetadata": ("", "qtimetadatafield+"),
    "qtimetadatafield": ("", "fieldlabel fieldentry"),
    "fieldlabel": ("", "#"),
    "fieldentry": ("", "#"),
    "presentation": ("label?", "material (response_lid|response_str)"),
    "material": ("", "mattext"),
    "mattext": ("texttype?=text/html|text/plain", "#(?s:.*)"),
    "response_lid": ("ident rcardinality=Single|Multiple", "render_choice"),
    "response_str": ("ident rcardinality=Single", "render_fib"),
    "render_choice": ("shuffle?=No", "response_label+"),
    "render_fib": ("rows?=[0-9]+ columns?=[2-9][0-9]|[0-9]{3} fibtype?=String", ""),
    "response_label": (r"ident=[\w.-]+", "material"),
    "resprocessing": ("", "outcomes respcondition+"),
    "outcomes": ("", "decvar"),
    "decvar": ("varname?=SCORE vartype?=Decimal|Integer defaultval? minvalue? maxvalue?", ""),
    "respcondition": ("continue?=Yes|No", "conditionvar setvar? displayfeedback*"),
    **dict.fromkeys(("conditionvar", "and", "or", "not"), ("", f"{_CONDITION}+")),
    "other": ("", ""),
    "varequal": ("respident case?=Yes|No", "#"),
    "setvar": ("action?=Set|Add|Subtract varname?=SCORE", "#"),
    "displayfeedback": ("feedbacktype?=Response linkrefid", ""),
    "itemfeedback": ("ident", "flow_mat"),
    "flow_mat": ("", "material"),
}

FIELDS = {
    "cc_profile": r"cc\.\w+\.v0p1",
    "cc_question_category": r".+",
    "cc_weighting": "[0-9]+",
    "points_possible": r"[0-9]+(\.5)?",
    "qmd_weighting": "[0-9]+",
    "qmd_scoringpermitted": "Yes",
    "qmd_computerscored": "Yes",
    "qmd_levelofdifficulty": r"(very )?\w+",
    "qmd_topic": r".+",
    "qmd_solutionsavailable": "Yes",
    "qmd_toolvendor": r".+",
}
"""The metadata of an item, and what may stand there: a machine scores it."""

_AROUND: Table = {
    "questestinterop": ("", "objectbank|assessment"),
    "objectbank": (r"ident=[\w.-]+", "item+"),
    "assessment": ("ident title xml:lang?", "qtimetadata section+"),
    "section": ("ident title? xml:lang?", "selection_ordering? (item|section)+"),
    "selection_ordering": ("", "selection? order"),
    "selection": ("", "selection_number"),
    "selection_number": ("", "#[1-9][0-9]*"),
    "order": ("order_type=Random|Sequential", ""),
    "qtimetadata": ("", "qtimetadatafield+"),
    "qtimetadatafield": ("", "fieldlabel fieldentry"),
    "fieldlabel": ("", "#"),
    "fieldentry": ("", "#"),
    "item": ("", ""),
}

QUIZ_FIELDS = {
    "cc_profile": r"cc\.exam\.v0p1",
    "qmd_assessmenttype": "Examination",
    "cc_maxattempts": "1",
}
"""The metadata of a quiz: one attempt."""


@cache
def question(namespace: str) -> Shapes:
    """An item of 1.2.1."""
    return shapes(_QUESTION, namespace)


@cache
def around(namespace: str) -> Shapes:
    """What stands around the items of 1.2.1, which are empty here."""
    return shapes(_AROUND, namespace)


@cache
def text_field() -> Shapes:
    """The HTML of a text field."""
    return shapes(_prose() | _MATHEMATICS, math="")


# ------------------------------------------------------------ printed pages

_PAGE: Table = {
    **_prose(),
    "html": ("lang", "head body"),
    "head": ("", "meta+ title style"),
    "meta": ("charset?=utf-8 name?=viewport|generator|description content?", ""),
    "title": ("", "#"),
    "style": ("", "#"),
    "body": ("", "h1 p+ (table+ p+)?(h2 p table)?(section|div|h2 p)+"),
    **dict.fromkeys(("h1", "h2"), ("", r"#.*\S.*")),
    "h3": ("", "#{span}"),
    "section": ("class=question|answer data-question?", "h3 (div|p|ol)+"),
    "table": ("class?=score|copies", "(thead)?(tbody|tr+)"),
    "ol": ("class=options data-choose=any|one|order|pairs", "li+"),
    "li": ("", "#{span}"),
    "div": (
        "class?=display|stem|working|slip|room-[1-9]0{1,2} lang?",
        "{p div table ul ol section}",
    ),
    "p": (
        "class?=copy|display|entry|instructions|points|rule|source|stage",
        f"#{{{_INLINE}}}+",
    ),
    "span": (
        "class?=cell|identifier|key|line|part|prompt|statement|word|worth",
        f"#{{{_INLINE}}}+",
    ),
}


@cache
def page() -> Shapes:
    """A page of printed questions, or of their answers."""
    return shapes(_PAGE | _MATHEMATICS, math="")


# ------------------------------------------------------------ manifests

_MANIFEST: Table = {
    "manifest": ("identifier xml:base? version?", "metadata? organizations resources"),
    "metadata": ("", "{schema schemaversion}"),
    "schema": ("", "#"),
    "schemaversion": ("", "#"),
    "organizations": ("", "organization?"),
    "organization": ("identifier structure?", "item"),
    "item": ("identifier identifierref?", "title? item?"),
    "title": ("", "#"),
    "resources": ("", "resource*"),
    "resource": ("", ""),
}
"""Without what other namespaces say in `metadata`, and with resources that are empty here."""


_SAID = "source? value"

_METADATA: Table = {
    "lom": ("", "general lifeCycle? educational? rights? relation? classification?"),
    "general": ("", "identifier title language description+"),
    "identifier": ("", "catalog entry"),
    "catalog": ("", r"#\S+"),
    "entry": ("", "#{string}+"),
    **dict.fromkeys(("title", "description"), ("", "string")),
    "string": ("language=[A-Za-z-]+", "#{}+"),
    "language": ("", "#[A-Za-z-]+"),
    "lifeCycle": ("", "contribute"),
    "contribute": ("", "role entity"),
    "entity": ("", "#(?s:BEGIN:VCARD.*END:VCARD)"),
    "educational": ("", "learningResourceType? intendedEndUserRole? difficulty?"),
    "rights": ("", "copyrightAndOtherRestrictions description"),
    **dict.fromkeys(
        (
            "role", "learningResourceType", "intendedEndUserRole", "difficulty", "purpose", "kind",
            "copyrightAndOtherRestrictions",
        ),
        ("", _SAID),
    ),
    "source": ("", "#{string}+"),
    "value": ("", r"#[\w ]+"),
    "relation": ("", "kind resource"),
    "resource": ("", "identifier?"),
    "classification": ("", "purpose taxonPath+"),
    "taxonPath": ("", "source? taxon"),
    "taxon": ("", "id entry"),
    "id": ("", r"#\S+"),
    "qtiMetadata": (
        "",
        "itemTemplate timeDependent composite interactionType+ feedbackType solutionAvailable"
        " scoringMode? toolName toolVersion toolVendor",
    ),
    **dict.fromkeys(("itemTemplate", "timeDependent"), ("", "#false")),
    "composite": ("", "#true|false"),
    "interactionType": ("", "#[A-Za-z]+Interaction"),
    "feedbackType": ("", "#nonadaptive|none"),
    "solutionAvailable": ("", "#true|false"),
    "scoringMode": ("", "#responseprocessing"),
    **dict.fromkeys(("toolName", "toolVersion", "toolVendor"), ("", r"#\S+")),
}  # fmt: skip
"""What catalogues are told: LOM and the metadata of QTI, in whatever namespace."""


@cache
def metadata() -> Shapes:
    return shapes(_METADATA)


@cache
def manifest(namespace: str) -> Shapes:
    return shapes(_MANIFEST, namespace)
