"""What to try next: what is said to a wrong answer to which no named slip leads.

By the kind of problem and by what is asked. Each is a check that a student can make with what
the question shows, or the first step of the method; none depends on the answer.
"""

from collections.abc import Mapping

from itembank.languages import Said, say

ORDER = say(
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
    "the steps": ORDER,
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
}
"""What fits every congruence in one unknown."""

BY_FORM: Mapping[str, Said] = {
    "order": ORDER,
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
"""What fits the forms that ask about the way to the answer, whatever the kind."""

LINEAR = say(
    "Find the greatest common divisor of the coefficient and the modulus: does it divide the right "
    "side?"
)

BY_KIND: Mapping[tuple[str, str], Said] = {
    ("linear", "all solutions"): say(
        "Substitute each residue that was given: does the congruence hold? Then compare how many "
        "there are with the greatest common divisor of the coefficient and the modulus."
    ),
    ("linear", "how many"): LINEAR,
    ("linear", "whether any"): LINEAR,
    ("linear", "the solution"): say(
        "Substitute the number that was given: which remainder does the left side leave? Then "
        "check the inverse of the coefficient: the product of the two must leave 1."
    ),
    ("linear", "the least"): say(
        "Substitute the number that was given: does the congruence hold? If it does, subtract the "
        "modulus divided by the greatest common divisor as often as possible."
    ),
    ("linear", "the largest"): say(
        "Substitute the number that was given: does the congruence hold? If it does, add the "
        "modulus divided by the greatest common divisor as often as possible."
    ),
    ("polynomial", "whether any"): say(
        "Look at each prime of the modulus by itself. Complete the square there, or try the "
        "residues: which of them solve the congruence? A solution modulo the whole modulus is one "
        "modulo every prime."
    ),
    ("power_root", "whether any"): say(
        "Look at each prime of the modulus by itself: is the right side a power with this exponent "
        "there? Euler's criterion decides it, or the table of powers."
    ),
    ("power_root", "all solutions"): say(
        "Take the power of each residue that was given: is it congruent to the right side? Then "
        "find the roots modulo each prime power, and combine every choice."
    ),
    ("power_root", "the solution"): say(
        "Take the power of the number that was given: is it congruent to the right side? If not, "
        "check the exponent: it is inverted modulo φ of the modulus."
    ),
    ("exponential", "all solutions"): say(
        "Write out the powers of the base one by one, from the exponent 0 on, until 1 comes back. "
        "At which exponents does the right side appear?"
    ),
    ("exponential", "the solution"): say(
        "Write out the powers of the base one by one, from the exponent 0 on, until 1 comes back. "
        "At which exponents does the right side appear?"
    ),
    ("exponential", "how many"): say(
        "Write out the powers of the base until 1 comes back: how long is the period, and how "
        "often does it fit into the range of exponents?"
    ),
    ("exponential", "the least"): say(
        "Write out the powers of the base one by one, from the exponent 0 on: where does the right "
        "side appear first?"
    ),
    ("exponential", "the largest"): say(
        "Write out the powers of the base until 1 comes back, and go on by this period: what is "
        "the last exponent in the range?"
    ),
    ("exponential", "whether any"): say(
        "Write out the powers of the base until 1 comes back: is the right side among them?"
    ),
    ("power_by_indices", "all solutions"): say(
        "Take the power of each residue that was given and compare. Then check the linear "
        "congruence for the index: its modulus is φ of the modulus."
    ),
    ("power_by_indices", "how many"): say(
        "Write the linear congruence for the index of the unknown, modulo φ of the modulus. The "
        "greatest common divisor of its coefficient and its modulus decides."
    ),
    ("power_by_indices", "whether any"): say(
        "Write the linear congruence for the index of the unknown, modulo φ of the modulus. The "
        "greatest common divisor of its coefficient and its modulus decides."
    ),
    ("system", "all solutions"): say(
        "Put each residue that was given into every congruence of the system. The first that fails "
        "shows which congruence was left behind."
    ),
    ("system", "the solution"): say(
        "Put the number that was given into every congruence of the system. The first that fails "
        "shows which congruence was left behind."
    ),
    ("system", "the least"): say(
        "Put the number that was given into every congruence of the system. If all of them hold, "
        "subtract the least common multiple of the moduli."
    ),
    ("system", "the largest"): say(
        "Put the number that was given into every congruence of the system. If all of them hold, "
        "add the least common multiple of the moduli."
    ),
    ("system", "how many"): say(
        "Compare the congruences modulo the common factors of their moduli. Where they agree, the "
        "solution is one class modulo the least common multiple: how often does that fit?"
    ),
    ("system", "whether any"): say(
        "Take the congruences two by two, and find the greatest common divisor of their moduli: "
        "what does each of the two say modulo this divisor?"
    ),
    ("lifting_step", "all solutions"): say(
        "Put each number that was given into the polynomial: is the value divisible by the new "
        "modulus? And is the number congruent to the given root?"
    ),
    ("lifting_step", "the solution"): say(
        "Put the number that was given into the polynomial: is the value divisible by the new "
        "modulus? And is the number congruent to the given root?"
    ),
    ("lifting_step", "how many"): say(
        "Find the derivative at the root modulo the prime. Is it divisible by the prime, and what "
        "does that say of the lifts?"
    ),
    ("lifting_step", "whether any"): say(
        "Find the derivative at the root modulo the prime. Where it is divisible by the prime, "
        "test whether the value of the polynomial is divisible by the new modulus."
    ),
    ("solution_count", "the value"): say(
        "Count modulo each prime power of the modulus by itself, and check the smallest of them by "
        "trying its residues. The numbers are then multiplied."
    ),
    ("linear_pair", "all solutions"): say(
        "Put each pair that was given into both congruences. Then check the determinant: its "
        "greatest common divisor with the modulus decides how the solutions look."
    ),
    ("linear_pair", "how many"): say(
        "Find the determinant and its greatest common divisor with the modulus. Eliminate one "
        "unknown: how many values of the other are left?"
    ),
    ("linear_pair", "whether any"): say(
        "Find the determinant and its greatest common divisor with the modulus. Eliminate one "
        "unknown, and test whether the congruence that is left can hold."
    ),
    ("inverse", "the value"): say(
        "Multiply the number that was given by the number to be inverted: the product must leave 1 "
        "modulo the modulus. Then go through the rows of Euclid's algorithm, checking each."
    ),
    ("inverse", "whether any"): say(
        "Find the greatest common divisor of the number and the modulus by Euclid's algorithm: "
        "what does it say about the product leaving 1?"
    ),
    ("inverses", "all solutions"): say(
        "Multiply the two numbers of each pair: the product must leave 1 modulo the modulus. Is "
        "every unit there?"
    ),
    ("units", "all solutions"): say(
        "Find the greatest common divisor of each residue and the modulus: which of them have "
        "none but 1?"
    ),
    ("units", "the largest"): say(
        "Begin with the largest residue: what is its greatest common divisor with the modulus?"
    ),
    ("zero_divisors", "all solutions"): say(
        "Find the greatest common divisor of each residue other than 0 and the modulus: which of "
        "them have one above 1?"
    ),
    ("zero_divisors", "the largest"): say(
        "Go down from the largest residue, and find the greatest common divisor with the modulus "
        "each time. Where is the first that is above 1?"
    ),
    ("zero_divisors", "whether any"): say(
        "Try to write the modulus as a product of two smaller numbers. What does that say about "
        "their residues?"
    ),
    ("number_of_zero_divisors", "the value"): say(
        "Find φ of the modulus from its prime powers. The residues other than 0 are the units and "
        "the zero divisors."
    ),
    ("squares", "all solutions"): say(
        "Square the residues one by one, up to half of the modulus, and reduce each square. Which "
        "values come up?"
    ),
    ("squares", "the largest"): say(
        "Square the residues one by one, up to half of the modulus, and reduce each square. Which "
        "of the values is the largest?"
    ),
    ("quadratic_residues", "all solutions"): say(
        "Square the residues coprime to the modulus, up to half of it, and reduce each square. "
        "Which values come up?"
    ),
    ("quadratic_residues", "the largest"): say(
        "Square the residues coprime to the modulus, up to half of it, and reduce each square. "
        "Which of the values is the largest?"
    ),
    ("number_of_squares", "the value"): say(
        "Count the squares modulo each prime power of the modulus by itself, and check the "
        "smallest by squaring its residues. The numbers are then multiplied."
    ),
    ("number_of_quadratic_residues", "the value"): say(
        "Count the squares of units modulo each prime power of the modulus by itself, and check "
        "the smallest by squaring its residues. The numbers are then multiplied."
    ),
    ("square_test", "whether any"): say(
        "Split the modulus into prime powers and look at each by itself: is the number a square "
        "there? A square modulo the whole modulus is one modulo every prime power. A factor that "
        "the number shares with the modulus needs care: look at its power first."
    ),
    ("symbol", "the value"): say(
        "Go through the rules one by one: reduce the top, take out the twos, look at both numbers "
        "modulo 4 before the symbol is turned over."
    ),
    ("phi", "the value"): say(
        "Check the prime factorisation by multiplying it out. Then take φ of each prime power by "
        "itself and multiply."
    ),
    ("lambda", "the value"): say(
        "Check the prime factorisation by multiplying it out. Then take the value of each prime "
        "power by itself: powers of 2 have a rule of their own."
    ),
    ("gcd", "the value"): say(
        "Divide each of the numbers by the number that was given. Is every division even? If so, "
        "have the quotients a common factor left?"
    ),
    ("lcm", "the value"): say(
        "Divide the number that was given by each of the numbers. Is every division even? If so, "
        "do the quotients have a factor in common?"
    ),
    ("order", "the value"): say(
        "Compute the power with the exponent that was given: is it 1? If it is, divide the "
        "exponent by each of its primes and test again. If not, go back to φ of the modulus."
    ),
    ("order", "whether any"): say(
        "Find the greatest common divisor of the base and the modulus: can a power of the base "
        "leave 1 then?"
    ),
    ("primitive_roots", "all solutions"): say(
        "Take one primitive root, and raise it to the exponents that have no factor in common with "
        "φ of the modulus. Compare the list with these powers."
    ),
    ("primitive_roots", "how many"): say(
        "Apply φ to the modulus, and then to the result. What does each of the two count?"
    ),
    ("primitive_roots", "the least"): say(
        "Test the residues from the smallest on: for each prime of φ of the modulus, the power "
        "with φ divided by that prime as exponent must not be 1."
    ),
    ("primitive_roots", "the largest"): say(
        "Test the residues from the largest on: for each prime of φ of the modulus, the power with "
        "φ divided by that prime as exponent must not be 1."
    ),
    ("least_primitive_root", "the value"): say(
        "Test the number that was given, and every smaller one: for each prime of φ of the "
        "modulus, the power with φ divided by that prime as exponent must not be 1."
    ),
    ("primitive_root_count", "the value"): say(
        "Apply φ to the modulus, and then to the result. What does each of the two count, and is "
        "there a primitive root at all?"
    ),
    ("primitive_root_existence", "whether any"): say(
        "Factor the modulus: has it one of the forms in which units of order φ exist, a power of "
        "an odd prime or twice such a power, or is it at most 4?"
    ),
    ("primitive_root_test", "whether any"): say(
        "Factor φ of the modulus. For each of its primes take the power with φ divided by that "
        "prime as exponent: is one of these powers 1?"
    ),
    ("index", "the value"): say(
        "Compute the power of the base with the exponent that was given, and compare. Then write "
        "out the powers of the base one by one, from the exponent 0 on."
    ),
    ("index", "whether any"): say(
        "Write out the powers of the base one by one until 1 comes back: is the number among them?"
    ),
    ("factorial", "the value"): say(
        "Compare the factorial with that of Wilson's theorem: which factors are missing or too "
        "many? Check the rule on a smaller prime, where the product can be worked out."
    ),
    ("power", "the value"): say(
        "Reduce the base first. Then check what the exponent may be reduced by, and work out the "
        "power by repeated squaring, reducing after each step."
    ),
    ("tower", "the value"): say(
        "Begin at the top: find the exponent of the lowest base modulo φ of the modulus, then the "
        "power by repeated squaring. Check first whether the base and the modulus are coprime."
    ),
    ("remainder", "the value"): say(
        "Replace each number by its least residue before it is multiplied, and reduce after each "
        "step: which remainder does each part of the expression leave?"
    ),
    ("least_exponent", "the value"): say(
        "Write out the powers of the base one by one, from the exponent 0 on: where does the right "
        "side appear first? The base has a factor in common with the modulus, so 1 need not come "
        "back."
    ),
    ("natural_count", "the value"): say(
        "Find one solution, and write all of them with a parameter. For which values of the "
        "parameter is neither unknown negative?"
    ),
    ("isbn_digit", "the value"): say(
        "Put the digit that was given in its place, and add all the digits with their weights: is "
        "the sum a multiple of the modulus?"
    ),
    ("isbn_test", "whether any"): say(
        "Add the digits with their weights once more, line by line, the check digit included: "
        "which remainder does the sum leave? A number is valid if and only if it leaves 0."
    ),
    ("iban_digits", "the value"): say(
        "Put what was given in its place, move the first four characters to the end, write the "
        "letters as numbers, and divide by 97 in pieces: is the remainder 1?"
    ),
    ("iban_test", "whether any"): say(
        "Move the first four characters to the end, write the letters as numbers, and divide by 97 "
        "in pieces, carrying the remainder on. A number is valid if and only if 1 is left."
    ),
}
"""By kind and ask, where the kind has a better one."""


def next_step(kind: str, ask: str, form: str) -> Said:
    """What a student whose answer is wrong, in a way that has no name, may try next."""
    return BY_FORM.get(form) or BY_KIND.get((kind, ask)) or BY_ASK[ask]
