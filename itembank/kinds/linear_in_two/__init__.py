"""One linear congruence in two unknowns alone: its pairs of residues.  Its second way stands with
that of two congruences (`linear_pair`)."""
