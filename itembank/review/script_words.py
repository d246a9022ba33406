"""The sentences that the script of the packet says, by the names that it knows them by.

The script fills their slots, so they are rendered with the slots as they stand.  A sentence whose
words would change with a number is worded so that they do not.
"""

from collections.abc import Iterable

from itembank.languages import Said, say
from itembank.languages.speaking import slot_names


def for_the_script(said: Said) -> Said:
    """The message with each slot standing for itself."""
    return Said(said.template, tuple((n, f"{{{n}}}") for n in sorted(slot_names(said.template))))


def named(**words: Said) -> Iterable[tuple[str, Said]]:
    return ((name.replace("_", " "), for_the_script(said)) for name, said in words.items())


SCRIPT_WORDS = dict(
    named(
        agrees=say("Your answer agrees with the key."),
        differs=say("Your answer differs from the key. Look again at both."),
        asked=say("The key was shown unanswered."),
        answer_first=say("Answer first, or ask to see the key."),
        accepted=say("accepted"),
        returned=say("returned"),
        open=say("open"),
        accept_asked=say("Accept what is asked"),
        accepted_by=say("{facet}: accepted by {by}"),
        accepted_on=say("{facet}: accepted by {by}, {date}"),
        begun=say("begun"),
        comment_missing=say("Say why in the comment."),
        progress=say("{done} of {all} decided"),
        name_missing=say("Enter your name, in letters, before you save."),
        saved=say("Decisions saved: {n}."),
        nothing=say("There is no decision to save yet."),
        damaged=say(
            "Work that was kept here is damaged. What could not be read is set aside, as it was,"
            " in this browser under {key}; look over your decisions before you save them."
        ),
        another=say(
            "Decisions kept under the name {name}: {n}. This name has its own. If both are yours:"
        ),
        adopt=say("Take them over"),
        dismiss=say("Close"),
        unsaved=say("There are decisions that you have not saved as a file."),
        returned_by=say("{facet}: returned by {by}: {comment}"),
        returned_on=say("{facet}: returned by {by}, {date}: {comment}"),
        own_return=say("Your own return: you take it back by accepting it above."),
        party=say("You have decided on this item before; a third person must settle this."),
        third=say("A third person settles this by name, with a reason."),
        unkept=say("This browser keeps nothing: save before you close the page."),
        sample=say(
            "So far {n} accepted, none returned: if they were drawn at random, at most {bound} %"
            " of all items are faulty, with 95 % confidence."
        ),
        sample_returned=say("So far {n} accepted and {r} returned."),
    )
)
