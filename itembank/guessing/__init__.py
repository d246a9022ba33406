"""Simulated students who have learned test-taking and not the subject.

They meet a question as a student does: formula and words of the stem, options in their order, and
the answers of the family's earlier questions; of the key, of slips and of any solver they know
nothing. What they score, exactly and with ties shared, says how much of a question is
answered by its looks (test-wiseness: Millman, Bishop & Ebel, 1965).
"""
