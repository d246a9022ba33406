"""The sentences that the script of the packet says, by the names that it knows them by.

The script fills their slots, so they are rendered with the slots as they stand.  A sentence whose
words would change with a number is worded so that they do not.
"""

from collections.abc import Iterable

from itembank.languages import Said, say
from itembank.languages.speaking import slot_names


def _for_the_script(said: Said) -> Said:
    """The message with each slot standing for itself."""
    return Said(said.template, tuple((n, f"{{{n}}}") for n in sorted(slot_names(said.template))))


def _named(**words: Said) -> Iterable[tuple[str, Said]]:
    return ((name.replace("_", " "), _for_the_script(said)) for name, said in words.items())


SCRIPT_WORDS = dict(
    _named(
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
        say_why=say("Your answer differed: say in a comment why the key is right."),
        all_decided=say("Nothing is undecided in this queue."),
        sound=say("Nothing of the evidence failed"),
        too_old=say("This browser cannot open the items: use a newer one."),
        cleared=say("Your decision on this item is cleared."),
        undone=say("Undone: {title}."),
        nothing_undone=say("There is nothing to undo."),
        which_facet=say("1 to 4 returns that facet."),
        queue_length=say("{n} of {all} items in the queue"),
        sample_plan=say(
            "In the order at random, {more} accepted items show that at most 5 % are faulty, with"
            " 95 % confidence."
        ),
        sample_drawn=say(
            "In the order at random the first {n} are decided, {r} of them returned: at most"
            " {bound} % of all items are faulty, with 95 % confidence. For 5 %, accept {more} more."
        ),
        as_judged=say("As you judged it of {title}; this one differs in:"),
        line_differs=say("{now} (there: {before})"),
        same_of_family=say("Say the same of {n} more that differ in numbers alone"),
        family_told=say("Said of {n} more; their keys are still to be judged."),
        file_refused=say("{file} is not taken: {why}"),
        file_format=say("expected a file of decisions, as a packet saves it."),
        file_pool=say("expected decisions on this pool and term, found {found}."),
        file_name=say("expected a name with letters, every one of which is seen; found {found}."),
        file_date=say("expected a day of the calendar from 2000 to 2099, found {found}."),
        file_hash=say("expected a hash of 64 hexadecimal digits, found {found}."),
        file_shape=say("expected decisions as a packet saves them, found a fault at {found}."),
        file_comment=say("expected a comment that says why, found none on {found}."),
        file_verdict=say("expected facets that bear out what is said of {found}."),
        file_twice=say("expected one word on each item, found two on {found}."),
        file_other=say("expected decisions on items that were shown, {found} is none of them."),
        loaded=say("Loaded from {name}: {n} of {all} decisions are on items as they stand here."),
        loaded_lost=say("A file that was loaded before is damaged: load it again."),
        loaded_file=say("{name}, {date}: decisions {n}"),
        merged=say("Merged into your work: {n} of {all} decisions."),
        remove=say("Remove"),
        two_words=say("Here and in the file you said two things."),
        keep_this=say("Keep what is here"),
        take_file=say("Take that of the file"),
        words_differ=say("Where words differ"),
        unkept=say("This browser keeps nothing: save before you close the page."),
        sample=say(
            "So far {n} accepted, none returned: if they were drawn at random, at most {bound} %"
            " of all items are faulty, with 95 % confidence."
        ),
        sample_returned=say("So far {n} accepted and {r} returned."),
    )
)
