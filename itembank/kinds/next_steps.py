"""What to try next: what is said to a wrong answer to which no named slip leads.

What fits every kind is here; a kind that has a better one says it in its record. Each is a
check that a student can make with what the question shows, or the first step of the method;
none depends on the answer.
"""

from collections.abc import Mapping

from itembank.kinds.table import KINDS
from itembank.languages import Said, say

_ORDER = say(
    "Ask of each step which numbers it needs, and where these were found. What a step needs stands "
    "before it."
)

BY_ASK: Mapping[str, Said] = {
    "all solutions": say(
        "Substitute each residue that was given: does the congruence hold? If all of them hold, "
        "look for further ones: solve modulo each prime power of the modulus and combine every "
        "choice."
    ),
    "the solution": say(
        "Substitute the number that was given: does the congruence hold? If not, substitute the "
        "result of each step, backwards: the first that holds shows where the error is."
    ),
    "how many": say(
        "Count modulo each prime power of the modulus by itself, and check one of these numbers by "
        "trying the residues. The numbers are then multiplied."
    ),
    "the least": say(
        "Substitute the number that was given: does the congruence hold? If it does, a smaller one "
        "may hold as well: find the solutions modulo each prime power and combine every choice."
    ),
    "the largest": say(
        "Substitute the number that was given: does the congruence hold? If it does, a larger one "
        "may hold as well: find the solutions modulo each prime power and combine every choice."
    ),
    "whether any": say(
        "Look at each prime power of the modulus by itself, and try the residues of the smallest: "
        "which of them solve the congruence there?"
    ),
    "an example": say(
        "Test the number that was given by the definition in the question: what has to hold, and "
        "does it? Then ask which step of the method tells the right ones from the others."
    ),
    "whether true": say(
        "Cover the claim and answer the question yourself. Then compare: does the claim name this "
        "answer, nothing more and nothing less?"
    ),
    "the steps": _ORDER,
    "the wrong line": say(
        "Test the lines one by one, from the first: substitute what a line names into the "
        "congruence, modulo the number that it speaks of."
    ),
    "the missing step": say(
        "Test each line that is offered by itself: does it hold? Then ask which of the lines below "
        "the gap needs it."
    ),
    "the next step": say(
        "Test each line that is offered by itself: does it hold? Then ask whether the lines above "
        "have found every number that it needs."
    ),
    "always, sometimes or never": say(
        "Try the claim with several small numbers. One for which it fails shows that it is not "
        "always true, one for which it holds that it is not never true; if all agree, look for a "
        "proof."
    ),
    "the reason": say(
        "Work out the numbers of each reason that is offered: does it hold here? Then ask whether "
        "the step would follow from it alone."
    ),
    "which": say(
        "Judge the congruences one by one, each by its coefficients and its modulus: the greatest "
        "common divisor where it is linear, the prime powers of the modulus where it is not."
    ),
}
"""What fits every congruence in one unknown."""

BY_FORM: Mapping[str, Said] = {
    "order": _ORDER,
    "match": say(
        "Check the pairs one by one: work out anew what belongs to each of the numbers on the one "
        "side, and look for it on the other."
    ),
    "guided": say(
        "Go to the first stage that is not right, and work it out anew from the question and the "
        "stages before it: a later stage is right only if those that it builds on are."
    ),
}
"""What fits the forms that ask about the way to the answer, whatever the kind."""


OF_POLYNOMIALS: Mapping[str, Said] = {
    "match": say(
        "Take the roots one by one: substitute each residue that is congruent to the root into "
        "the polynomial. Which of the values are divisible by the modulus?"
    ),
    "guided": say(
        "Go to the first stage that is not right, and substitute what was given there: does the "
        "congruence hold modulo the number of that stage? Are there further residues for which it "
        "does?"
    ),
}
"""What these forms ask of a polynomial: its roots, modulo one number after another."""


def next_step(kind: str, ask: str, form: str) -> Said:
    """What a student whose answer is wrong, in a way that has no name, may try next."""
    of_form = (OF_POLYNOMIALS if kind == "polynomial" else BY_FORM).get(form) or BY_FORM.get(form)
    return of_form or KINDS[kind].next_steps.get(ask) or BY_ASK[ask]
