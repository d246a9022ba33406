"""Changes of a package that the audit agrees to, each with the reason why it is harmless."""

import re

from tests.audit.mutation import Mutant

METADATA = (
    r"imsmanifest .*(string|taxon|taxonPath|entry|id|description|educational|classification|rights"
    r"|relation|resource|identifier|source|value|entity|catalog|language|lifeCycle|lom|purpose|kind"
    r"|role|contribute|difficulty|title|tool\w+|interactionType|composite|solutionAvailable|general"
    r"|feedbackType|learningResourceType|intendedEndUserRole|scoringMode|qtiMetadata"
    r"|copyrightAndOtherRestrictions)(@\w+)?$"
)

REASONS: tuple[tuple[str, str, str], ...] = (
    ("", METADATA, "what catalogues are told of a package; no student sees it, nothing is graded"),
    ("", r"imsmanifest .*(schema|schemaversion)$", "which binding the manifest follows"),
    ("", r"imsmanifest manifest/metadata$", "metadata as a whole: a package needs none"),
    ("", r"imsmanifest .*@(schemaLocation|version|structure|base)$", "where the schema is"),
    ("", r"imsmanifest (.*/)?manifest@identifier$", "the name of the manifest, asked for nowhere"),
    ("", r"imsmanifest .*organizations?(/item)*(@\w+)?$", "a table of contents of one entry"),
    ("", r"imsmanifest .*resource@identifier$", "a name that no other resource refers to"),
    ("", "@schemaLocation$", "where the schema is; readers know it"),
    ("", r"@(toolName|toolVersion)$", "what wrote the item"),
    ("", r"(objectbank|testPart|assessmentSection|assessmentTest|section)@(ident|identifier)$",
     "a name that nothing refers to"),
    ("", r"@title$", "words over an item or a section, that tell no answer"),
    ("", "@label$", "the authors' statement, for staff"),
    ("", "@lang$", "English, where no language is named"),
    ("identifier|number", r"(objectbank|section)/item@ident$", "the name of an item"),
    ("identifier|number", r"response_label@ident$", "an option that no condition names"),
    ("number in text", r"respcondition/setvar$", "more than the bound, which cuts it"),
    ("deleted", r"resprocessing/respcondition$", "a spelling that the stem does not ask for"),
    ("doubled", r"conditionvar/other$", "the same condition once more"),
    ("attribute", r"mo@(stretchy|lspace|rspace)$", "how a sign is set"),
    ("", r"mspace(@width)?$", "a gap in a formula"),
    ("", r"math@display$", "a formula set in its line"),
    ("attribute", r"(p|div)@class$| p: attribute \w+@class$", "the place of a paragraph"),
    ("", r"@(expectedLength|rows|columns)$", "how long a field is drawn"),
    ("attribute deleted", r"varequal@case$|respcondition@continue$|setvar@(varname|action)$"
     r"|decvar@\w+$|displayfeedback@feedbacktype$|mattext@texttype$|@rcardinality$|@shuffle$"
     r"|outcomeDeclaration@(normalM\w+)$|outcome-declaration@(normal-m\w+)$|@showHide$"
     r"|@show-hide$|@(minChoices|min-choices|orientation|toleranceMode)$",
     "the default of the standard is the same"),
    ("", r"decvar@(maxvalue|minvalue|defaultval|vartype)$", "a bound that no score reaches"),
    ("moved", r"qtimetadatafield$", "fields are found by their labels"),
    ("", r"(qmd_\w+|qtimetadatafield)$|fieldentry$|fieldlabel$", "what catalogues are told"),
    ("moved|doubled", r"respcondition$", "each names other answers, or says the same once more"),
    ("doubled|moved", r"conditionvar/varequal$|and/(varequal|not)$", "the same once more"),
    ("deleted", r"conditionvar/varequal$", "a spelling that the stem does not ask for"),
    ("number in text", r"varequal$", "a spelling that the stem does not ask for"),
    ("doubled|moved", r"respcondition/displayfeedback$", "the same feedback, shown once"),
    ("moved", r"item(feedback)?/itemfeedback$|objectbank/item/itemfeedback$|/modalFeedback$"
     r"|/qti-modal-feedback$", "feedback is found by its name"),
    ("moved", r"(responseDeclaration|outcomeDeclaration|qti-\w+-declaration)$", "so is this"),
    ("", r"(defaultValue|default-value)(/(qti-)?value)?$", "0, as a number is that has none"),
    ("moved", r"(base-value|baseValue|variable|equal|match|or|and|not)$", "sums, and what"
     " must all hold or one of, in another order"),
    ("doubled", r"(responseElseIf|response-else-if|or/\S+|and/\S+|\bequal|match|base-value"
     "|baseValue)$", "the same condition once more"),
    ("moved", r"(assessmentItemRef|assessment-item-ref)$", "items are drawn in any order"),
    ("moved", r"html/head/\w+$", "what a browser is told before the page"),
    ("", r"(head/meta|meta@\w+|head/title|head/style)$", "what a browser is told before the page"),
)  # fmt: skip
"""(what was done, where, why nobody is shown or graded otherwise): patterns, searched."""


NOT_DRAWN = r"(mo( [\w.]+)* [\u2061-\u2064]|mspace [\w.]+)"

SAME: tuple[tuple[str, str, str, str], ...] = (
    ("element deleted", r"\b(mrow|msup)/mo$", f"^{NOT_DRAWN}$", "a sign that is not drawn"),
    ("element moved", r"\b(math|mrow)/\w+$", f"(^{NOT_DRAWN}|{NOT_DRAWN}$)",
     "a sign that is not drawn, or a gap, on the other side"),
    ("attribute deleted", r"^(key|questions) .*math@xmlns$", "",
     "HTML knows the element without it"),
    ("element deleted", r"resource/metadata$", "", "what catalogues are told"),
    ("identifier changed", r"@(tool-version|tool-name)$", "", "what wrote the item"),
    ("element (deleted|emptied)", r"(responseElse|qti-response-else)$",
     r"^[\w-]+( (0|none))+$", "what stands there without it"),
    ("element deleted", r"(setOutcomeValue|qti-set-outcome-value)$",
     r"^[\w-]+ [A-Z_0-9]+ (0|none)$", "what stands there without it"),
    ("element deleted", r"qti-response-else-if/qti-set-outcome-value$", "FEEDBACK otherwise$",
     "what no integer is told, which only some readers let through"),
    ("element doubled", r"(setOutcomeValue|set-outcome-value|responseCondition|response-condition"
     r")$", "", "the same rule once more"),
    ("element moved", r"(setOutcomeValue|set-outcome-value|responseCondition|response-condition)$",
     "", "rules that set different outcomes, in another order"),
    ("element moved", r"(responseElseIf|response-else-if)$", "",
     "branches of which one holds at most, in another order"),
    ("element moved", r"(equal|match)/(qti-)?(correct|ordered|multiple|integerModulus"
     r"|integer-modulus|variable)$", "", "two that are to be equal, the other way round"),
    ("element (deleted|emptied)", r"(outcomeDeclaration|outcome-declaration)$", "^\\w+ MAXSCORE",
     "what the item is worth, which stands with its score too"),
    ("identifier changed", r"(outcomeDeclaration|outcome-declaration)@identifier$",
     "^\\w+ MAXSCORE", "what the item is worth, which stands with its score too"),
    ("element (deleted|doubled)", r"(or/(qti-)?and/(qti-)?not|or/(qti-)?isNull|or/qti-is-null)$",
     "", "a guard for a reader that ends at what is blank: which remark it tells, no score"),
    ("element moved", r"imsmanifest resources/resource/dependency$", "",
     "files in another order"),
    ("element doubled", r"imsmanifest resources/resource/dependency$", "", "a file named again"),
    ("element moved", r"(response_label|[cC]hoice|-choice)$", "",
     "options in another order: whether that tells the key, the rules of writing say"),
    ("element moved", r"[bB]ody/(qti-)?\w+(I|-i)nteraction$", "", "options over the last line"),
    ("element moved", r"^(key|questions) body/section/(p|div)$", "",
     "a paragraph of a question, or of its answer, over another"),
    ("element moved", r"^questions section/p/span$", "", "a box before its word, or after it"),
    ("number in text", r"^(key|questions) html/body/p$", r"\b20[0-9]{2}-", "which term it is for"),
    ("element deleted", r"^(key|questions) html/body/p$", r"review", "what staff are told"),
    ("html", r": attribute deleted@class$", "", "the place of a paragraph"),
    ("attribute deleted", r"(qti-text-entry|qti-inline-choice)-interaction@aria-label$", "",
     "the name of a field, said again beside it"),
    ("identifier changed", r"qti-test-part@identifier$", "", "a name that nothing refers to"),
    ("attribute deleted", r"@tolerance-mode$", "", "the default of the standard is the same"),
)  # fmt: skip
"""(what was done, where, to what, why), of changes after which a comparison finds the same."""


def reason_if_same(mutant: Mutant) -> str:
    """Why a change is harmless after which a comparison finds nothing."""
    for what, where, told, why in SAME:
        if (
            re.search(what, mutant.what)
            and re.search(where, mutant.where)
            and re.search(told, mutant.told)
        ):
            return why
    return ""


def reason(mutant: Mutant) -> str:
    """Why a mutant is harmless, "" if it is not known to be."""
    return reason_of(mutant.what, mutant.where)


def reason_of(done: str, place: str) -> str:
    """Why a change is harmless; of HTML in a field no change is, but to how it is set."""
    for what, where, why in REASONS:
        if re.search(what, done) and re.search(where, place):
            return why
    return ""
